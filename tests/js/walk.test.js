// Walking a decision table. The table is START with the radial pulse first and the refill standing in for it
// (US HHS CHEMM, "START Adult Triage Algorithm"; Benson, Koenig, Schultz 1996 for the pulse, from memory).
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { answered, nextStep, reachable, result, takenBack, URGENCY } from "../../static/js/triage/walk.js";

const step = (id, input, yes, no, unknown) => ({ id, input, question: input, yes, no, unknown });
const to = (id) => ({ step: id });
const is = (category) => ({ category });
const START = {
  algorithm: "start", variant: "radial_then_crt", first: "S1",
  steps: {
    S1: step("S1", "walks", is("minor"), to("S2")),
    S2: step("S2", "breathing", to("S3"), to("S2a")),
    S2a: step("S2a", "breathing_after_airway", is("immediate"), is("dead")),
    S3: step("S3", "breathing_over_30", is("immediate"), to("S4")),
    S4: step("S4", "radial_pulse", to("S5"), is("immediate"), to("S4r")),
    S4r: step("S4r", "refill_over_2s", is("immediate"), to("S5")),
    S5: step("S5", "obeys", is("delayed"), is("immediate")),
  },
};
const INPUTS = Object.values(START.steps).map((one) => one.input);

const lying = { walks: "no", breathing: "yes", breathing_over_30: "no" };
const CASES = [
  [{ walks: "yes" }, "minor", "S1"],
  [{ walks: "no", breathing: "no", breathing_after_airway: "yes" }, "immediate", "S2a"],
  [{ walks: "no", breathing: "no", breathing_after_airway: "no" }, "dead", "S2a"],
  [{ walks: "no", breathing: "yes", breathing_over_30: "yes" }, "immediate", "S3"],
  [{ ...lying, radial_pulse: "no" }, "immediate", "S4"],
  [{ ...lying, radial_pulse: "yes", obeys: "yes" }, "delayed", "S5"],
  [{ ...lying, radial_pulse: "yes", refill_over_2s: "yes", obeys: "yes" }, "delayed", "S5"],
  [{ ...lying, radial_pulse: "yes", obeys: "no" }, "immediate", "S5"],
  [{ ...lying, radial_pulse: "cannot_tell", refill_over_2s: "yes", obeys: "yes" }, "immediate", "S4r"],
  [{ ...lying, radial_pulse: "cannot_tell", refill_over_2s: "no", obeys: "yes" }, "delayed", "S5"],
  [{ walks: "no", breathing: "yes", breathing_over_30: "cannot_tell", radial_pulse: "no" }, "immediate", "S4"],
];

test("complete answers give the published category and the deciding step", () => {
  for (const [answers, category, decider] of CASES) {
    const found = result(START, answers);
    assert.deepEqual([found.category, found.final, found.step], [category, true, decider], JSON.stringify(answers));
    assert.equal(nextStep(START, answers), null);
  }
});

test("gaps are provisional, most urgent first, and never make anybody dead", () => {
  assert.deepEqual(result(START, {}), { category: null, final: false, possible: ["immediate", "delayed", "minor", "dead"], step: null });
  assert.deepEqual(result(START, { walks: "no", breathing: "no" }), { category: "immediate", final: false, possible: ["immediate", "dead"], step: null });
  assert.equal(result(START, { ...lying, obeys: "yes" }).category, "immediate");
  const grey = { ...START, steps: { S1: step("S1", "walks", is("expectant"), is("dead")) } };
  assert.equal(result(grey, { walks: "cannot_tell" }).category, null, "a cannot tell says nothing");
  assert.deepEqual(reachable(grey, { walks: "cannot_tell" }), ["expectant", "dead"]);
});

test("cannot tell is not asked again, and everything still relevant is, in the order of the table", () => {
  const asked = [];
  let answers = {};
  for (let next = nextStep(START, answers); next; next = nextStep(START, answers)) {
    asked.push(next.id);
    answers = answered(answers, next.input, "cannot_tell");
  }
  assert.deepEqual(asked, ["S1", "S2", "S2a", "S3", "S4", "S4r", "S5"]);
  assert.equal(result(START, answers).final, false);
  assert.equal(result(START, answers).category, null, "nothing was told");
  assert.deepEqual(reachable(START, answers), ["immediate", "delayed", "minor", "dead"]);
});

test("back takes the last answer away, also after one was changed", () => {
  const answers = answered(answered(answered({}, "walks", "no"), "breathing", "yes"), "walks", "cannot_tell");
  assert.deepEqual(takenBack(answers), { breathing: "yes" });
  assert.deepEqual(takenBack({}), {});
});

test("for every set of answers: one more never widens, provisional is never less urgent than final, dead is never a guess", () => {
  const values = [undefined, "yes", "no", "cannot_tell"];
  for (let code = 0; code < values.length ** INPUTS.length; code += 1) {
    const answers = {};
    INPUTS.forEach((input, at) => {
      const value = values[Math.floor(code / values.length ** at) % values.length];
      if (value) answers[input] = value;
    });
    const possible = reachable(START, answers);
    const found = result(START, answers);
    assert.ok(possible.length > 0);
    if (found.category === "dead") assert.deepEqual(possible, ["dead"]);
    const open = nextStep(START, answers);
    if (open) assert.equal(answers[open.input], undefined);
    for (const value of open ? ["yes", "no"] : []) {
      const more = answered(answers, open.input, value);
      // A pulse felt after all replaces what the refill stood in for: a corrected answer, not an added one.
      if (open.unknown) continue;
      assert.ok(reachable(START, more).every((category) => possible.includes(category)), JSON.stringify(more));
      if (found.category) assert.ok(URGENCY.indexOf(result(START, more).category) >= URGENCY.indexOf(found.category));
    }
  }
});

// The very tables that the board runs (tests/published/laws.rs holds the file to them), with the published vectors.
const TABLES = JSON.parse(readFileSync(new URL("triage_tables.json", import.meta.url)));
const FILES = { start: "start.txt", jumpstart: "jump_start.txt", salt: "salt.txt", ten_second: "ten_second.txt", mitt: "mitt.txt" };

function* vectors(algorithm) {
  const text = readFileSync(new URL(`../published/${FILES[algorithm]}`, import.meta.url), "utf8");
  for (const line of text.split("\n").map((one) => one.trim())) {
    if (line === "" || line.startsWith("#")) continue;
    const [id, variant, , given, expected] = line.split("|").map((one) => one.trim());
    const answers = Object.fromEntries(given.split(/\s+/).filter(Boolean).map((pair) => {
      const [input, value] = pair.split("=");
      return [input, /^\d+$/.test(value) ? Number(value) : value];
    }));
    yield { id, table: TABLES[`${algorithm}.${variant}`], answers, expected };
  }
}

for (const algorithm of Object.keys(FILES)) {
  test(`the phone comes to what is published: ${algorithm}`, () => {
    let rows = 0;
    for (const { id, table, answers, expected } of vectors(algorithm)) {
      rows += 1;
      const { category, final } = result(table, answers);
      const got = category === null ? "untriaged" : `${final ? "" : "?"}${category}`;
      assert.equal(got, expected, id);
    }
    assert.ok(rows >= 10, `only ${rows} rows`);
  });
}
