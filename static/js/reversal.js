// Taking back what a device reported, or putting it back: rare and far-reaching, so it takes a second tap.
//
// The same for a new join code: [data-renew-code].
//
// Starts from: [data-reversal="<device>"] on a button, with data-minutes (how far back; empty for everything) or
// data-put-back. Says what became of it in the button itself. Emits nothing.

import { armed, disarm } from "./armed.js";
import { loadAgain } from "./live/reload.js";
import { whyNot } from "./why_not.js";

export function startReversal(clock) {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-reversal], [data-renew-code]");
    if (!button || button.disabled) return;
    if (!armed(button, "Tap again to do it")) return;
    if (button.matches("[data-renew-code]")) renew(button);
    else reverse(button, clock);
  });
}

async function reverse(button, clock) {
  button.disabled = true;
  const { reversal, minutes, putBack } = button.dataset;
  const wanted = putBack === undefined ? {} : { put_back: true };
  if (minutes) wanted.since = new Date(clock.now() - Number(minutes) * 60_000).toISOString();
  try {
    const answer = await fetch(`/devices/${reversal}/reversal`, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: JSON.stringify(wanted),
    });
    button.textContent = answer.ok ? `Done: ${(await answer.json()).entries} reports` : `Not done: ${await whyNot(answer)}`;
  } catch {
    button.textContent = "Not done: no network";
  }
  button.disabled = false;
  disarm(button);
}

async function renew(button) {
  button.disabled = true;
  try {
    const headers = { "Content-Type": "application/json", "X-Holdfast": "1" };
    const answer = await fetch("/code/renewal", { method: "POST", headers, body: "{}" });
    if (answer.ok) return loadAgain();
    button.textContent = `Not done: ${await whyNot(answer)}`;
  } catch {
    button.textContent = "Not done: no network";
  }
  button.disabled = false;
  disarm(button);
}
