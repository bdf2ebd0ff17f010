// A trembling finger taps twice: the second tap must not hit what the first one brought up.
//
// Swallows taps (not keys) for a moment after a view has changed or something has come up under the finger. html carries
// data-settling meanwhile. Emits nothing.

/** Two taps of one tremble lie closer than this, in ms (common practice). */
export const TREMBLE = 350;

/** Whether a tap at `at` hits something that came up too lately; both in ms of the page's life. */
export const tooSoon = (at, changed) => at - changed < TREMBLE;

let changed = -Infinity;
let timer;

/** What is under the finger has just become something else. */
export function settling() {
  changed = performance.now();
  document.documentElement.toggleAttribute("data-settling", true);
  clearTimeout(timer);
  timer = setTimeout(() => document.documentElement.removeAttribute("data-settling"), TREMBLE);
}

export function startTremble() {
  document.addEventListener("holdfast:view", settling);
  window.addEventListener("click", (event) => {
    // A key, or a script, does not tremble.
    if (event.detail === 0 || !tooSoon(performance.now(), changed)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }, { capture: true });
}
