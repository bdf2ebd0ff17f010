// The outbox of this device: takes facts, keeps them, and tells every tab how they fare.
//
// Binds the pure core to storage. Emits the document event "holdfast:outbox" after each change, in every tab, and
// shows [data-storage-warning] in words when this phone cannot keep notes. The order is fixed: write, wait for the
// write to be complete, only then show "on this phone", then send.

import { onReturn, page, setText } from "../page.js";
import { uuid7 } from "../uuid7.js";
import { isUnsent, newItem, offeredAgain, RECEIPTED, restored, tally, WAITING } from "./core.js";
import { openStorage } from "./storage.js";

const WARNINGS = {
  memory: "This phone cannot keep notes. Stay on this page until it says “All on the board”.",
  weak: "This phone keeps notes only weakly. Leave this page open until it says “All on the board”.",
};

export class Outbox {
  #items = [];
  #storage;
  #clock;
  #channel;
  /** What the board last said about sending: "" | "join" | "storage". */
  trouble = "";
  ready;

  constructor(clock) {
    this.#clock = clock;
    this.ready = this.#open();
  }

  get items() {
    return this.#items;
  }

  get tally() {
    return tally(this.#items);
  }

  find(id) {
    return this.#items.find((item) => item.id === id);
  }

  /** Keeps a new fact; resolves with its item once it is stored. */
  async add({ about, fact, happenedAt, casualty = null, said = fact.kind }) {
    const madeAt = this.#clock.now();
    const draft = {
      id: uuid7(madeAt),
      about,
      fact,
      happened_at: new Date(happenedAt ?? madeAt).toISOString(),
      based_on: page.seq,
      casualty,
      said,
      made_at: madeAt,
      clock_error: this.#clock.error(),
      wall: Date.now(),
    };
    await this.ready;
    const item = newItem(this.#items, draft);
    // Taken into the list at once, so that the next tap gets the next number; shown only when stored.
    this.#items = [...this.#items, item];
    await this.#storage.add(item);
    this.#changed();
    return item;
  }

  /** Takes changed items over and writes them back. */
  async update(items) {
    if (items.length === 0) return;
    this.show(items);
    // If the write fails the fact is sent again after a reload and recognised by its id: no harm.
    await Promise.all(items.map((item) => this.#storage.put(item).catch(() => undefined)));
    this.#changed();
  }

  /** Takes changed items over in this tab only. */
  show(items) {
    const fresh = new Map(items.map((item) => [item.id, item]));
    this.#items = this.#items.map((item) => fresh.get(item.id) ?? item);
  }

  /** Gives up a parked item, for good. */
  async drop(id) {
    this.#items = this.#items.filter((item) => item.id !== id);
    await this.#storage.remove(id);
    this.#changed();
  }

  /** Offers everything the board ever took again: this board may not have it. What it has it recognises by the id. */
  async offerAgain() {
    await this.ready;
    await this.update(offeredAgain(this.#items));
  }

  /** Lets a parked item be sent again. */
  async retry(id) {
    const item = this.find(id);
    if (item) await this.update([{ ...item, state: WAITING, problem: null }]);
  }

  /** Remembers what stands in the way of sending. */
  setTrouble(trouble) {
    if (trouble === this.trouble) return;
    this.trouble = trouble;
    this.#tell();
  }

  async #open() {
    this.#storage = await openStorage(page.board);
    if (globalThis.BroadcastChannel) {
      this.#channel = new BroadcastChannel(`holdfast-outbox/${page.board}`);
      this.#channel.onmessage = () => this.#reload();
    }
    onReturn(() => this.#reload());
    await this.#reload();
  }

  async #reload() {
    let stored;
    try {
      stored = restored(await this.#storage.all());
    } catch {
      return this.#tell(); // What this tab knows is better than nothing.
    }
    // A receipt is final: never fall back behind one that is still being written.
    stored = stored.map((item) => (this.find(item.id)?.state === RECEIPTED ? this.find(item.id) : item));
    const known = new Set(stored.map((item) => item.id));
    // A tap of this tab that is still being written is not in storage yet: keep it.
    const inHand = this.#items.filter((item) => !known.has(item.id) && isUnsent(item) && item.attempts === 0);
    this.#items = [...stored, ...inHand];
    this.#tell();
  }

  #changed() {
    this.#channel?.postMessage("changed");
    this.#tell();
  }

  #tell() {
    const level = this.#storage.level(this.#items.filter(isUnsent).map((item) => item.id));
    for (const place of document.querySelectorAll("[data-storage-warning]")) {
      setText(place, WARNINGS[level] ?? "");
      place.hidden = level === "safe";
    }
    document.dispatchEvent(new CustomEvent("holdfast:outbox"));
  }
}
