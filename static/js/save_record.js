// Saving the whole record to a file on this device.
//
// Starts from: [data-save-record], a button; [data-save-said] tells what came of it. Emits nothing.

import { NO_NETWORK, setText } from "./page.js";

export function startSaveRecord() {
  const button = document.querySelector("[data-save-record]");
  button.addEventListener("click", () => save(button));
}

async function save(button) {
  const say = (words) => setText(document.querySelector("[data-save-said]"), words);
  button.disabled = true;
  say("Reading…");
  try {
    const headers = { "Content-Type": "application/json", "X-Holdfast": "1" };
    const answer = await fetch("/record/file", { method: "POST", headers, body: "{}", redirect: "manual" });
    if (!answer.ok) throw new Error((await answer.json().catch(() => ({}))).detail);
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await answer.blob());
    link.download = `holdfast-record-${new Date().toISOString().slice(0, 16).replace(/[-:T]/g, "")}.ndjson`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
    say("Saved. Handle it like the patients' papers.");
  } catch (error) {
    // A fetch that fails says so in the browser's own words, which tell nobody what to do.
    say(error instanceof TypeError ? NO_NETWORK : error.message || "Not saved: try again.");
  }
  button.disabled = false;
}
