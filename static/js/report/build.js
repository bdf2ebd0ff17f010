// Builds facts from taps and form fields. Pure: values in, a fact and words about problems out.
//
// A field is {name, value, type, checked, hidden, as, scale, min, max, required, words, ask, whole, was}; see form.js for
// where each comes from. Fields with the same `whole` go together or, where none of them differs from what it `was`, not
// at all. Emits nothing.

import { lastTimeAt } from "../time/format.js";

const MINUTE = 60_000;
/** Fields of a list of items: "count.tourniquet", "old.tourniquet" (of those, out of date), "move.tourniquet". */
const LISTED = /^(count|old|move)\.(\w+)$/;
const UNCOUNTED = "Of what is out of date, say also how many there are in all.";
const LIST = "[]";
const WRITE_TIME = "Write the time as HH:MM, for example 14:05.";
/** A time of day that was last so longer ago than this is more likely still to come: a slip, not yesterday. */
const OLDEST = 18 * 60 * MINUTE;
const DAY = 24 * 60 * MINUTE;
/** "Leaves by 14:00" said at 14:20 is over, not tomorrow. */
const JUST_PASSED = 3 * 60 * MINUTE;

/** A copy of `value` with every string "$name" replaced from the context. Throws a MissingContext for an unknown name. */
export function filled(value, context) {
  if (typeof value === "string") return /^\$[a-z_]+$/.test(value) ? named(value.slice(1), context) : value;
  if (Array.isArray(value)) return value.map((item) => filled(item, context));
  if (value && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, filled(item, context)]));
  }
  return value;
}

/** Words with each $name replaced; an unknown name becomes nothing. */
export function filledWords(text, context) {
  return text.replace(/\$([a-z_]+)/g, (_, name) => context[name] ?? "").trim();
}

export class MissingContext extends Error {
  constructor(name) {
    super(`This needs to know which ${name} it is about. Open it from the list.`);
  }
}

/**
 * The fact a form says. Gives {fact, happenedAt, problems}: problems are {name, words}; happenedAt is null for "now".
 * `base` goes first, fields after it; empty fields are left out, names with a leading "_" are not part of the fact.
 */
export function buildFact({ kind, base = {}, fields, context, now, needsOne = "" }) {
  const fact = { kind, ...filled(base, context) };
  const problems = [];
  const used = [];
  const items = new Map();
  let count = 0;
  for (const field of fields.filter((candidate) => !candidate.name.startsWith("_") && !isAsItWas(candidate, fields))) {
    const { value, problem } = readField(field, context, now);
    if (problem) problems.push({ name: field.name, words: problem });
    if (problem || value === undefined) continue;
    const listed = LISTED.exec(field.name);
    if (listed) {
      const [, what, item] = listed;
      if (what === "move" && value === 0) continue;
      count += 1;
      items.set(item, { ...items.get(item), item, [what === "old" ? "out_of_date" : "count"]: value });
      continue;
    }
    const isUsed = field.name.startsWith("used.");
    if (!field.hidden && !(isUsed && value === 0)) count += 1;
    if (!isUsed) put(fact, field.name, value);
    else if (value > 0) used.push({ item: field.name.slice("used.".length), count: value });
  }
  // "layouts.1.lying" without "layouts.0.…" leaves a hole, and a hole says nothing.
  for (const [name, list] of Object.entries(fact)) if (Array.isArray(list)) fact[name] = list.filter(() => true);
  if (used.length > 0) fact.used = used;
  if (items.size > 0) fact.items = [...items.values()];
  if (fact.items?.some((item) => item.count === undefined)) problems.push({ name: "", words: UNCOUNTED });
  if (needsOne && count === 0 && problems.length === 0) problems.push({ name: "", words: needsOne });
  const { happenedAt, problem } = readTime(fields, now);
  if (problem) problems.push({ name: "_at", words: problem });
  return { fact, happenedAt, problems };
}

const isAsItWas = ({ whole }, fields) => whole !== undefined && fields.every((one) => one.whole !== whole || one.value === one.was);

