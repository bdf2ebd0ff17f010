// Shows, on the casualty or wound itself, what this phone has reported and the board has not yet taken.
//
// Starts from: <ul data-waiting="<uuid of a casualty or wound>">, or data-waiting="$casualty" for the one in the
// context of the open view. Also holds on to the page (beforeunload) while something waits: without a network a page
// that was left does not come back. Emits nothing.

import { contextOf } from "../report/views.js";
import { inOrder, isUnsent, RECEIPTED } from "./core.js";
import { concerns, line } from "./words.js";

/** A line stays this long after its receipt, so that it does not vanish before the board's own part arrives. */
const LINGER = 4_000;

export class Waiting {
  #outbox;
  #receipted = new Map();

  constructor(outbox) {
    this.#outbox = outbox;
  }

  start() {
    for (const event of ["holdfast:outbox", "holdfast:patched", "holdfast:view"]) {
      document.addEventListener(event, () => this.#paint());
    }
    window.addEventListener("beforeunload", (event) => {
      if (!this.#outbox.items.some(isUnsent)) return;
      event.preventDefault();
      event.returnValue = ""; // Older browsers ask only when this is set.
    });
    this.#outbox.ready.then(() => {
      for (const item of this.#outbox.items) if (item.state === RECEIPTED) this.#receipted.set(item.id, -Infinity);
      this.#paint();
    });
  }

  #paint() {
    const shown = inOrder(this.#outbox.items).filter((item) => this.#isFresh(item));
    for (const list of document.querySelectorAll("ul[data-waiting]")) {
      const wanted = list.dataset.waiting;
      const id = wanted.startsWith("$") ? contextOf(list)[wanted.slice(1)] : wanted;
      const lines = id ? shown.filter((item) => concerns(item, id)).map(line) : [];
      if (lines.join("\n") !== Array.from(list.children, (row) => row.textContent).join("\n")) {
        list.replaceChildren(...lines.map(row));
      }
    }
  }

  #isFresh(item) {
    if (item.state !== RECEIPTED) return true;
    if (!this.#receipted.has(item.id)) {
      this.#receipted.set(item.id, performance.now());
      setTimeout(() => this.#paint(), LINGER);
    }
    return performance.now() - this.#receipted.get(item.id) < LINGER - 50;
  }
}

function row(text) {
  const row = document.createElement("li");
  row.textContent = text;
  return row;
}
