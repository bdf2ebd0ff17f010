// Where the fingers are: how many are on the screen, and how long ago the last one left.
//
// Listens to touches (which go on while a finger scrolls, unlike pointer events) and to the mouse. Emits nothing; nothing
// on a page may move under a finger, so patch.js asks here, and report.js refuses taps made with the whole hand.

/** A touch whose end was never told is forgotten after this. */
const LOST = 15_000;

let fingers = 0;
let mouse = false;
let changed = -Infinity;

export function startHands() {
  const touch = (event) => note(() => { fingers = event.touches.length; });
  for (const type of ["touchstart", "touchend", "touchcancel"]) {
    window.addEventListener(type, touch, { capture: true, passive: true });
  }
  const press = (event) => note(() => { mouse = event.type === "mousedown"; });
  for (const type of ["mousedown", "mouseup"]) window.addEventListener(type, press, { capture: true });
  window.addEventListener("blur", () => note(() => { mouse = false; }));
}

function note(change) {
  change();
  changed = performance.now();
}

/** How many fingers (or pressed mice) are on the screen. */
export function handsDown() {
  if (performance.now() - changed > LOST) return 0;
  return Math.max(fingers, mouse ? 1 : 0);
}

/** Ms since a finger last came or went. */
export function sinceHand() {
  return performance.now() - changed;
}
