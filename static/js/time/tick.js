// The one timer of the page: keeps countdowns, running times, ages and hours true, once a board second.
//
// Starts from: [data-due] (with data-start for its bar), [data-since] (with data-bands it gets data-band, for a tourniquet), [data-ago], <time datetime data-hour>.
// The text goes into the child [data-clock], or into the element itself when it has no child elements; the child
// [data-bar] gets its width. A [data-due] element carries data-late once due. Nothing is counted down: each pass
// works from the absolute time, so that a throttled or woken page is right at once.
// An element with data-from is hidden until that moment, one with data-until from that moment on, one with both outside the two. Calls every `onTick` listener after each pass.

import { setText } from "../page.js";
import { age, countdown, dayHour, shareLeft, span } from "./format.js";

const SECOND = 1_000;
const HOUR = 3_600 * SECOND;
const SHORTEST_PAUSE = 200;

const listeners = new Set();
let clock;

/** Calls back once a board second, after the clocks on the page are right. */
export function onTick(callback) {
  listeners.add(callback);
}

export function startTick(boardClock) {
  clock = boardClock;
  document.addEventListener("holdfast:patched", paint);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) tick(); });
  loop();
}

function loop() {
  tick();
  setTimeout(loop, Math.max(SHORTEST_PAUSE, SECOND - (clock.now() % SECOND)));
}

function tick() {
  paint();
  for (const listener of listeners) listener(clock.now());
}

function paint() {
  const now = clock.now();
  for (const element of document.querySelectorAll("[data-from], [data-until]")) {
    const { from, until } = element.dataset;
    element.hidden = (from !== undefined && Date.parse(from) > now) || (until !== undefined && Date.parse(until) <= now);
  }
  for (const element of document.querySelectorAll("[data-due]")) paintDue(element, now);
  for (const element of document.querySelectorAll("[data-since]")) {
    const passed = now - Date.parse(element.dataset.since);
    write(element, span(passed));
    if (element.dataset.bands !== undefined) element.dataset.band = band(passed);
  }
  for (const element of document.querySelectorAll("[data-ago]")) {
    write(element, age(now - Date.parse(element.dataset.ago)));
  }
  for (const element of document.querySelectorAll("time[data-hour]")) setText(element, dayHour(Date.parse(element.dateTime), now));
}

/** Makes one countdown right at once, when its times have just changed. */
export function repaint(element) {
  paintDue(element, clock.now());
}

/** How far a tourniquet is along: under one hour, one to two, two to six, six and more. */
function band(passed) {
  if (passed < HOUR) return "under-1";
  if (passed < 2 * HOUR) return "under-2";
  return passed < 6 * HOUR ? "under-6" : "over-6";
}

function paintDue(element, now) {
  const due = Date.parse(element.dataset.due);
  if (Number.isNaN(due)) return;
  write(element, countdown(due - now));
  element.toggleAttribute("data-late", due <= now);
  const bar = element.querySelector("[data-bar]");
  if (bar) bar.style.width = `${(100 * shareLeft(Date.parse(element.dataset.start), due, now)).toFixed(1)}%`;
}

function write(element, text) {
  if (text.includes("NaN")) return;
  const target = element.querySelector("[data-clock]") ?? (element.childElementCount === 0 ? element : null);
  setText(target, text);
}
