// The outbox's IndexedDB: one object store of items by id, promise-shaped.
//
// Promises: a write resolves when its transaction is complete with strict durability; a connection that the browser
// closed behind our back is opened again. No DOM; emits nothing.

/** The layout of the database (stores and keys). */
const LAYOUT = 1;
const STORE = "facts";

export class Database {
  level = "safe";
  #name;
  #database;

  constructor(name, database) {
    this.#name = name;
    this.#adopt(database);
  }

  static async open(name) {
    return new Database(name, await connect(name));
  }

  async all() {
    const transaction = await this.#transaction("readonly");
    return new Promise((resolve, reject) => {
      const request = transaction.objectStore(STORE).getAll();
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  }

  put(item) {
    return this.#write((store) => store.put(item));
  }

  remove(id) {
    return this.#write((store) => store.delete(id));
  }

  // "Written" is the transaction's complete event with strict durability, not the request's success.
  async #write(change) {
    const transaction = await this.#transaction("readwrite");
    return new Promise((resolve, reject) => {
      transaction.oncomplete = () => resolve();
      transaction.onerror = () => reject(transaction.error);
      transaction.onabort = () => reject(transaction.error);
      change(transaction.objectStore(STORE));
    });
  }

  // Phones close the connection behind our back while the page sleeps: open it again, once.
  async #transaction(mode) {
    try {
      return this.#database.transaction(STORE, mode, { durability: "strict" });
    } catch {
      this.#adopt(await connect(this.#name));
      return this.#database.transaction(STORE, mode, { durability: "strict" });
    }
  }

  #adopt(database) {
    this.#database = database;
    // A newer page in another tab may want to change the format: do not stand in its way.
    database.onversionchange = () => database.close();
  }
}

// A newer page may have laid out the database anew: open it as it is, if our store is still there.
async function connect(name) {
  try {
    return await opened(name, LAYOUT);
  } catch (error) {
    if (error?.name !== "VersionError") throw error;
    const database = await opened(name);
    if (database.objectStoreNames.contains(STORE)) return database;
    database.close();
    throw error;
  }
}

function opened(name, layout) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, layout);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "id" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
