// Easing a tourniquet off at a steady pace: a little, watch, a little, watch, over at least a minute.
//
// Starts from: [data-pace] with data-seconds (the whole of it), holding [data-pace-go] (begins, and begins again),
// [data-pace-face] (what to do now) and [data-pace-bar]. The counts are the page's own: nothing is reported by it. It rests
// when the view is left. Emits nothing.

import { setText } from "../page.js";

const SECOND = 1_000;
/** Small steps, each eased and then watched (our choice; slowly over a minute: JTS curriculum). */
export const EASES = 6;
/** Of each step so much is easing, the rest is watching. */
const EASING = 0.3;

export function startPace() {
  for (const box of document.querySelectorAll("[data-pace]")) new Pace(box);
}

/** What to do after so many ms of a pace that takes `whole` ms: {step, words, share}; step EASES when it is over. */
export function paceAt(passed, whole) {
  const one = whole / EASES;
  const step = Math.min(EASES, Math.floor(passed / one));
  if (step === EASES) return { step, words: "Dry? Open it fully.", share: 0 };
  const easing = passed - step * one < one * EASING;
  const words = easing ? `Ease it a little: ${step + 1} of ${EASES}` : "Stop. Watch the wound.";
  return { step, words, share: 1 - passed / whole };
}

class Pace {
  #box;
  #timer;
  #began = 0;

  constructor(box) {
    this.#box = box;
    this.#part("go").addEventListener("click", () => this.#begin());
    document.addEventListener("holdfast:view", () => this.#rest());
  }

  #part(name) {
    return this.#box.querySelector(`[data-pace-${name}]`);
  }

  #begin() {
    this.#rest();
    this.#began = performance.now();
    this.#box.dataset.pacing = "";
    setText(this.#part("go"), "From the beginning");
    this.#timer = setInterval(() => this.#tick(), SECOND / 4);
    this.#tick();
  }

  #tick() {
    const { step, words, share } = paceAt(performance.now() - this.#began, Number(this.#box.dataset.seconds) * SECOND);
    setText(this.#part("face"), words);
    this.#part("bar").style.width = `${(100 * share).toFixed(1)}%`;
    if (step < EASES) return;
    clearInterval(this.#timer);
    setText(this.#part("go"), "Once more");
  }

  #rest() {
    clearInterval(this.#timer);
    delete this.#box.dataset.pacing;
    setText(this.#part("go"), "Begin to ease it off");
    setText(this.#part("face"), "");
    this.#part("bar").style.width = "0%";
  }
}
