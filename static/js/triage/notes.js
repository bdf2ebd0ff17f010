// What to mind beside a suggested category: walks the board's own rules, which come with the tables. Pure.
//
// A rule is {words, systems?, settled?, yes?, above?, below?, exactly?}: everything that is set must hold. `above`, `below`
// and `exactly` are [input, number].

/** The words of every rule that holds, each once. */
export function minded(rules, table, answers, { category, final }) {
  const holds = ({ systems = [], settled, yes = [], above, below, exactly }) =>
    (systems.length === 0 || systems.includes(table.algorithm)) &&
    (settled === undefined || (final && category === settled)) &&
    yes.every((input) => answers[input] === "yes") &&
    number(above, answers, (one, limit) => one > limit) &&
    number(below, answers, (one, limit) => one < limit) &&
    number(exactly, answers, (one, limit) => one === limit);
  return [...new Set(rules.filter(holds).map((rule) => rule.words))];
}

function number(limit, answers, meets) {
  if (limit === undefined) return true;
  const given = answers[limit[0]];
  return typeof given === "number" && meets(given, limit[1]);
}
