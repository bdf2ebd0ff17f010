// How an outbox item reads in words; shared by the pill's list, the waiting lines and the undo bar. Pure.

import { hour } from "../time/format.js";
import { PARKED, problemWords, RECEIPTED } from "./core.js";

/** "on this phone", "on the board" or "needs a look: <reason>". */
export function stateWords(item) {
  if (item.state === RECEIPTED) return "on the board";
  if (item.state === PARKED) return `needs a look: ${problemWords(item.problem)}`;
  return "on this phone";
}

/** "7: packed 14:03 · on this phone". */
export function line(item) {
  return `${item.said} ${hour(Date.parse(item.happened_at))} · ${stateWords(item)}`;
}

/** The casualty or wound an item belongs to, as ids. */
export function concerns(item, id) {
  return [item.casualty, item.about.casualty, item.about.wound].includes(id);
}
