// From the phone's own letter to the number everybody shouts: as soon as the board has given a casualty its number,
// the open view calls them by it.
//
// Starts on every page with an outbox. Emits nothing.

import { amendContext, openContext } from "../report/views.js";
import { calledNumber } from "./core.js";

export function startNumbers(outbox) {
  document.addEventListener("holdfast:outbox", () => renumber(outbox.items));
  document.addEventListener("holdfast:view", () => renumber(outbox.items));
}

function renumber(items) {
  const { casualty, number } = openContext();
  if (!items.some((item) => item.about.casualty === casualty && item.fact.kind.startsWith("casualty.registered/"))) return;
  const called = calledNumber(items, casualty);
  if (called !== number) amendContext({ number: called });
}
