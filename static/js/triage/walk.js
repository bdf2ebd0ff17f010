// Walks a published yes/no decision table, with gaps. Pure.
//
// A table is {algorithm, variant, first, steps: {id: {id, input, question, help?, yes, no, unknown?}}}; an outcome
// is {category} or {step}. `unknown` is where to go when this sign cannot be had: another sign stands in. Answers are
// {input: "yes" | "no" | "cannot_tell"}. The tables come from the server, which names their sources.
//
// No published algorithm says what a missing answer means. The rule here is this board's own: follow both branches and
// collect the categories still possible; one is final, of several the most urgent is provisional. So missing data never
// makes anybody dead, and expectant only where nothing but expectant and dead is left.

/** Most urgent first (order of the Model Uniform Core Criteria: Lerner et al., DMPHP 2011;5(2):125–137; from memory). */
export const URGENCY = ["immediate", "delayed", "minor", "expectant", "dead"];

/** Where an answer leads: the outcomes to follow, in the order in which they are to be asked about. */
function outcomes(step, answer) {
  if (answer === "yes") return [step.yes];
  if (answer === "no") return [step.no];
  return step.unknown ? [step.unknown] : [step.no, step.yes];
}

/** Every way through the table that the answers leave open, as [{category, step}], `step` being the last one. */
function endings(table, answers, id = table.first) {
  const step = table.steps[id];
  return outcomes(step, answers[step.input]).flatMap((outcome) => (
    outcome.category ? [{ category: outcome.category, step }] : endings(table, answers, outcome.step)
  ));
}

/** The categories that the answers leave possible, most urgent first. */
export function reachable(table, answers) {
  const found = new Set(endings(table, answers).map((ending) => ending.category));
  return URGENCY.filter((category) => found.has(category));
}

/**
 * What the answers say: {category, final, possible, step}. `category` is null while nothing is answered; `step` is
 * the id of the step whose recorded answer decided a final result.
 */
export function result(table, answers) {
  const possible = reachable(table, answers);
  if (Object.keys(answers).length === 0) return { category: null, final: false, possible, step: null };
  const final = possible.length === 1;
  return { category: possible[0], final, possible, step: final ? decidingStep(table, answers) : null };
}

function decidingStep(table, answers) {
  const recorded = ({ step }) => answers[step.input] === "yes" || answers[step.input] === "no";
  return endings(table, answers).find(recorded)?.step.id ?? null;
}

/** The next step to ask, or null when nothing is left that could change the result. */
export function nextStep(table, answers) {
  if (result(table, answers).final) return null;
  return firstOpen(table, answers, table.first);
}

function firstOpen(table, answers, id) {
  const step = table.steps[id];
  const answer = answers[step.input];
  if (answer === undefined) return step;
  for (const outcome of outcomes(step, answer)) {
    const open = outcome.step ? firstOpen(table, answers, outcome.step) : null;
    if (open) return open;
  }
  return null;
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
