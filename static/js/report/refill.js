// The seconds until colour comes back: press, let go, tap when it is back. Counts in tenths.
//
// Starts from: [data-refill] with data-press (seconds) and data-limit (tenths), holding [data-refill-go] (one button for
// the whole way), [data-refill-face] and one number <input>. While a nail is pressed the face counts down; after it, up.
// The number can be written by hand all the same. Emits the input's own "input" event.

const SECOND = 1_000;
const TENTH = 100;
/** Nobody waits longer: what is not back by then is not coming back. */
const LONGEST = 15 * SECOND;
const GO = "Press now";

export function startRefill() {
  for (const box of document.querySelectorAll("[data-refill]")) new Refill(box);
}

class Refill {
  #box;
  #timer;
  #began = 0;
  #step = "idle";

  constructor(box) {
    this.#box = box;
    this.#part("go").addEventListener("click", () => this.#tap());
    // A form that opens for somebody else starts anew.
    document.addEventListener("holdfast:view", () => this.#rest());
  }

  #part(name) {
    return this.#box.querySelector(`[data-refill-${name}]`);
  }

  #tap() {
    if (this.#step === "pressing") return;
    if (this.#step === "counting") return this.#done(performance.now() - this.#began);
    this.#enter("pressing", "Keep pressing");
  }

  #enter(step, words) {
    this.#step = step;
    this.#began = performance.now();
    this.#box.dataset.refillStep = step;
    this.#part("go").textContent = words;
    clearInterval(this.#timer);
    this.#timer = setInterval(() => this.#tick(), TENTH / 2);
    this.#tick();
  }

  #tick() {
    const passed = performance.now() - this.#began;
    if (this.#step === "pressing") {
      const left = Number(this.#box.dataset.press) * SECOND - passed;
      if (left <= 0) return this.#enter("counting", "Colour is back");
      this.#say(`Press a nail beyond the dressing: ${Math.ceil(left / SECOND)}`);
    } else if (passed >= LONGEST) {
      this.#done(LONGEST);
    } else {
      this.#say(`Let go! ${(passed / SECOND).toFixed(1)} s`);
    }
  }

  #done(passed) {
    const tenths = Math.round(passed / TENTH);
    this.#rest();
    const input = this.#box.querySelector("input");
    input.value = (tenths / 10).toFixed(1);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    this.#say(judged(tenths, Number(this.#box.dataset.limit)));
    this.#part("go").textContent = "Once more";
  }

  #rest() {
    clearInterval(this.#timer);
    this.#step = "idle";
    this.#box.dataset.refillStep = "idle";
    this.#part("go").textContent = GO;
    this.#say("");
  }

  #say(words) {
    this.#part("face").textContent = words;
  }
}

/** What a time means against a limit, both in tenths of a second. */
export function judged(tenths, limit) {
  const seconds = `${(tenths / 10).toFixed(1)} s`;
  if (tenths <= limit) return `${seconds}: in time`;
  return `${seconds}: slow, over ${(limit / 10).toFixed(1)} s. Take the other side too.`;
}
