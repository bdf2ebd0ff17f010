// Removing a device: rare and hard on the one it hits, so it takes a second tap.
//
// Starts from: [data-revoke="<device>"] on a button. Says what became of it in the button itself. Emits nothing.

import { armed } from "./armed.js";
import { whyNot } from "./why_not.js";

export function startRevoke() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-revoke]");
    if (!button || button.disabled) return;
    if (!armed(button, "Tap again to remove")) return;
    revoke(button);
  });
}

async function revoke(button) {
  button.disabled = true;
  try {
    const answer = await fetch(`/devices/${button.dataset.revoke}/revocation`, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: "{}",
    });
    button.textContent = answer.ok ? "Removed" : `Not removed: ${await whyNot(answer)}`;
    button.disabled = answer.ok;
  } catch {
    button.textContent = "Not removed: no network";
    button.disabled = false;
  }
}
