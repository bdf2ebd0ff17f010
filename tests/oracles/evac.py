"""The evacuation problem as a mixed-integer program, solved level by level by scipy (HiGHS inside).

Reads problems from stdin, one JSON document a line; writes for each the smallest vector of 13 levels as a JSON
list, or null when the solver did not finish within 20 seconds. Knows nothing of the planner: slots of transports, binary variables, big M.
"""

import json
import sys
import time

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix


# For all levels of one problem together: what takes longer decides nothing.
BUDGET = 20


def solve(problem):
    ends = time.monotonic() + BUDGET
    people, vans, places = problem["casualties"], problem["transports"], problem["destinations"]
    horizon, big = problem["horizon"], 2 * problem["horizon"] + 500
    slots = [(v, k) for v, van in enumerate(vans) for k in range(van["trips"])]
    names, low, high, whole = {}, [], [], []

    def var(name, least=0, most=1, integer=1):
        if name not in names:
            names[name] = len(low)
            low.append(least), high.append(most), whole.append(integer)
        return names[name]

    rows = []

    def rule(terms, least=-numpy.inf, most=numpy.inf):
        rows.append((terms, least, most))

    def allowed(c, s, d):
        van, place, who = vans[slots[s][0]], places[d], people[c]
        return (
            van["travel"][d] is not None
            and set(who["needs"]) <= set(place["abilities"])
            and set(who["aboard"]) <= set(van["equipment"])
            and not (van["on_foot"] and who["posture"] == "sitting")
            and not who["held"]
            and (who["pin"] is None or (who["pin"][0] == slots[s][0] and (not who["pin"][1] or slots[s][1] == 0)))
        )

    every = [(s, d) for s in range(len(slots)) for d in range(len(places)) if vans[slots[s][0]]["travel"][d] is not None]
    for s, d in every:
        var(("y", s, d))
        for c in range(len(people)):
            var(("w", c, s, d), 0, 1 if allowed(c, s, d) else 0)
    for s, (v, k) in enumerate(slots):
        var(("dep", s), 0, big, 1)
        for g in range(len(vans[v]["layouts"])):
            var(("g", s, g))
    for c in range(len(people)):
        var(("D", c), 0, big, 1)
        var(("late", c))

    for c, who in enumerate(people):
        rule([(("w", c, s, d), 1) for s, d in every], most=1)
        for s, d in every:
            rule([(("w", c, s, d), 1), (("y", s, d), -1)], most=0)
        if who["group"] is not None:
            first = next(i for i, other in enumerate(people) if other["group"] == who["group"])
            if first != c:
                for s, d in every:
                    rule([(("w", c, s, d), 1), (("w", first, s, d), -1)], 0, 0)
        if who["deadline"] is not None:
            rule([(("D", c), 1), (("late", c), -big)], most=who["deadline"])
    for d, place in enumerate(places):
        for p in range(4):
            of_class = [c for c, who in enumerate(people) if who["class"] == p]
            rule([(("w", c, s, d), 1) for c in of_class for s, e in every if e == d], most=place["places"][p])
    for s, (v, k) in enumerate(slots):
        van = vans[v]
        mine = [(("y", s, d)) for t, d in every if t == s]
        ys = [(name, 1) for name in mine]
        rule(ys, most=1)
        layouts = [(("g", s, g), 1) for g in range(len(van["layouts"]))]
        rule(layouts + [(name, -1) for name in mine], 0, 0)
        for at, lying in ((0, True), (1, False)):
            aboard = [
                (("w", c, s, d), 1)
                for c, who in enumerate(people)
                for t, d in every
                if t == s and (who["posture"] == "lying") == lying
            ]
            rule(aboard + [(("g", s, g), -layout[at]) for g, layout in enumerate(van["layouts"])], most=0)
        escorts = [(("w", c, s, d), who["escort"]) for c, who in enumerate(people) for t, d in every if t == s]
        rule(escorts + [(name, -van["attendants"]) for name in mine], most=0)
        for t, d in every:
            if t == s:
                rule([(("y", s, d), 1)] + [(("w", c, s, d), -1) for c in range(len(people))], most=0)
        if k == 0:
            rule([(("dep", s), 1)], least=max(van["available"], 0) + van["load"])
        else:
            before = [(("y", s - 1, d), -(2 * van["travel"][d] + van["unload"])) for t, d in every if t == s - 1]
            rule([(("dep", s), 1), (("dep", s - 1), -1)] + before, least=van["load"])
            rule(ys + [(("y", s - 1, d), -1) for t, d in every if t == s - 1], most=0)
        for t, d in every:
            if t != s:
                continue
            travel = van["travel"][d]
            rule([(("dep", s), 1), (("y", s, d), big)], most=horizon - travel + big)
            if van["last"] is not None:
                rule([(("dep", s), 1), (("y", s, d), big)], most=van["last"] + big)
            for c, who in enumerate(people):
                rule([(("dep", s), 1), (("w", c, s, d), -(max(who["ready"], 0) + van["load"]))], least=0)
                rule([(("D", c), 1), (("dep", s), -1), (("w", c, s, d), -big)], least=travel - big)

    goals = []
    for p in range(4):
        of_class = [c for c, who in enumerate(people) if who["class"] == p]
        goals.append(([(("w", c, s, d), -1) for c in of_class for s, d in every], len(of_class)))
        goals.append(([(("late", c), 1) for c in of_class], 0))
        goals.append(([(("D", c), 1) for c in of_class], 0))
    goals.append(([(("y", s, d), 1) for s, d in every], 0))

    vector = []
    for terms, constant in goals:
        if not terms:
            vector.append(constant)
            continue
        matrix = lil_matrix((len(rows), len(low)))
        for r, (row, _, _) in enumerate(rows):
            for name, factor in row:
                matrix[r, names[name]] += factor
        cost = numpy.zeros(len(low))
        for name, factor in terms:
            cost[names[name]] += factor
        left = ends - time.monotonic()
        if left <= 0:
            return None
        found = milp(
            cost,
            integrality=numpy.array(whole),
            bounds=Bounds(numpy.array(low, float), numpy.array(high, float)),
            constraints=LinearConstraint(
                matrix.tocsr(), numpy.array([r[1] for r in rows], float), numpy.array([r[2] for r in rows], float)
            ),
            options={"time_limit": left},
        )
        if found.status != 0:
            return None
        value = round(found.fun)
        vector.append(value + constant)
        rule(terms, most=value + 0.25)
    return vector


for line in sys.stdin:
    print(json.dumps(solve(json.loads(line))), flush=True)
