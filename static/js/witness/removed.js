// Forgetting boards whose record was removed on their machine, at the first page this device opens there again.
//
// Starts from: <body data-removed="BOARD BOARD">. Copies of the record and what was remembered go; reports that were never
// taken in stay on this device, unless the person gave them up, for they are nowhere else. Emits nothing.

import { DROPPED, RECEIPTED } from "../outbox/core.js";
import { openStorage } from "../outbox/storage.js";
import { forgetBoard } from "./store.js";

const PREFIX = "holdfast/";

export async function forgetRemoved() {
  for (const board of (document.body.dataset.removed ?? "").split(" ").filter(Boolean)) {
    // One that cannot be forgotten now is told again by the next page; it must not keep the others.
    await forgetOne(board).catch((error) => console.error(error));
  }
}

async function forgetOne(board) {
  forgetBoard(board);
  for (const name of Object.keys(localStorage).filter((key) => key.startsWith(PREFIX) && key.includes(board))) localStorage.removeItem(name);
  const outbox = await openStorage(board);
  const items = await outbox.all();
  if (items.every(isSettled)) for (const { id } of items) await outbox.remove(id);
}

/** What the board took, and what the person gave up. */
export const isSettled = ({ state }) => state === RECEIPTED || state === DROPPED;
