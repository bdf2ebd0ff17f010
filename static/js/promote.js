// Making a standby the board, from its own page: far-reaching, so it takes a second tap.
//
// Starts from: [data-promote], a button; [data-promote-said] tells what came of it. Emits nothing.

import { armed, disarm } from "./armed.js";
import { setText } from "./page.js";

const WAIT = 400;

export function startPromote() {
  const button = document.querySelector("[data-promote]");
  button.addEventListener("click", () => {
    if (!button.disabled && armed(button, "Tap again: the other machine is lost")) promote(button);
  });
}

async function promote(button) {
  const say = (words) => setText(document.querySelector("[data-promote-said]"), words);
  button.disabled = true;
  try {
    const headers = { "Content-Type": "application/json", "X-Holdfast": "1" };
    const answer = await fetch("/promotion", { method: "POST", headers, body: "{}" });
    const { detail } = answer.ok ? {} : await answer.json();
    say(answer.ok ? "Taking over." : detail ?? "Not done: try again.");
    if (answer.ok) setTimeout(() => location.assign("/"), 3 * WAIT);
  } catch {
    say("This machine did not answer. Tap again.");
  }
  button.disabled = false;
  disarm(button);
}
