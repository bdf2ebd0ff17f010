// How the outbox and its items read in words; shared by the pill, its list, the waiting lines and the undo bar. Pure.

import { dayHour, roughly } from "../time/format.js";
import { problemWords } from "./answer.js";
import { bytesOf, calledNumber, DROPPED, inOrder, PARKED, RECEIPTED } from "./core.js";

/** "on this phone", "on the board", "dropped: not sent" or "needs a look: <reason>". */
export function stateWords(item) {
  if (item.state === RECEIPTED) return "on the board";
  if (item.state === DROPPED) return "dropped: not sent";
  if (item.state === PARKED) return `needs a look: ${problemWords(item.problem)}`;
  return "on this phone";
}

/** What the person said, under the number that the board has given meanwhile: "A: packed" becomes "7: packed". */
export function saidOf(items, item) {
  if (!item.called) return item.said;
  const number = calledNumber(items, item.casualty);
  return item.said.replace(`${item.called}:`, `${number}:`);
}

/** "14:03", with the day where it is not today's, and "about 14:03" where this phone did not know the time well. */
export function timeOf(item, now) {
  return `${item.unsure ? "about " : ""}${dayHour(Date.parse(item.happened_at), now)}`;
}

/** "7: packed 14:03 · on this phone". */
export function line(items, item, now) {
  return `${saidOf(items, item)} ${timeOf(item, now)} · ${stateWords(item)}`;
}

/** The casualty or wound an item belongs to, as ids. */
export function concerns(item, id) {
  return [item.casualty, item.about.casualty, item.about.wound].includes(id);
}

const TROUBLE = { join: "join again to send", storage: "board storage problem: tell the lead" };

/** What the pill says of a tally at board time `now`. */
export function pillWords({ unsent, parked, newer, oldest }, trouble, now) {
  const words = [];
  if (parked > 0) words.push(parked === 1 ? "1 needs a look" : `${parked} need a look`);
  if (unsent > 0) words.push(`${unsent} only on this phone`, `oldest ${roughly(now - oldest)}`);
  if (newer > 0) words.push(`${newer} of a newer page: load this page again`);
  if (TROUBLE[trouble]) words.push(TROUBLE[trouble]);
  return words.length > 0 ? words.join(" · ") : "All on the board";
}

/**
 * What is only on this phone, as lines to read aloud or to put into a code: who and when, then one line each, in the
 * order of the taps.
 */
export function aloud({ items, newer, incident, name, now }) {
  const here = inOrder(items).filter((item) => item.state !== RECEIPTED && item.state !== DROPPED);
  const each = here.map((item) => [`${saidOf(items, item)} ${timeOf(item, now)}`, ...details(item)].join("; "));
  const more = newer.map((item) => `${item.said ?? "a report"} (of a newer page)`);
  const count = each.length + more.length;
  const what = count === 1 ? "1 report is" : `${count} reports are`;
  return [`${[incident, name].filter(Boolean).join(", ")}, ${dayHour(now, now)}: ${count > 0 ? what : "nothing is"} only on this phone.`, ...each, ...more];
}

/** What a report says beyond its short words: "age adult", "oxygen saturation percent 94", "left forearm". */
function details({ fact, from }) {
  const place = from?.context?.place;
  return [...(place ? [place] : []), ...plain(fact)].map((words) => words.replaceAll("_", " "));
}

const AN_ID = /^[0-9a-f]{8}-[0-9a-f]{4}-/;

function plain(value, name = "") {
  if (Array.isArray(value)) return value.flatMap((one) => plain(one, name));
  if (value && typeof value === "object") return Object.entries(value).flatMap(([key, one]) => plain(one, key));
  return name === "kind" || value === null || AN_ID.test(String(value)) ? [] : [`${name} ${value}`];
}

/** Lines put together into texts of at most `most` bytes, none of them lost; a longer line is cut in two. */
export function pieces(lines, most) {
  const texts = [];
  let text = "";
  for (const whole of lines) {
    for (const part of shortened(whole, most)) {
      const longer = text ? `${text}\n${part}` : part;
      if (bytesOf(longer) <= most) text = longer;
      else {
        texts.push(text);
        text = part;
      }
    }
  }
  return [...texts, text];
}

function shortened(whole, most) {
  const parts = [""];
  for (const letter of whole) {
    if (bytesOf(parts.at(-1) + letter) > most) parts.push("");
    parts[parts.length - 1] += letter;
  }
  return parts;
}
