// Handing command over: the one who leads offers it, the other reads back and takes it.
//
// Starts from: [data-offer="<device>"] on a button (empty: keeps command), and <form data-take-command> with
// [data-take-all-the-same], and [data-close-incident]. One's own name is not among those who could take it. anew.js loads
// the page again when the board says that this phone has another role or that command is offered. Emits nothing.

import { armed, disarm } from "./armed.js";
import { goTo, leaves, loadAgain } from "./live/reload.js";
import { page, setText } from "./page.js";

const HEADERS = { "Content-Type": "application/json", "X-Holdfast": "1" };
const NO_NETWORK = "Not done: no network. Nothing has changed; try again.";

export function startCommand() {
  leaveOutSelf();
  document.addEventListener("holdfast:patched", leaveOutSelf);
  document.addEventListener("click", (event) => {
    const offer = event.target.closest("[data-offer]");
    if (offer) return sendOffer(offer);
    const close = event.target.closest("[data-close-incident]");
    if (close) return closeIncident(close);
    const anyway = event.target.closest("[data-take-all-the-same]");
    if (anyway) take(anyway.form, true);
  });
  document.addEventListener("submit", (event) => {
    if (!event.target.matches("[data-take-command]")) return;
    event.preventDefault();
    take(event.target, false);
  });
}

// The list is one for everybody.
function leaveOutSelf() {
  for (const button of document.querySelectorAll("[data-offer]")) button.hidden = button.dataset.offer === page.device;
}

async function sendOffer(button) {
  const to = button.dataset.offer || null;
  if (to && !armed(button, "Tap again: you hand command over")) return;
  disarm(button);
  const problem = await send("/command/offer", { to });
  if (!problem) return loadAgain();
  tell(document.querySelector("[data-offer-error]"), problem.detail);
}

async function closeIncident(button) {
  if (!armed(button, "Tap again to close it")) return;
  disarm(button);
  const problem = await send("/closing", {});
  if (!problem) return loadAgain();
  tell(document.querySelector("[data-close-error]"), problem.detail);
}

async function take(form, all) {
  const read = new FormData(form);
  const figures = ["immediate", "tourniquet"].map((name) => String(read.get(name) ?? "").trim());
  const error = form.querySelector("[data-form-error]");
  if (figures.some((figure) => !/^\d+$/.test(figure)) || read.get("trip") === null) {
    return tell(error, "Read back all three: how many, whose tourniquet (0 for nobody's), and what leaves next.");
  }
  const [immediate, tourniquet] = figures.map(Number);
  const said = { immediate, tourniquet, trip: read.get("trip"), all_the_same: all };
  // The board tells this page at once that it has another role now; it goes to the board instead of being loaded again.
  leaves();
  const problem = await send("/command/taking", said);
  if (!problem) return goTo("/board");
  leaves(false);
  tell(error, problem.detail);
  form.querySelector("[data-take-all-the-same]").hidden = problem.code !== "read-back-differs";
}

/** Null when it was done, else the problem. */
async function send(address, body) {
  try {
    const answer = await fetch(address, { method: "POST", headers: HEADERS, body: JSON.stringify(body) });
    if (answer.ok) return null;
    return await answer.json();
  } catch {
    return { detail: NO_NETWORK };
  }
}

function tell(place, words) {
  if (!place) return;
  setText(place, words);
  place.hidden = false;
}
