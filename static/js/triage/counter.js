// Counting breaths or beats with the thumb, over 15, 30 or 60 seconds.
//
// Starts from: [data-counter] with buttons [data-counter-window="15"], one [data-counter-tap] holding
// [data-counter-words] and [data-counter-left], and [data-counter-done] with [data-counter-use] and
// [data-counter-again]. The first tap starts the time and counts nothing; every later one is a breath or a beat.
// Emits "holdfast:counted" {count, seconds, perMinute} from [data-counter] when the result is taken.

import { setText } from "../page.js";
import { perMinute } from "./rate.js";

export function startCounters() {
  for (const root of document.querySelectorAll("[data-counter]")) new Counter(root);
  document.addEventListener("holdfast:view", () => document.dispatchEvent(new CustomEvent("holdfast:counter-reset")));
}

class Counter {
  #root;
  #seconds = 15;
  #count = 0;
  #startedAt = null;
  #timer = null;
  #done = false;

  constructor(root) {
    this.#root = root;
    root.addEventListener("click", (event) => this.#click(event));
    // Waiting for the click would lose fast beats on some phones.
    this.#part("tap").addEventListener("pointerdown", (event) => this.#tap(event));
    document.addEventListener("holdfast:counter-reset", () => this.#reset());
    this.#reset();
  }

  #part(name) {
    return this.#root.querySelector(`[data-counter-${name}]`);
  }

  #click(event) {
    const window = event.target.closest("[data-counter-window]");
    if (window && this.#startedAt === null) this.#seconds = Number(window.dataset.counterWindow);
    if (event.target.closest("[data-counter-tap]") && event.detail === 0) this.#tap(event); // by keyboard
    if (event.target.closest("[data-counter-again]")) return this.#reset();
    if (event.target.closest("[data-counter-use]")) return this.#use();
    this.#paint();
  }

  #tap(event) {
    if (this.#done || event.button > 0) return;
    if (this.#startedAt === null) {
      this.#startedAt = performance.now();
      this.#timer = setInterval(() => this.#tick(), 100);
    } else {
      this.#count += 1;
    }
    this.#paint();
  }

  #tick() {
    if (performance.now() - this.#startedAt >= this.#seconds * 1000) {
      clearInterval(this.#timer);
      this.#done = true;
      navigator.vibrate?.(200);
    }
    this.#paint();
  }

  #use() {
    const detail = { count: this.#count, seconds: this.#seconds, perMinute: perMinute(this.#count, this.#seconds) };
    this.#root.dispatchEvent(new CustomEvent("holdfast:counted", { bubbles: true, detail }));
    this.#reset();
  }

  #reset() {
    clearInterval(this.#timer);
    this.#count = 0;
    this.#startedAt = null;
    this.#done = false;
    this.#paint();
  }

  #paint() {
    const running = this.#startedAt !== null;
    for (const window of this.#root.querySelectorAll("[data-counter-window]")) {
      window.setAttribute("aria-pressed", String(Number(window.dataset.counterWindow) === this.#seconds));
      window.disabled = running;
    }
    const left = running ? Math.max(0, Math.ceil(this.#seconds - (performance.now() - this.#startedAt) / 1000)) : this.#seconds;
    setText(this.#part("words"), running ? `${this.#count} · tap at each one` : "Count: tap to start");
    setText(this.#part("left"), running ? `${left} s left` : `over ${this.#seconds} s`);
    this.#part("tap").hidden = this.#done;
    this.#part("done").hidden = !this.#done;
    const rate = perMinute(this.#count, this.#seconds);
    setText(this.#part("use"), `Use ${this.#count} in ${this.#seconds} s: ${rate} a minute`);
  }
}
