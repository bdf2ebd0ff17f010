// Making a standby the board, from its own page: far-reaching, so it takes a second tap.
//
// Starts from: [data-promote], a button; [data-promote-said] tells what came of it. Emits nothing.

import { setText } from "./page.js";

const ARMED_FOR = 5_000;
const WAIT = 400;

export function startPromote() {
  const button = document.querySelector("[data-promote]");
  button.addEventListener("click", () => (button.dataset.armed === undefined ? arm(button) : promote(button)));
}

function arm(button) {
  const words = button.textContent;
  button.dataset.armed = "";
  button.textContent = "Tap again: the other machine is lost";
  setTimeout(() => {
    if (button.disabled) return;
    delete button.dataset.armed;
    button.textContent = words;
  }, ARMED_FOR);
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
  delete button.dataset.armed;
}
