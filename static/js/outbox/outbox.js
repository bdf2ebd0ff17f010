// The outbox of this device: takes facts, keeps them, and tells every tab how they fare.
//
// Binds the pure core to storage. Emits the document event "holdfast:outbox" after each change, in every tab, and
// shows [data-storage-warning] in words when this phone cannot keep notes. The order is fixed: write, wait for the
// write to be complete, only then show "on this phone", then send.

import { onReturn, page, setText, tabId } from "../page.js";
import { uuid7 } from "../uuid7.js";
import { basis, DROPPED, isUnsent, newItem, offeredAgain, RECEIPTED, restored, revived, tally, WAITING } from "./core.js";
import { openStorage } from "./storage.js";
import { asRead } from "./stored.js";
import { isUnsure } from "./when.js";

const WARNINGS = {
  memory: "This phone cannot keep notes. Stay on this page until it says “All on the board”.",
  weak: "This phone keeps notes only weakly. Leave this page open until it says “All on the board”.",
};

export class Outbox {
  #items = [];
  #newer = [];
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

  /** Reports that a newer version of this page wrote: kept, and left alone. */
  get newer() {
    return this.#newer.filter((item) => item.state !== RECEIPTED);
  }

  get tally() {
    return { ...tally(this.#items), newer: this.newer.length };
  }

  find(id) {
    return this.#items.find((item) => item.id === id);
  }

  /**
   * Keeps a new fact; resolves with its item once it is stored. `from` says where it was said ({view, kind, context,
   * draft}); `mends` is the id of the parked one it replaces, which goes when this one is safe.
   */
  async add({ about, fact, happenedAt, casualty = null, said = fact.kind, from = null, mends = null }) {
    const madeAt = this.#clock.now();
    const clockError = this.#clock.error();
    const draft = {
      id: uuid7(madeAt),
      about,
      fact,
      happened_at: new Date(happenedAt ?? madeAt).toISOString(),
      ...basis(this.#items, mends, { based_on: page.seq, epoch: page.epoch }),
      casualty,
      said,
      made_at: madeAt,
      clock_error: clockError,
      unsure: isUnsure(clockError),
      wall: Date.now(),
      elapsed: this.#clock.elapsed(),
      jumps: this.#clock.jumps,
      session: tabId,
      from,
    };
    await this.ready;
    const item = newItem(this.#items, draft);
    // Taken into the list at once, so that the next tap gets the next number; shown and sent only when stored.
    this.#items = [...this.#items, { ...item, storing: true }];
    await this.#storage.add(item);
    this.show([item]);
    if (mends) await this.drop(mends);
    this.#changed();
    return item;
  }

  /** Takes changed items over and writes them back. */
  async update(items) {
    if (items.length === 0) return;
    this.show(items);
    const again = revived(this.#items, items);
    this.show(again);
    // If the write fails the fact is sent again after a reload and recognised by its id: no harm.
    await Promise.all([...items, ...again].map((item) => this.#storage.put(item).catch(() => undefined)));
    this.#changed();
  }

  /** Takes changed items over in this tab only. */
  show(items) {
    const fresh = new Map(items.map((item) => [item.id, item]));
    this.#items = this.#items.map((item) => fresh.get(item.id) ?? item);
  }

  /** Gives up a parked item: it is not sent, and stays in the list, should the person think again. */
  async drop(id) {
    const item = this.find(id);
    if (item) await this.update([{ ...item, state: DROPPED }]);
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
    this.#storage = await openStorage(page.board, () => this.#reload());
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
      const { items, newer } = asRead(await this.#storage.all());
      this.#newer = newer;
      stored = restored(items);
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
