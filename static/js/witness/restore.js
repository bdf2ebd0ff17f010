// Rebuilding a lost board from the copy on this device or from a saved file, on a fresh board.
//
// Starts from: [data-restore] with [data-restore-copies], [data-restore-file], [data-restore-said].
// The board verifies every entry and goes on under this address; then this page goes to it. Emits nothing.

import { NO_NETWORK, page, setText } from "../page.js";
import { dayHour } from "../time/format.js";
import { all, copies, handed, nameOf } from "./store.js";

/** The board takes 64 kB at a time; stay below. */
const MOST_BYTES = 45_000;
const WAIT = 500;

export function startRestore() {
  const place = document.querySelector("[data-restore]");
  // This device keeps this very board too, as empty as it is.
  const others = copies().filter(({ name }) => !name.startsWith(nameOf(page.board, "")));
  place.querySelector("[data-restore-copies]").append(...others.map((copy) => offered(place, copy)));
  place.querySelector("[data-restore-file]").addEventListener("change", async (event) => {
    const text = await event.target.files[0]?.text();
    if (text) restore(place, readLines(text), { codes: {}, sessions: [] });
  });
}

// All of them: the one with most entries may be of another day.
function offered(place, { name, incident, seq, at }) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button";
  button.textContent = "Restore this one";
  button.addEventListener("click", async () => restore(place, await all(name), handed(name)));
  const words = document.createElement("span");
  words.textContent = `This device has a copy: ${incident}, ${seq} entries, last at ${dayHour(at, Date.now())}.`;
  const line = document.createElement("p");
  line.append(words, " ", button);
  return line;
}

function readLines(text) {
  try {
    return text.trim().split("\n").map((line) => JSON.parse(line)).map(({ seq, body, sealed, chain }) => ({ seq, body, sealed, chain }));
  } catch {
    return [];
  }
}

async function restore(place, rows, { codes, sessions }) {
  const say = (words) => setText(place.querySelector("[data-restore-said]"), words);
  const controls = place.querySelectorAll("button, input");
  for (const control of controls) control.disabled = true;
  try {
    if (rows.length === 0) throw new Error("There are no entries in this copy.");
    let site;
    for (let at = 0; at < rows.length;) {
      const chunk = chunkFrom(rows, at);
      ({ site } = await post("/restoration", { site, entries: chunk }));
      at += chunk.length;
      say(`Checked and taken over: ${at} of ${rows.length} entries.`);
    }
    for (let at = 0; at < sessions.length;) {
      const chunk = chunkFrom(sessions, at);
      await post("/restoration/people", { site, sessions: chunk });
      at += chunk.length;
    }
    const before = await served();
    await post("/restoration/end", { site, seq: rows[rows.length - 1].seq, codes });
    say(`The board is rebuilt with ${rows.length} entries. It opens in a moment. Look at its join sheet: who was removed in the last minute may be in again.`);
    await untilOther(before);
    // To the board where this device was in on the lost one, else to the join page.
    location.assign("/");
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
  if (answer.ok) return answer.status === 200 ? answer.json() : null;
  const problem = await answer.json().catch(() => ({}));
  throw new Error(problem.detail ?? "The board did not take it. Try again.");
}

// The program serves the rebuilt board in place of the fresh one: for a moment nothing answers.
async function untilOther(before) {
  for (let tries = 0; tries < 60; tries += 1) {
    await new Promise((resolve) => setTimeout(resolve, WAIT));
    const now = await served();
    if (now && now !== before) return;
  }
}

/** Which board answers this device, and how; "" while none does. */
async function served() {
  try {
    const answer = await fetch("/session", { cache: "no-store", redirect: "manual" });
    const { board = "" } = answer.ok ? await answer.json() : {};
    return `${answer.status} ${board}`;
  } catch {
    return "";
  }
}
