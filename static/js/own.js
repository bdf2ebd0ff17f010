// Who may take back what: hides the strike button of what somebody else reported, unless this is the lead.
//
// Starts from: [data-own="<device>"] anywhere on the page, also in parts that arrive later. A courtesy only: the board
// itself decides. Emits nothing.

import { page } from "./page.js";

export function startOwn() {
  if (page.role === "lead") return;
  for (const event of ["holdfast:patched", "holdfast:view"]) document.addEventListener(event, hideOthers);
  hideOthers();
}

function hideOthers() {
  for (const button of document.querySelectorAll("[data-own]")) button.hidden = button.dataset.own !== page.device;
}
