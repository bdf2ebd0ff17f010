// Applies the board's parts to the page.
//
// Verbs: replace the element with a part's id; if there is none and `into` names an element of this page, append there;
// remove what is gone; sort [data-sort] containers again. Keeps body data-seq up to date. Nothing moves under a finger:
// while one is down nothing changes at all; until two seconds after the last touch nothing is removed or re-ordered;
// then it is, and [data-say] tells ("2 moved up"). Replaced parts carry data-changed for two seconds.
// Emits the document event "holdfast:patched" after each change, "holdfast:heard" when the page merely heard further.

import { handsDown, sinceHand } from "../hands.js";
import { page, say } from "../page.js";
import { holdingView, replaceKeeping } from "./carry.js";
import { sortChildren } from "./order.js";
import { elementsOf } from "./trusted.js";

/** The click comes a moment after the finger has left: do not replace what it is about to hit. */
const AFTER_FINGER = 400;
const STILL = 2_000;
const LOOK_AGAIN = 200;
const MARKED = 2_000;

export class Patcher {
  #waiting = [];
  #gone = new Set();
  #reordered = new Set();
  #held = false;
  #timer;

  /** Takes one `parts` message; applies it at once or as soon as hands allow. */
  take(message) {
    this.#waiting.push(message);
    this.#work();
  }

  /** The board has told everything up to this position; a page that holds nothing back shows it. */
  heard(seq) {
    if (this.#waiting.length > 0 || !(seq > page.seq)) return;
    page.seq = seq;
    document.dispatchEvent(new CustomEvent("holdfast:heard"));
  }

  #work() {
    clearTimeout(this.#timer);
    const settled = sinceHand() > STILL;
    if (handsDown() === 0 && sinceHand() > AFTER_FINGER) this.#apply(settled);
    if (this.#waiting.length > 0 || this.#gone.size > 0 || this.#reordered.size > 0) {
      this.#held = true;
      this.#timer = setTimeout(() => this.#work(), LOOK_AGAIN);
    }
  }

  #apply(settled) {
    const messages = this.#waiting;
    this.#waiting = [];
    const settle = settled && (this.#gone.size > 0 || this.#reordered.size > 0 || messages.length > 0);
    if (messages.length === 0 && !settle) return;
    holdingView(() => {
      for (const message of messages) this.#applyParts(message);
      if (settle) this.#settle();
    });
    for (const message of messages) page.seq = message.seq;
    document.dispatchEvent(new CustomEvent("holdfast:patched"));
  }

  #applyParts({ parts = [], gone = [] }) {
    for (const part of parts) this.#applyPart(part);
    for (const id of gone) this.#gone.add(id);
  }

  #applyPart({ id, into, html }) {
    const fresh = elementsOf(html).firstElementChild;
    if (!fresh || fresh.id !== id) return console.error(`part ${id} does not carry its own id`);
    this.#gone.delete(id);
    const old = document.getElementById(id);
    if (old) {
      if (old.dataset.order !== fresh.dataset.order) this.#reordered.add(id);
      replaceKeeping(old, fresh);
      mark(fresh);
      return;
    }
    const container = into && document.getElementById(into);
    if (!container) return;
    container.append(fresh);
    this.#reordered.add(id);
    mark(fresh);
  }

  #settle() {
    for (const id of this.#gone) document.getElementById(id)?.remove();
    let up = 0;
    for (const container of document.querySelectorAll("[data-sort]")) up += sortChildren(container, this.#reordered);
    if (this.#held && up > 0) say(`${up} moved up`);
    this.#gone.clear();
    this.#reordered.clear();
    this.#held = false;
  }
}

function mark(element) {
  if (matchMedia("(prefers-reduced-motion: reduce)").matches) return;
  element.setAttribute("data-changed", "");
  setTimeout(() => element.removeAttribute("data-changed"), MARKED);
}
