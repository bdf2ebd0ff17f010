// One live stream per browser: chooses how the tabs share it, and gives the page one way to listen.
//
// A SharedWorker owns the stream where there is one; else the tabs share it by lease; else (no BroadcastChannel)
// this tab has its own. A tab out of sight leaves; on its return it asks for a fresh stream, because phones drop
// connections of sleeping tabs without telling. Emits messages to `onMessage` (see stream.js).

import { onLeave, onReturn, page, tabId } from "../page.js";
import { Hub } from "./hub.js";
import { LeasedStream } from "./lease.js";
import { workerAddress } from "./trusted.js";

/** A worker that has not said "ready" by then does not work here. */
const WORKER_READY = 3_000;
const PING = 20_000;

/** Listens to these views for as long as the page lives. Gives {refresh} to ask for a new stream. */
export function subscribe(views, onMessage) {
  const share = new Share(views, onMessage);
  share.start();
  return { refresh: () => share.enter(true) };
}

// Who joined again in one tab must not hear the stream, nor keep the role, of who the others still are.
const whose = () => `${page.board}/${page.device}/${page.role}`;

class Share {
  #views;
  #onMessage;
  #way = null;

  constructor(views, onMessage) {
    this.#views = views;
    this.#onMessage = onMessage;
  }

  start() {
    this.#way = globalThis.SharedWorker ? new WorkerWay(this.#onMessage, () => this.#withoutWorker()) : tabWay(this.#onMessage);
    this.enter(false);
    onReturn(() => this.enter(true));
    onLeave(() => this.#way.leave());
  }

  enter(fresh) {
    if (!document.hidden) this.#way.join({ views: this.#views, seq: page.seq, fresh });
  }

  #withoutWorker() {
    this.#way = tabWay(this.#onMessage);
    this.enter(false);
  }
}

class WorkerWay {
  #onMessage;
  #onBroken;
  #port = null;
  #ready = false;
  #timer;

  constructor(onMessage, onBroken) {
    this.#onMessage = onMessage;
    this.#onBroken = onBroken;
    setInterval(() => this.#port?.postMessage({ type: "ping", seq: page.seq }), PING);
  }

  join(wanted) {
    if (wanted.fresh || !this.#port) this.#connect();
    this.#port?.postMessage({ ...wanted, type: "join" });
  }

  leave() {
    this.#port?.postMessage({ type: "leave" });
  }

  // Connects anew rather than trust the old port: a phone may have stopped the worker meanwhile.
  #connect() {
    this.leave();
    this.#port?.close();
    this.#ready = false;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#broken(), WORKER_READY);
    try {
      const worker = new SharedWorker(workerAddress(), { type: "module", name: `holdfast-live/${whose()}` });
      worker.onerror = () => this.#broken();
      this.#port = worker.port;
      this.#port.onmessage = ({ data }) => {
        clearTimeout(this.#timer);
        this.#ready = true;
        if (data.type !== "ready") this.#onMessage(data);
      };
    } catch {
      clearTimeout(this.#timer);
      queueMicrotask(() => this.#broken());
    }
  }

  #broken() {
    if (this.#ready || !this.#onBroken) return;
    this.leave();
    this.#port?.close();
    this.#port = null;
    const onBroken = this.#onBroken;
    this.#onBroken = null;
    onBroken();
  }
}

function tabWay(onMessage) {
  if (globalThis.BroadcastChannel) return new LeasedStream(whose(), tabId, { seq: () => page.seq, onMessage });
  const hub = new Hub();
  return { join: (wanted) => hub.join(tabId, { ...wanted, stays: true }, onMessage), leave: () => hub.leave(tabId) };
}
