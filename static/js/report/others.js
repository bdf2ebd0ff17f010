// Other casualties to choose from: whom the form is about is none of them.
//
// Starts from: [data-others], a set of labels with a choice of a casualty's id each, a live part; hides the open view's own
// casualty in it, and takes the choice back. Emits nothing.

import { openContext } from "./views.js";

export function startOthers() {
  for (const event of ["holdfast:patched", "holdfast:view"]) document.addEventListener(event, hideOwn);
  hideOwn();
}

function hideOwn() {
  const own = openContext().casualty;
  for (const choice of document.querySelectorAll("[data-others] input")) {
    const hidden = isOwn(choice.value, own);
    choice.closest("label").hidden = hidden;
    if (hidden) choice.checked = false;
  }
}

/** Whether this choice is the one whom the form is about. */
export const isOwn = (value, own) => own !== undefined && value === own;
