// The live stream shared without a SharedWorker: the tab that holds the lease owns it and broadcasts.
//
// Talks over a BroadcastChannel named after the board: {to: "holder", from, type: join|ping|leave, …} and
// {to: <tab>, message}. A holder that goes silent loses the lease after six seconds and another tab takes over;
// its first words {to: "all", type: "who"} make the others join again. No DOM.

import { TabLease } from "../tab_lease.js";
import { Hub } from "./hub.js";

const RENEW = 2_000;
const LASTS = 6_000;

export class LeasedStream {
  #tab;
  #channel;
  #lease;
  #onMessage;
  #hub = null;
  #wanted = null;
  #seq;

  /** `seq` tells the position this tab shows; `onMessage` gets the stream's messages. */
  constructor(board, tab, { seq, onMessage }) {
    this.#tab = tab;
    this.#seq = seq;
    this.#onMessage = onMessage;
    this.#lease = new TabLease(`live/${board}`, tab, LASTS);
    this.#channel = new BroadcastChannel(`holdfast-live/${board}`);
    this.#channel.onmessage = ({ data }) => this.#hear(data);
    setInterval(() => this.#renew(), RENEW);
  }

  join(wanted) {
    this.#wanted = wanted;
    const presided = this.#hub !== null;
    this.#renew();
    // Becoming the holder just now has entered this tab already, with a stream as fresh as can be.
    if (presided || !this.#hub) this.#enter(wanted);
  }

  leave() {
    this.#wanted = null;
    if (!this.#hub) return this.#toHolder({ type: "leave" });
    // A hidden tab may be frozen at any moment: give the stream away while there is time.
    this.#lease.release();
    this.#retire();
    this.#channel.postMessage({ to: "all", type: "free" });
  }

  #renew() {
    if (!this.#wanted) return;
    if (this.#lease.take()) {
      if (!this.#hub) this.#preside();
    } else if (this.#hub) {
      this.#retire();
      this.#enter({ ...this.#wanted, seq: this.#seq() });
    } else {
      this.#toHolder({ type: "ping", seq: this.#seq() });
    }
  }

  #preside() {
    this.#hub = new Hub();
    this.#enter({ ...this.#wanted, seq: this.#seq() });
    this.#channel.postMessage({ to: "all", type: "who" });
  }

  #retire() {
    this.#hub.close();
    this.#hub = null;
  }

  #enter(wanted) {
    if (this.#hub) this.#hub.join(this.#tab, { ...wanted, stays: true }, this.#onMessage);
    else this.#toHolder({ ...wanted, type: "join" });
  }

  #toHolder(words) {
    this.#channel.postMessage({ ...words, to: "holder", from: this.#tab });
  }

  #hear(data) {
    if (data.to === this.#tab && !this.#hub) this.#onMessage(data.message);
    if (data.to === "all" && this.#wanted) {
      if (data.type === "who" && !this.#hub) this.#enter({ ...this.#wanted, seq: this.#seq(), fresh: false });
      if (data.type === "free") this.#renew();
    }
    if (data.to === "holder" && this.#hub) this.#serve(data);
  }

  #serve({ from, type, views, seq, fresh }) {
    const send = (message) => this.#channel.postMessage({ to: from, message });
    if (type === "join") this.#hub.join(from, { views, seq, fresh }, send);
    if (type === "leave") this.#hub.leave(from);
    if (type === "ping" && !this.#hub.ping(from)) this.#channel.postMessage({ to: "all", type: "who" });
  }
}
