// Drains the outbox to the board: POST /journal, in order, one flush at a time per device, for ever.
//
// Starts on every page with a board. Tries at once when a fact is added, when the page comes back to the eye and
// when the network comes back; tries once more, with keepalive, when the page leaves the eye. Feeds the board clock
// with every answer. Emits nothing of its own: the outbox tells ("holdfast:outbox").

import { onLeave, onReturn, page, tabId } from "../page.js";
import { TabLease } from "../tab_lease.js";
import { readAnswer } from "./answer.js";
import { backoff, BATCH_FACTS, isUnsent, nextBatch, sending, unsettled, wire } from "./core.js";
import { timed } from "./when.js";

const TIMEOUT = 8_000;
const LEASE = 12_000;
/** Another tab is sending: look again after this. */
const OTHER_TAB = 1_000;

export class Sender {
  #outbox;
  #clock;
  #lease = new TabLease(`flush/${page.board}`, tabId, LEASE);
  #busy = false;
  #left = false;
  #failures = 0;
  #most = BATCH_FACTS;
  #notBefore = 0;
  #timer;

  constructor(outbox, clock) {
    this.#outbox = outbox;
    this.#clock = clock;
  }

  start() {
    document.addEventListener("holdfast:outbox", () => this.#poke());
    onReturn(() => {
      this.#failures = 0;
      this.#poke();
    });
    onLeave(() => this.#flush({ keepalive: true }));
    // The next page of this device need not wait for a lease that nobody can give back any more. A visibility change
    // still follows pagehide: it must not take the lease again.
    window.addEventListener("pagehide", () => {
      this.#left = true;
      this.#lease.release();
    });
    window.addEventListener("pageshow", () => { this.#left = false; });
    this.#outbox.ready.then(() => this.#poke());
  }

  #poke() {
    if (this.#waits()) this.#flush();
  }

  #waits() {
    return this.#outbox.items.some(isUnsent);
  }

  async #flush({ keepalive = false } = {}) {
    if (this.#left || this.#busy || !this.#waits()) return;
    if (performance.now() < this.#notBefore) return this.#later(this.#notBefore - performance.now());
    if (!this.#lease.take()) return this.#later(OTHER_TAB);
    this.#busy = true;
    clearTimeout(this.#timer);
    let pause = 0;
    try {
      while (this.#waits() && pause === 0) {
        this.#lease.take();
        pause = await this.#sendOnce(keepalive);
      }
    } finally {
      this.#busy = false;
      this.#lease.release();
    }
    if (this.#waits()) this.#later(pause);
  }

  /** Sends one batch; gives the pause before the next in ms, 0 for none. */
  async #sendOnce(keepalive) {
    const batch = await this.#takeBatch();
    const answer = await this.#post(batch, keepalive);
    const meaning = readAnswer(batch, answer, page.board);
    if (answer && Number.isFinite(meaning.now)) this.#clock.answered(answer.mark, meaning.now, meaning.received);
    const settled = new Set(meaning.items.map((item) => item.id));
    this.#outbox.show(unsettled(batch.filter((item) => !settled.has(item.id))));
    await this.#outbox.update(meaning.items);
    return this.#pauseAfter(meaning, batch.length);
  }

  async #takeBatch() {
    const { jumps } = this.#clock;
    const time = { now: this.#clock.now(), error: this.#clock.error(), wall: Date.now(), elapsed: this.#clock.elapsed(), session: tabId, jumps };
    const picked = nextBatch(this.#outbox.items, this.#most);
    const settled = picked.map((item) => timed(item, time));
    await this.#outbox.update(settled.filter((item, at) => item !== picked[at]));
    const batch = sending(settled);
    this.#outbox.show(batch);
    return batch;
  }

  #pauseAfter({ outcome, wait }, sent) {
    if (outcome === "receipts") {
      this.#failures = 0;
      this.#most = Math.min(BATCH_FACTS, this.#most * 2);
      this.#outbox.setTrouble("");
      return 0;
    }
    if (outcome === "smaller") {
      this.#most = Math.max(1, Math.floor(sent / 2));
      return 0;
    }
    this.#outbox.setTrouble(outcome === "join" || outcome === "storage" ? outcome : "");
    const pause = Math.max(wait ?? 0, backoff(this.#failures, Math.random), 1);
    this.#failures += 1;
    if (wait) this.#notBefore = performance.now() + wait; // The wall clock may be set meanwhile.
    return pause;
  }

  async #post(batch, keepalive) {
    const abort = new AbortController();
    const timer = setTimeout(() => abort.abort(), TIMEOUT);
    const mark = this.#clock.mark();
    try {
      const response = await fetch("/journal", {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
        body: JSON.stringify({ sent_at: new Date(this.#clock.now()).toISOString(), waiting: this.#outbox.tally.unsent - batch.length, facts: batch.map(wire) }),
        cache: "no-store",
        redirect: "manual",
        keepalive,
        signal: abort.signal,
      });
      const { headers, status } = response;
      const text = await response.text();
      return { status, text, type: headers.get("Content-Type"), retryAfter: headers.get("Retry-After"), mark };
    } catch {
      return null;
    } finally {
      clearTimeout(timer);
    }
  }

  #later(pause) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#flush(), pause);
  }
}
