// Buttons for what is rare and far-reaching: the first tap asks for a second one. Emits nothing.

const ARMED_FOR = 5_000;
/** A second tap sooner than this is a trembling finger, no second thought (common practice). */
const TREMBLE = 600;

/** Whether this tap does it; the first one only changes the button's words, for a few seconds. */
export function armed(button, words) {
  const { armed: at } = button.dataset;
  if (at !== undefined) return performance.now() - Number(at) > TREMBLE;
  const before = [...button.childNodes];
  button.dataset.armed = String(performance.now());
  button.textContent = words;
  setTimeout(() => {
    if (button.disabled || button.dataset.armed === undefined) return;
    disarm(button);
    button.replaceChildren(...before);
  }, ARMED_FOR);
  return false;
}

/** The next tap asks again. */
export function disarm(button) {
  delete button.dataset.armed;
}
