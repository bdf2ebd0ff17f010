// One EventSource for a set of views, kept open for ever.
//
// No DOM: runs in a page and in a SharedWorker. Emits messages {type: "open" | "hello" | "parts" | "heartbeat" | "bye"
// | "down" | "refused", ...the event's data}. "refused" means that `board`, whichever answers, knows no session of this browser (401). Promises: a new EventSource
// object each time (its readyState is never trusted), a watchdog for links that die without an error, and no last attempt.

const BACKOFF = [500, 1_000, 2_000, 4_000, 8_000, 15_000];
/** The board sends something every 5 s; three missed heartbeats mean the stream is dead. */
const SILENCE = 15_000;
const PROBE_TIMEOUT = 4_000;
const EVENTS = ["hello", "parts", "heartbeat", "bye"];

export class Stream {
  #emit;
  #source = null;
  #views = [];
  #since = () => 0;
  #failures = 0;
  #asking = false;
  #retry;
  #watchdog;
  /** What the last hello said, while the stream is open. */
  hello = null;

  constructor(emit) {
    this.#emit = emit;
  }

  get views() {
    return this.#views;
  }

  /** Opens anew for these views; `since` is asked at each opening for the seq to go on from. */
  open(views, since) {
    this.#views = [...views];
    this.#since = since;
    this.#failures = 0;
    this.#reopen();
  }

  close() {
    this.#views = [];
    this.#drop();
  }

  #drop() {
    clearTimeout(this.#retry);
    clearTimeout(this.#watchdog);
    this.#source?.close();
    this.#source = null;
    this.hello = null;
  }

  #reopen() {
    this.#drop();
    if (this.#views.length === 0) return;
    const views = this.#views.map(encodeURIComponent).join(",");
    const source = new EventSource(`/live/${views}?since=${this.#since()}`);
    this.#source = source;
    this.#watch();
    source.onopen = () => this.#hear(source, "open", {});
    source.onerror = () => this.#fail(source);
    for (const type of EVENTS) source.addEventListener(type, (event) => this.#read(source, type, event.data));
  }

  #read(source, type, text) {
    let data;
    try {
      data = JSON.parse(text);
    } catch {
      return this.#fail(source);
    }
    this.#hear(source, type, data);
  }

  #hear(source, type, data) {
    if (source !== this.#source) return;
    this.#watch();
    if (type === "hello") {
      this.hello = data;
      this.#failures = 0;
    }
    this.#emit({ ...data, type });
    if (type === "bye") this.#fail(source);
  }

  #watch() {
    clearTimeout(this.#watchdog);
    this.#watchdog = setTimeout(() => this.#fail(this.#source), SILENCE);
  }

  // The browser would reopen by itself after some errors and never after others: always do it ourselves.
  #fail(source) {
    if (source !== this.#source) return;
    this.#drop();
    this.#emit({ type: "down" });
    const pause = BACKOFF[Math.min(this.#failures, BACKOFF.length - 1)] * Math.random();
    this.#failures += 1;
    this.#retry = setTimeout(() => this.#reopen(), pause);
    this.#askWhy();
  }

  // An EventSource does not tell why it was refused. One question at a time: connections are few.
  async #askWhy() {
    if (this.#asking) return;
    this.#asking = true;
    const abort = new AbortController();
    const timer = setTimeout(() => abort.abort(), PROBE_TIMEOUT);
    try {
      const answer = await fetch("/session", { cache: "no-store", redirect: "manual", signal: abort.signal });
      if (answer.status === 401) this.#emit({ type: "refused", board: (await answer.json().catch(() => ({}))).board });
    } catch {
      // No network: "down" has said so.
    } finally {
      clearTimeout(timer);
      this.#asking = false;
    }
  }
}
