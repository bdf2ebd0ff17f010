// Rebuilding a lost board from the copy on this device or from a saved file, on a fresh board.
//
// Starts from: [data-restore] with [data-restore-copies], [data-restore-file], [data-restore-said]; shown while the board
// says ("holdfast:head") that it holds nothing yet.
// The board verifies every entry and goes on under this address; then this page goes to it. Emits nothing.

import { armed, disarm } from "../armed.js";
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
  place.querySelector("[data-restore-file]").addEventListener("change", (event) => {
    const [file] = event.target.files;
    // So that the same file can be chosen again.
    event.target.value = "";
    if (file) restore(place, async () => ({ rows: readLines(await file.text()), codes: {}, sessions: [] }));
  });
  // The page may be a kept copy of when the board was empty, or open since then. What was said of a try stays.
  document.addEventListener("holdfast:head", ({ detail }) => {
    const isTried = place.querySelector("[data-restore-said]").textContent !== "";
    place.hidden = !detail.untouched && !isTried;
  });
}

// All of them: the one with most entries may be of another day.
function offered(place, { name, incident, seq, at }) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button";
  button.textContent = "Restore this one";
  // Twice: what is restored cannot be exchanged for another copy afterwards.
  button.addEventListener("click", () => {
    if (!armed(button, "Tap again to restore it")) return;
    restore(place, async () => ({ rows: await all(name), ...handed(name) }));
  });
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

async function restore(place, read) {
  const say = (words) => setText(place.querySelector("[data-restore-said]"), words);
  const controls = place.querySelectorAll("button, input");
  for (const control of controls) {
    disarm(control);
    control.disabled = true;
  }
  try {
    const { rows, codes, sessions, at: handedAt } = await read();
    if (rows.length === 0) throw new Refused("There are no entries in this copy.");
    const site = await send(rows, sessions, say);
    const before = await served();
    if (!before) throw new TypeError("nothing answers");
    if (!(await ended({ site, seq: rows[rows.length - 1].seq, codes }))) say("The answer was lost. Looking whether the board is rebuilt …");
    else say(`The board is rebuilt with ${rows.length} entries. It opens in a moment. ${whoIsIn(handedAt)}`);
    if (!(await isOther(before))) throw new Refused("This device cannot see that the board is rebuilt. Look at this address with another one first; if it is not, tap again.");
    // To the board where this device was in on the lost one, else to the join page.
    location.assign("/");
  } catch (error) {
    if (!(error instanceof Refused)) console.error(error);
    say(error instanceof Refused ? error.message : error instanceof TypeError ? NO_NETWORK : "This copy cannot be read on this device. Try another one.");
    for (const control of controls) control.disabled = false;
  }
}

// What was handed to this device last may be hours old: it may have been in a pocket.
function whoIsIn(at) {
  if (!at) return "People join it again.";
  return `Look at its join sheet: who was removed after ${dayHour(at, Date.now())} is in again, and the code is the one of then.`;
}

async function send(rows, sessions, say) {
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
  return site;
}

/** Whether the end was answered: without an answer the board may be rebuilt all the same. */
async function ended(end) {
  try {
    await post("/restoration/end", end);
    return true;
  } catch (error) {
    if (error instanceof TypeError) return false;
    throw error;
  }
}

/** What the board, or this page, says to the person. */
class Refused extends Error {}

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
  throw new Refused(problem.detail ?? "The board did not take it. Try again.");
}

// The program serves the rebuilt board in place of the fresh one: for a moment nothing answers.
async function isOther(before) {
  for (let tries = 0; tries < 60; tries += 1) {
    await new Promise((resolve) => setTimeout(resolve, WAIT));
    const now = await served();
    if (now && now !== before) return true;
  }
  return false;
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
