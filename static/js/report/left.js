// What is left in the kits, said beside what a form asks about.
//
// Starts from: [data-left='{"tourniquet":3}'], a live part; beside each [data-left-of="item"] it says how many are left. A
// number that stands in a form from the start ("1 gauze roll") is 0 when none is left, as long as nobody has touched it.
// Emits the input's own "input" event where it changes one.

import { setText } from "../page.js";

export function startLeft() {
  for (const event of ["holdfast:patched", "holdfast:view"]) document.addEventListener(event, paint);
  paint();
}

/** How many are left, in words; nothing where nobody counted. */
export function leftWords(left) {
  if (left === undefined) return "";
  return left === 0 ? "none left" : `${left} left`;
}

function paint() {
  const left = JSON.parse(document.querySelector("[data-left]")?.dataset.left ?? "{}");
  for (const place of document.querySelectorAll("[data-left-of]")) {
    const count = left[place.dataset.leftOf];
    setText(place, leftWords(count));
    const input = place.closest("[data-stepper]")?.querySelector("input");
    if (input && count === 0 && input.defaultValue !== "" && input.value === input.defaultValue) {
      input.value = "0";
      input.dispatchEvent(new Event("input", { bubbles: true }));
    }
  }
}
