// How an item is stored, by the number of its format; what an older page wrote is read, what a newer one wrote is left
// alone. Pure.
//
// 1: {n, id, about, fact, happened_at, based_on, casualty, said, made_at, clock_error, wall, state, attempts, seq, problem}
// 2: and {elapsed, session, jumps, unsure, from}: where it was said, so that it can be mended. `epoch`, which `based_on` is
// of, is missing in what was stored before there was one.
// Promise: an item of a format that this page does not know is never sent, changed or removed by it.

import { isUnsure } from "./when.js";

/** The shape of a stored item; goes up when the shape changes. */
export const FORMAT = 2;

/** An item as it is stored. */
export const asStored = (item) => ({ ...item, format: FORMAT });

/** Stored items as this page reads them: {items, newer}; newer ones wait for a newer page. */
export function asRead(stored) {
  const known = (item) => (item.format ?? 1) <= FORMAT;
  return { items: stored.filter(known).map(upgraded), newer: stored.filter((item) => !known(item)) };
}

function upgraded(item) {
  if (item.format === FORMAT) return item;
  return { from: null, unsure: isUnsure(item.clock_error), ...item };
}
