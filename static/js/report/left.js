// What is left in the kits, said beside what a form asks about.
//
// Starts from: [data-left='{"tourniquet":3}'], a live part; beside each [data-left-of="item"] it says how many are left. A
// number that stands in a form from the start ("1 gauze roll") is 0 when none is left, as long as nobody has touched it, and
// what it was when there is some again: data-none-left marks it, and no draft keeps it (fields.js). Emits the input's own
// "input" event where it changes one.

import { setText } from "../page.js";

export function startLeft() {
  for (const event of ["holdfast:patched", "holdfast:view"]) document.addEventListener(event, paint);
  // A hand has been on it: it is the person's now.
  document.addEventListener("input", ({ target }) => { if (target.value !== "0") delete target.dataset?.noneLeft; }, { capture: true });
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
    const value = input && shownFor(input, count);
    if (value === undefined || value === null) continue;
    if (value === "0") input.dataset.noneLeft = "";
    else delete input.dataset.noneLeft;
    input.value = value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

/** What the page itself must put into a number it set from the start; undefined where it leaves it alone. */
export function shownFor({ value, defaultValue, dataset }, count) {
  if (defaultValue === "" || defaultValue === "0") return undefined;
  if (count === 0) return value === defaultValue ? "0" : undefined;
  return dataset.noneLeft !== undefined && value === "0" ? defaultValue : undefined;
}
