// The pill: how many reports are only on this phone, and since when. A button that opens the list of them (list.js).
//
// Starts from: [data-pill] (a button). body gets data-outbox="clear|waiting|parked". Emits nothing.

import { setText } from "../page.js";
import { onTick } from "../time/tick.js";
import { pillWords } from "./words.js";

export class Pill {
  #outbox;
  #clock;
  #list;

  constructor(outbox, clock, list) {
    this.#outbox = outbox;
    this.#clock = clock;
    this.#list = list;
  }

  // Before the outbox has looked it knows of nothing that waits, and must not say so.
  start() {
    document.addEventListener("click", (event) => {
      if (event.target.closest("[data-pill]")) this.#list.open();
    });
    this.#outbox.ready.then(() => {
      document.addEventListener("holdfast:outbox", () => this.#paint());
      onTick(() => this.#paint());
      this.#paint();
    });
  }

  #paint() {
    const { tally, trouble } = this.#outbox;
    document.body.dataset.outbox = tally.parked > 0 ? "parked" : tally.unsent + tally.newer > 0 ? "waiting" : "clear";
    const words = pillWords(tally, trouble, this.#clock.now());
    for (const pill of document.querySelectorAll("[data-pill]")) setText(pill, words);
  }
}
