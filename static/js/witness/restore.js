// Rebuilding a lost board from the copy on this device or from a saved file, on a fresh board.
//
// Starts from: [data-restore] with [data-restore-found], [data-restore-start], [data-restore-file], [data-restore-said].
// The board verifies every entry and goes on under this address; then this page goes to the join page. Emits nothing.

import { NO_NETWORK, setText } from "../page.js";
import { hour } from "../time/format.js";
import { all, copies } from "./store.js";

/** The board takes 64 kB at a time; stay below. */
const MOST_BYTES = 45_000;
const WAIT = 500;

export function startRestore() {
  const place = document.querySelector("[data-restore]");
  const [best] = copies();
  const button = place.querySelector("[data-restore-start]");
  if (best) {
    setText(place.querySelector("[data-restore-found]"), `This device has a copy: ${best.incident}, ${best.seq} entries, last at ${hour(best.at)}.`);
  }
  button.hidden = !best;
  button.addEventListener("click", async () => restore(place, await all(best.name)));
  place.querySelector("[data-restore-file]").addEventListener("change", async (event) => {
    const text = await event.target.files[0]?.text();
    if (text) restore(place, readLines(text));
  });
}

function readLines(text) {
  try {
    return text.trim().split("\n").map((line) => JSON.parse(line)).map(({ seq, body, sealed, chain }) => ({ seq, body, sealed, chain }));
  } catch {
    return [];
  }
}

async function restore(place, rows) {
  const say = (words) => setText(place.querySelector("[data-restore-said]"), words);
  const controls = place.querySelectorAll("button, input");
  for (const control of controls) control.disabled = true;
  try {
    if (rows.length === 0) throw new Error("There are no entries in this copy.");
    for (let at = 0; at < rows.length;) {
      const chunk = chunkFrom(rows, at);
      await post("/restoration", { entries: chunk });
      at += chunk.length;
      say(`Checked and taken over: ${at} of ${rows.length} entries.`);
    }
    await post("/restoration/end", {});
    say(`The board is rebuilt with ${rows.length} entries. It opens in a moment: join again.`);
    await untilServed();
    location.assign("/join");
  } catch (error) {
    say(error instanceof TypeError ? NO_NETWORK : error.message);
    for (const control of controls) control.disabled = false;
  }
}

function chunkFrom(rows, from) {
  const chunk = [];
  let size = 0;
  for (let at = from; at < rows.length; at += 1) {
    size += new Blob([JSON.stringify(rows[at])]).size;
    if (chunk.length > 0 && size > MOST_BYTES) break;
    chunk.push(rows[at]);
  }
  return chunk;
}

async function post(path, body) {
  const headers = { "Content-Type": "application/json", "X-Holdfast": "1" };
  const answer = await fetch(path, { method: "POST", headers, body: JSON.stringify(body), redirect: "manual" });
  if (answer.ok) return;
  const problem = await answer.json().catch(() => ({}));
  throw new Error(problem.detail ?? "The board did not take it. Try again.");
}

// The program serves the rebuilt board in place of the fresh one: for a moment nothing answers.
async function untilServed() {
  const before = await served();
  for (let tries = 0; tries < 60; tries += 1) {
    await new Promise((resolve) => setTimeout(resolve, WAIT));
    const now = await served();
    if (now && now !== before) return;
  }
}

/** Whether the session of the fresh board still counts; false from the moment the rebuilt one answers. */
async function served() {
  try {
    return (await fetch("/session", { cache: "no-store", redirect: "manual" })).status;
  } catch {
    return 0;
  }
}
