// Shows, on the casualty or wound itself, what this phone has reported and the board's own parts do not show yet.
//
// Starts from: <ul data-waiting="<uuid of a casualty or wound>">, or data-waiting="$casualty" for the one in the
// context of the open view. One line, the newest, with how many more wait; the list keeps its room when it is empty, so
// that nothing below it moves under a finger. Also holds on to the page (beforeunload) while something waits: without
// a network a page that was left does not come back. Emits nothing.

import { page } from "../page.js";
import { contextOf } from "../report/views.js";
import { DROPPED, inOrder, isUnsent, RECEIPTED } from "./core.js";
import { concerns, line } from "./words.js";

/** Ms after which a line goes although the page never heard that far: it is on the board, and the pill has it. */
const FORGOTTEN = 60_000;

export class Waiting {
  #outbox;
  #clock;
  #receipted = new Map();

  constructor(outbox, clock) {
    this.#outbox = outbox;
    this.#clock = clock;
  }

  start() {
    for (const event of ["holdfast:outbox", "holdfast:patched", "holdfast:heard", "holdfast:view"]) {
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
    const items = this.#outbox.items;
    const shown = inOrder(items).filter((item) => this.#isNews(item));
    for (const list of document.querySelectorAll("ul[data-waiting]")) {
      const wanted = list.dataset.waiting;
      const id = wanted.startsWith("$") ? contextOf(list)[wanted.slice(1)] : wanted;
      const mine = id ? shown.filter((item) => concerns(item, id)) : [];
      const newest = mine.at(-1);
      const more = mine.length > 1 ? ` (and ${mine.length - 1} more)` : "";
      const text = newest ? line(items, newest, this.#clock.now()) + more : "";
      if (text !== list.textContent) list.replaceChildren(...(text ? [row(text)] : []));
    }
  }

  // What the board has taken is shown until the board's own part says it: the page has heard as far as its entry.
  #isNews(item) {
    if (item.state === DROPPED) return false;
    if (item.state !== RECEIPTED) return true;
    if (!this.#receipted.has(item.id)) this.#receipted.set(item.id, performance.now());
    return page.seq < item.seq && performance.now() - this.#receipted.get(item.id) < FORGOTTEN;
  }
}

function row(text) {
  const row = document.createElement("li");
  row.textContent = text;
  return row;
}
