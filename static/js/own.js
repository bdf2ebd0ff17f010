// Who may take back or hand on what: hides the strike button of what somebody else reported, and the button that hands a
// casualty on where somebody else has them, unless this is the lead.
//
// Starts from: [data-own="<device>"] and [data-holders="<device> <device>"] anywhere on the page, also in parts that
// arrive later. A courtesy only: the board itself decides. Emits nothing.

import { page } from "./page.js";

export function startOwn() {
  if (page.leads) return;
  for (const event of ["holdfast:patched", "holdfast:view"]) document.addEventListener(event, hideOthers);
  hideOthers();
}

function hideOthers() {
  for (const button of document.querySelectorAll("[data-own]")) button.hidden = button.dataset.own !== page.device;
  for (const button of document.querySelectorAll("[data-holders]")) {
    button.hidden = !button.dataset.holders.split(" ").includes(page.device);
  }
}
