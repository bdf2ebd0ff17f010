// Buttons for what is rare and far-reaching: the first tap asks for a second one. Emits nothing.

const ARMED_FOR = 5_000;
/** A second tap sooner than this is a trembling finger, no second thought (common practice). */
const TREMBLE = 600;

/** What a button says by itself, and what it says while it asks. */
const asking = new WeakMap();

/** Whether this tap does it; the first one only changes the button's words, for a few seconds. */
export function armed(button, words) {
  const { armed: at } = button.dataset;
  if (at !== undefined) return performance.now() - Number(at) > TREMBLE;
  const mine = String(performance.now());
  asking.set(button, { before: asking.get(button)?.before ?? [...button.childNodes], words });
  button.dataset.armed = mine;
  button.textContent = words;
  setTimeout(() => {
    if (button.disabled || button.dataset.armed !== mine) return;
    disarm(button);
    button.replaceChildren(...asking.get(button).before);
  }, ARMED_FOR);
  return false;
}

/** The next tap asks again; until then the button says what it said before, unless it was told something else meanwhile. */
export function disarm(button) {
  delete button.dataset.armed;
  const { before, words } = asking.get(button) ?? {};
  if (before && button.textContent === words) button.replaceChildren(...before);
}
