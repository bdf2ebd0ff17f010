// Leaving the page by itself: loading it anew, never in a circle (a cached page may name an older board), or going to
// another one. One at a time: the later one would stop the page that is coming. Emits nothing.

import { keep, recall } from "../kept.js";

const AGAIN = 30_000;
/** A page that has not come by then does not come by itself. */
const COMES_WITHIN = 20_000;

let leftAt = -Infinity;

/** Whether another page is on its way. */
export const isLeaving = () => performance.now() - leftAt < COMES_WITHIN;

/** What is under way ends in another page: nothing else may be loaded meanwhile. False takes it back. */
export function leaves(really = true) {
  leftAt = really ? performance.now() : -Infinity;
}

/** Goes to another page of the board. */
export function goTo(address) {
  leaves();
  location.assign(address);
}

/** Loads the page anew after what was done on it. */
export function loadAgain() {
  leaves();
  location.reload();
}

/** Loads the page anew and gives true; false, and nothing, when it did so lately for the same reason. */
export function reloaded(why) {
  if (isLeaving()) return true;
  const now = Date.now();
  const before = recall("reloaded", {});
  // A time ahead of now is left from before the phone's clock was set back.
  const lately = Object.fromEntries(Object.entries(before ?? {}).filter(([, at]) => at <= now && now - at < AGAIN));
  if (Object.hasOwn(lately, why)) return false;
  keep("reloaded", { ...lately, [why]: now });
  loadAgain();
  return true;
}