/** One field's value for the fact; undefined when it says nothing. */
export function readField(field, context = {}, now = 0) {
  if (field.type === "checkbox" && !field.checked) return field.required ? { problem: ask(field) } : {};
  if (field.type === "checkbox") return { value: field.name.endsWith(LIST) ? field.value : true };
  if (field.type === "radio" && !field.checked) return field.required === "unset" ? { problem: ask(field) } : {};
  const text = String(field.value ?? "").trim();
  if (text === "") return field.required ? { problem: ask(field) } : {};
  if (field.hidden) return { value: typed(filled(text, context), field) };
  if (field.as === "time") return readMoment(text, now);
  if (field.as === "next") return readNext(text, now);
  if (field.as === "in") return readAhead(text, field, now);
  if (field.as !== "int" && !field.scale) return { value: typed(text, field) };
  return readNumber(text, field);
}

/** "signs[]" collects a list, "tourniquet.level" fills an object inside the fact, "layouts.0.lying" one in a list. */
function put(fact, name, value) {
  if (name.endsWith(LIST)) {
    const list = name.slice(0, -LIST.length);
    fact[list] = [...(fact[list] ?? []), value];
    return;
  }
  const [first, ...rest] = name.split(".");
  if (rest.length === 0) fact[first] = value;
  else put((fact[first] ??= /^\d+$/.test(rest[0]) ? [] : {}), rest.join("."), value);
}

/** A time of day as the last such moment, {moment}, or why it cannot be, {problem}. */
function readClock(text, now) {
  const moment = lastTimeAt(text, now);
  if (moment === null) return { problem: WRITE_TIME };
  return now - moment > OLDEST ? { problem: `It is not ${text} yet. Write when it was.` } : { moment };
}

function readMoment(text, now) {
  const { moment, problem } = readClock(text, now);
  return problem ? { problem } : { value: new Date(moment).toISOString() };
}

/** A time of day as the next such moment; one that has just passed is meant as passed. */
function readNext(text, now) {
  const last = lastTimeAt(text, now);
  if (last === null) return { problem: WRITE_TIME };
  return { value: new Date(now - last < JUST_PASSED ? last : last + DAY).toISOString() };
}

/** Minutes from now as a moment. */
function readAhead(text, field, now) {
  const { value, problem } = readNumber(text, field);
  return problem ? { problem } : { value: new Date(now + value * MINUTE).toISOString() };
}

function readNumber(text, field) {
  const words = field.words || field.name;
  const number = Number(text.replace(",", "."));
  if (!Number.isFinite(number)) return { problem: `${words}: write a number.` };
  const { min, max } = field;
  if ((isSet(min) && number < Number(min)) || (isSet(max) && number > Number(max))) {
    return { problem: `${words}: ${range(min, max)}. It says ${text}.` };
  }
  if (field.scale) return { value: Math.round(number * Number(field.scale)) };
  return Number.isInteger(number) ? { value: number } : { problem: `${words}: write a whole number.` };
}

function typed(value, { as }) {
  if (as === "int") return Number(value);
  if (as === "json") return JSON.parse(value);
  return as === "bool" ? value === "true" : value;
}

const isSet = (limit) => limit !== undefined && limit !== null && limit !== "";

function range(min, max) {
  if (!isSet(max)) return `at least ${min}`;
  return isSet(min) ? `between ${min} and ${max}` : `at most ${max}`;
}

const ask = (field) => field.ask || `${field.words || field.name}: this is still needed.`;

/** When a form says it happened, {happenedAt} in ms (null for now) or {problem}: "_at" (HH:MM) wins over "_ago". */
export function readTime(fields, now) {
  const at = fields.find((field) => field.name === "_at")?.value?.trim();
  if (at) {
    const { moment, problem } = readClock(at, now);
    return problem ? { problem } : { happenedAt: moment };
  }
  return { happenedAt: ago(fields, now) };
}

// So many minutes before now, or a moment that was offered as it is; null for now.
function ago(fields, now) {
  const said = fields.find((field) => field.name === "_ago" && (field.type !== "radio" || field.checked));
  const minutes = Number(said?.value);
  if (said && Number.isNaN(minutes)) return Date.parse(said.value);
  return minutes > 0 ? now - minutes * MINUTE : null;
}

/**
 * The context to make somebody new from: nothing that was said of whoever was open before. What is mended keeps its id,
 * its number and the time it was said.
 */
export function forSomebodyNew({ casualty, number, mends, mended_at }) {
  return mends ? { casualty, number, mends, mended_at } : {};
}

function named(name, context) {
  const value = context[name];
  if (value === undefined || value === "") throw new MissingContext(name);
  return value;
}
