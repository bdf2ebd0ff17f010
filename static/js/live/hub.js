// Shares one stream between the tabs of a device.
//
// No DOM: used by the SharedWorker, by the tab that holds the lease, and by a tab on its own. Clients join with the
// views they show and the seq they show them at; the stream is opened for all views together and from the smallest
// seq, for a part applied twice changes nothing. Emits each stream message to every client.

import { Stream } from "./stream.js";

/** A hidden tab's timers may run only once a minute; a tab silent for longer than this is gone. */
const GONE = 150_000;
const SWEEP = 30_000;

export class Hub {
  #clients = new Map();
  #stream;
  #delivered = 0;

  constructor(makeStream = (emit) => new Stream(emit)) {
    this.#stream = makeStream((message) => this.#deliver(message));
    this.sweeper = setInterval(() => this.#sweep(), SWEEP);
  }

  /**
   * A client comes, or comes back. `fresh`: it has reason to distrust the stream as it stands; `stays`: it lives in
   * the hub's own tab and need not ping.
   */
  join(id, { views, seq, fresh = false, stays = false }, send) {
    this.#clients.set(id, { views, seq, send, heard: stays ? Infinity : performance.now() });
    const missing = views.some((view) => !this.#stream.views.includes(view));
    if (fresh || missing || seq < this.#delivered) return this.#open();
    // The stream goes on; tell the newcomer whose board this is. The hello's time is old by now.
    if (this.#stream.hello) send({ ...this.#stream.hello, type: "hello", now: null });
  }

  ping(id) {
    const client = this.#clients.get(id);
    if (client) client.heard = Math.max(client.heard, performance.now());
    return Boolean(client);
  }

  leave(id) {
    this.#clients.delete(id);
    if (this.#clients.size === 0) this.#stream.close();
  }

  close() {
    clearInterval(this.sweeper);
    this.#clients.clear();
    this.#stream.close();
  }

  #open() {
    const clients = [...this.#clients.values()];
    this.#stream.open(new Set(clients.flatMap((client) => client.views)), () => this.#smallestSeq());
    this.#delivered = this.#smallestSeq();
  }

  #smallestSeq() {
    return Math.min(...[...this.#clients.values()].map((client) => client.seq));
  }

  #deliver(message) {
    for (const client of this.#clients.values()) {
      if (message.type === "parts") client.seq = Math.max(client.seq, message.seq);
      client.send(message);
    }
    if (message.type === "parts") this.#delivered = Math.max(this.#delivered, message.seq);
  }

  #sweep() {
    const oldest = performance.now() - GONE;
    for (const [id, client] of this.#clients) if (client.heard < oldest) this.leave(id);
  }
}
