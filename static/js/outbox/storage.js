// Where this device keeps the outbox: IndexedDB, else localStorage, else memory. Promise-shaped, and nothing else.
//
// Promises: `add` resolves only when the item is as safe as it can be here, and tells how safe that is; a store that does
// not answer in time holds nothing back; an id is added once; a failing store is passed over, never silently: `level()` says "safe" | "weak" | "memory".
// All tabs of the device share the stores. No DOM; emits nothing.

import { SENDING, WAITING } from "./core.js";
import { Database } from "./database.js";
import { asStored } from "./stored.js";

/** Some phones leave the request hanging, a busy one for seconds, a broken one for ever: go on without it meanwhile. */
const PATIENCE = 3_000;

/** Opens the outbox of one board; `onBetter` is called when a safer store than the first one opens later. */
export async function openStorage(board, onBetter = () => {}) {
  const stores = [];
  const opening = Database.open(`holdfast-outbox/${board}`);
  try {
    stores.push(await inTime(opening, PATIENCE));
  } catch {
    // Private windows of some browsers have no IndexedDB; the next store takes over.
  }
  const storage = new Storage(stores);
  if (stores.length === 0) opening.then((database) => {
    storage.prefer(database);
    onBetter();
  }, () => undefined);
  if (LocalStore.works()) stores.push(new LocalStore(`holdfast-outbox/${board}/`));
  stores.push(new MemoryStore());
  return storage;
}

/** What comes within `patience` ms; rejects after it. What comes later is not stopped. */
function inTime(coming, patience) {
  let timer;
  const late = new Promise((_, reject) => { timer = setTimeout(() => reject(new Error("slow")), patience); });
  return Promise.race([coming, late]).finally(() => clearTimeout(timer));
}

/** Tries the stores in order of safety. */
export class Storage {
  #stores;
  #homes = new Map();
  #patience;

  constructor(stores, patience = PATIENCE) {
    this.#stores = stores;
    this.#patience = patience;
  }

  /** From now on this store comes first. What is kept elsewhere stays there. */
  prefer(store) {
    this.#stores.unshift(store);
  }

  /** Everything kept here; rejects when a store cannot be read just now. */
  async all() {
    const found = new Map();
    for (const store of this.#stores) {
      for (const item of await store.all()) {
        // Twice: a write that was given up came about after all. What became of the report since stands in the other copy.
        const other = found.get(item.id);
        if (other && (other.state !== WAITING && other.state !== SENDING || item.state === WAITING || item.state === SENDING)) continue;
        found.set(item.id, item);
        this.#homes.set(item.id, store);
      }
    }
    return [...found.values()];
  }

  async add(item) {
    for (const store of this.#stores) {
      try {
        await inTime(store.put(asStored(item)), this.#patience);
        this.#homes.set(item.id, store);
        return;
      } catch {
        // Full, broken, or asleep and not waking: the next store is less safe but better than none. Should the write come
        // about later, it is the same report under the same id.
      }
    }
  }

  /** Writes changed items back where they live. */
  async put(item) {
    const home = this.#homes.get(item.id) ?? this.#stores[0];
    await inTime(home.put(asStored(item)), this.#patience);
  }

  /** Takes an item out of every store: an earlier, less safe one may hold it too. */
  async remove(id) {
    for (const store of this.#stores) await store.remove(id);
    this.#homes.delete(id);
  }

  /** How safely these items are kept, the worst of them counting. */
  level(ids) {
    const levels = ids.map((id) => this.#homes.get(id)?.level ?? "safe");
    return ["memory", "weak"].find((level) => levels.includes(level)) ?? this.#stores[0].level;
  }
}

/** One key per item, so that two tabs never overwrite each other's list. */
class LocalStore {
  level = "weak";
  #prefix;

  constructor(prefix) {
    this.#prefix = prefix;
  }

  static works() {
    try {
      localStorage.setItem("holdfast/probe", "1");
      localStorage.removeItem("holdfast/probe");
      return true;
    } catch {
      return false;
    }
  }

  async all() {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(this.#prefix));
    return keys.map((key) => parsed(localStorage.getItem(key))).filter((item) => typeof item?.id === "string");
  }

  async put(item) {
    localStorage.setItem(this.#prefix + item.id, JSON.stringify(item));
  }

  async remove(id) {
    localStorage.removeItem(this.#prefix + id);
  }
}

// One damaged value must not hide the others. It stays where it is.
function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

class MemoryStore {
  level = "memory";
  #items = new Map();

  async all() {
    return [...this.#items.values()];
  }

  async put(item) {
    this.#items.set(item.id, item);
  }

  async remove(id) {
    this.#items.delete(id);
  }
}
