// Walks a published yes/no decision table, with gaps. Pure; the same rule as the board's own evaluation.
//
// A table is {algorithm, variant, first, steps: {id: {id, input, question, help?, measure?, choice?, yes, no,
// unknown?}}} in the order of asking; an edge is {category} or {step}, and edges only lead forward. Answers are
// {input: "yes" | "no" | "cannot_tell" | a number | a level of consciousness}. A step is answered by the number its
// `measure` names, else by the level its `choice` names, else by its own yes or no. `unknown` is where to go when this
// sign cannot be had: another sign stands in. The tables come from the board, which names their sources.
//
// No published algorithm says what a missing answer means. The rule here is this board's own: follow both branches and
// collect the categories still possible; one is final, of several the most urgent is provisional. So missing data never
// makes anybody dead, and expectant only where nothing but expectant and dead is left.

/** Most urgent first (order of the Model Uniform Core Criteria: Lerner et al., DMPHP 2011;5(2):125–137; from memory). */
export const URGENCY = ["immediate", "delayed", "minor", "expectant", "not_breathing", "dead"];

/** What is known about a step: "yes", "no", "cannot_tell", or undefined when nobody answered. */
export function answerOf(step, answers) {
  const number = step.measure && answers[step.measure.input];
  if (typeof number === "number") return meets(step.measure, number) ? "yes" : "no";
  const level = step.choice && answers[step.choice.input];
  if (step.choice?.yes.includes(level)) return "yes";
  if (step.choice?.no.includes(level)) return "no";
  return answers[step.input];
}

function meets({ above, below, at_least, outside }, number) {
  if (above !== undefined) return number > above;
  if (below !== undefined) return number < below;
  if (at_least !== undefined) return number >= at_least;
  return number < outside[0] || number > outside[1];
}

function edges(step, answer) {
  if (answer === "yes") return [step.yes];
  if (answer === "no") return [step.no];
  return step.unknown ? [step.unknown] : [step.yes, step.no];
}

/** Whether the sign that stands in for this one is already known, so that this one need not be asked. */
function stoodInFor(table, step, answers) {
  const standIn = table.steps[step.unknown?.step];
  return standIn !== undefined && ["yes", "no"].includes(answerOf(standIn, answers));
}

/** One pass in the order of the table: edges only lead forward. */
function reach(table, answers) {
  const seen = new Set([table.first]);
  const found = new Set();
  let last = null;
  let open = null;
  for (const step of Object.values(table.steps)) {
    if (!seen.has(step.id)) continue;
    const answer = answerOf(step, answers);
    for (const edge of edges(step, answer)) {
      if (edge.step) seen.add(edge.step);
      else {
        found.add(edge.category);
        last = step.id;
      }
    }
    if (answer === undefined && open === null && !stoodInFor(table, step, answers)) open = step.id;
  }
  return { possible: URGENCY.filter((category) => found.has(category)), last, open };
}

/** The categories that the answers leave possible, most urgent first. */
export function reachable(table, answers) {
  return reach(table, answers).possible;
}

/**
 * What the answers say: {category, final, possible, step}. `category` is null while nothing is known; `step` is the id
 * of the step that decided a final result.
 */
export function result(table, answers) {
  const { possible, last } = reach(table, answers);
  const known = Object.values(table.steps).some((step) => ["yes", "no"].includes(answerOf(step, answers)));
  if (!known) return { category: null, final: false, possible, step: null };
  const final = possible.length === 1;
  return { category: possible[0], final, possible, step: final ? last : null };
}

/** The next step to ask, or null when nothing is left that could change the result. */
export function nextStep(table, answers) {
  if (result(table, answers).final) return null;
  const { open } = reach(table, answers);
  return open === null ? null : table.steps[open];
}

/** The answers after answering `input`; asking again puts it last. */
export function answered(answers, input, answer) {
  const { [input]: _, ...others } = answers;
  return { ...others, [input]: answer };
}

/** The answers without the last one given. */
export function takenBack(answers) {
  return Object.fromEntries(Object.entries(answers).slice(0, -1));
}

/** Whether a table can end in a category. */
export function endsIn(table, category) {
  return Object.values(table.steps).some(({ yes, no }) => yes.category === category || no.category === category);
}
