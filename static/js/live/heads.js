// What this device remembers of the board: the last head it heard (epoch, position, check), compared whenever a board
// greets it. So a missing end, another history and a second board are found by any phone that saw more.
//
// Hears the document event "holdfast:head". When the board turns out to be another than the one remembered, everything
// this phone ever reported is offered again; the board recognises what it has. Emits nothing.

import { keep, recall } from "../kept.js";
import { page } from "../page.js";

const TIMEOUT = 8_000;

export class Heads {
  #outbox;
  #asking = false;

  constructor(outbox) {
    this.#outbox = outbox;
  }

  start() {
    document.addEventListener("holdfast:head", ({ detail }) => this.#heard(detail));
  }

  async #heard({ head, type }) {
    const known = recall(this.#name());
    const other = known && (known.epoch !== head.epoch || known.seq > head.seq);
    if (!known || (type !== "hello" && !other)) return this.#keep(head);
    if (this.#asking) return;
    this.#asking = true;
    try {
      const verdict = await ask(known);
      if (!verdict) return; // No answer proves nothing: the memory stays, to be compared at the next greeting.
      this.#keep(head);
      if (verdict !== "here" || known.epoch !== head.epoch) await this.#outbox.offerAgain();
    } finally {
      this.#asking = false;
    }
  }

  // With when it was heard: a board heard long after another machine went on is one that lives.
  #keep(head) {
    keep(this.#name(), { ...head, at: Date.now() });
  }

  #name() {
    return `head/${page.board}`;
  }
}

async function ask(seen) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), TIMEOUT);
  try {
    const answer = await fetch("/seen", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: JSON.stringify({ epoch: seen.epoch, seq: seen.seq, check: seen.check, ago: agoOf(seen.at) }),
      redirect: "manual",
      signal: abort.signal,
    });
    return answer.ok ? (await answer.json()).verdict : null;
  } catch {
    return null;
  } finally {
    clearTimeout(timer);
  }
}

/** How long ago that was (s); undefined where it is not known, as after this device's clock was set back. */
function agoOf(at) {
  const ago = Math.round((Date.now() - at) / 1000);
  return ago >= 0 && ago < 2 ** 32 ? ago : undefined;
}
