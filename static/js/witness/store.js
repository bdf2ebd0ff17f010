// Where a device keeps a copy of the record: IndexedDB, one database for each board and epoch. No DOM; emits nothing.
//
// Promises: a write resolves when its transaction is complete; rows are kept byte for byte as the board gave them.

import { forget, keep, recall } from "../kept.js";

const STORE = "entries";
const LIST = "records";

/** A board of no more than these was opened, joined and left again. */
const HARDLY_ANY = 5;

/** The copies on this device: {name, incident, seq, at}, the newest first; boards on which hardly anything was done last. */
export function copies() {
  const isMore = ({ seq }) => Number(seq > HARDLY_ANY);
  return Object.values(recall(LIST, {})).sort((a, b) => isMore(b) - isMore(a) || b.at - a.at);
}

/** Keeps beside a copy what the board handed the lead of who is in and what lets people in. */
export const keepHanded = (name, { codes, sessions }) => keep(`handed/${name}`, { codes, sessions, at: Date.now() });

/** What was kept beside a copy: {codes, sessions, at}; `at` is when it was handed over (ms), missing where nothing was. */
export const handed = (name) => recall(`handed/${name}`, { codes: {}, sessions: [] });

/** What a copy of this board and epoch is called. */
export const nameOf = (board, epoch) => `holdfast-record/${board}/${epoch}`;

/** Up to which position a copy goes; 0 when there is none. */
export const reached = (name) => recall(LIST, {})[name]?.seq ?? 0;

/** Adds rows ({seq, body, chain}; sealed in place of body where only the lead may read it) to a copy. */
export async function add(name, incident, rows) {
  const database = await open(name);
  try {
    await done(database, "readwrite", (store) => rows.forEach((row) => store.put(row)));
  } finally {
    database.close();
  }
  const seq = rows[rows.length - 1].seq;
  keep(LIST, { ...recall(LIST, {}), [name]: { name, incident, seq, at: Date.now() } });
}

/** Every row of a copy, in order. */
export async function all(name) {
  const database = await open(name);
  try {
    let request;
    await done(database, "readonly", (store) => { request = store.getAll(); });
    return request.result;
  } finally {
    database.close();
  }
}

/** Removes one copy from this device. */
export function forgetCopy(name) {
  const { [name]: gone, ...others } = recall(LIST, {});
  if (!gone) return;
  indexedDB.deleteDatabase(name);
  forget(`handed/${name}`);
  keep(LIST, others);
}

/** Removes this device's copies of a board. */
export function forgetBoard(board) {
  for (const { name } of copies()) if (name.startsWith(`holdfast-record/${board}/`)) forgetCopy(name);
}

function open(name) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "seq" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function done(database, mode, act) {
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(STORE, mode, { durability: "strict" });
    transaction.oncomplete = () => resolve();
    transaction.onerror = () => reject(transaction.error);
    transaction.onabort = () => reject(transaction.error);
    act(transaction.objectStore(STORE));
  });
}
