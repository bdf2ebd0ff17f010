// Forgetting boards whose record was removed on their machine, at the first page this device opens there again.
//
// Starts from: <body data-removed="BOARD BOARD">. Copies of the record and what was remembered go; reports that were never
// taken in stay on this device, for they are nowhere else. Emits nothing.

import { openStorage } from "../outbox/storage.js";
import { forgetBoard } from "./store.js";

const PREFIX = "holdfast/";

export async function forgetRemoved() {
  for (const board of (document.body.dataset.removed ?? "").split(" ").filter(Boolean)) await forgetOne(board);
}

async function forgetOne(board) {
  forgetBoard(board);
  for (const name of Object.keys(localStorage).filter((key) => key.startsWith(PREFIX) && key.includes(board))) localStorage.removeItem(name);
  const outbox = await openStorage(board);
  const items = await outbox.all();
  const waits = items.some(({ state }) => state !== "receipted");
  if (!waits) for (const { id } of items) await outbox.remove(id);
}
