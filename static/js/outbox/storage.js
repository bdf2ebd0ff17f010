// Where this device keeps the outbox: IndexedDB, else localStorage, else memory. Promise-shaped, and nothing else.
//
// Promises: `add` resolves only when the item is as safe as it can be here, and tells how safe that is; an id is
// added once; a failing store is passed over, never silently: `level()` says "safe" | "weak" | "memory".
// All tabs of the device share the stores. No DOM; emits nothing.

import { Database } from "./database.js";

/** The shape of a stored item; goes up when the shape changes. */
const FORMAT = 1;

/** Opens the outbox of one board. */
export async function openStorage(board) {
  const stores = [];
  try {
    stores.push(await Database.open(`holdfast-outbox/${board}`));
  } catch {
    // Private windows of some browsers have no IndexedDB; the next store takes over.
  }
  if (LocalStore.works()) stores.push(new LocalStore(`holdfast-outbox/${board}/`));
  stores.push(new MemoryStore());
  return new Storage(stores);
}

/** Tries the stores in order of safety. */
export class Storage {
  #stores;
  #homes = new Map();

  constructor(stores) {
    this.#stores = stores;
  }

  /** Everything kept here; rejects when a store cannot be read just now. */
  async all() {
    const found = new Map();
    for (const store of this.#stores) {
      for (const item of await store.all()) {
        if (found.has(item.id)) continue;
        found.set(item.id, item);
        this.#homes.set(item.id, store);
      }
    }
    return [...found.values()];
  }

  async add(item) {
    for (const store of this.#stores) {
      try {
        await store.put({ ...item, format: FORMAT });
        this.#homes.set(item.id, store);
        return;
      } catch {
        // Full or broken: the next store is less safe but better than none.
      }
    }
  }

  /** Writes changed items back where they live. */
  async put(item) {
    const home = this.#homes.get(item.id) ?? this.#stores[0];
    await home.put({ ...item, format: FORMAT });
  }

  async remove(id) {
    for (const store of this.#stores) await store.remove(id).catch(() => undefined);
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
    return keys.map((key) => JSON.parse(localStorage.getItem(key)));
  }

  async put(item) {
    localStorage.setItem(this.#prefix + item.id, JSON.stringify(item));
  }

  async remove(id) {
    localStorage.removeItem(this.#prefix + id);
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
