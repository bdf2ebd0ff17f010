// How an outbox item reads in words; shared by the pill's list, the waiting lines and the undo bar. Pure.

import { dayHour } from "../time/format.js";
import { calledNumber, PARKED, problemWords, RECEIPTED } from "./core.js";

/** "on this phone", "on the board" or "needs a look: <reason>". */
export function stateWords(item) {
  if (item.state === RECEIPTED) return "on the board";
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
