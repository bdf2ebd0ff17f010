// Hands on a wound, counted down on the whole screen.
//
// Starts from: [data-hold-view] with [data-hold-clock] (gets data-start and data-due, which tick.js counts) and
// [data-hold-moved]. The view's context tells wound, hold (minutes) and at (when pressing began, board time); data-then=
// "again" after a report sets at anew. A hold the board shows on the page behind it, [data-hold-of="<wound>"], wins where it
// began later: somebody else lifted, or other gauze takes longer. Works out of range and through a reload: the context is
// kept with the page's history. Emits nothing.

import { onTick, repaint } from "../time/tick.js";

const MINUTE = 60_000;
/** The phone's and the board's idea of the same moment differ by less than this. */
const SAME = 2_000;

export function startHold(clock) {
  const view = document.querySelector("[data-hold-view]");
  let hold = null;
  document.addEventListener("holdfast:view", (event) => {
    hold = event.detail.name === view.dataset.viewName ? begun(event.detail.context, clock.now()) : null;
    paint();
  });
  document.addEventListener("holdfast:context", (event) => {
    if (hold) hold = { ...begun(event.detail, clock.now()), seen: hold.seen };
    paint();
  });
  document.addEventListener("holdfast:patched", paint);
  onTick(() => hold && paint());

  function paint() {
    if (!hold) return;
    const board = [...document.querySelectorAll("[data-hold-of]")].find((one) => one.dataset.holdOf === hold.wound);
    hold.seen ||= Boolean(board);
    const { start, due } = later(hold, board);
    const face = view.querySelector("[data-hold-clock]");
    face.dataset.start = new Date(start).toISOString();
    face.dataset.due = new Date(due).toISOString();
    view.querySelector("[data-hold-moved]").hidden = !hold.seen || Boolean(board);
    repaint(face);
  }
}

/** The hold a context tells of; without a time it begins now. */
export function begun({ wound, hold, at }, now) {
  const start = Date.parse(at);
  return { wound, start: Number.isNaN(start) ? now : start, lasts: (Number(hold) || 10) * MINUTE, seen: false };
}

/** The later of the two beginnings, with the end that goes with it. */
export function later(hold, board) {
  const start = Date.parse(board?.dataset.start);
  if (Number.isNaN(start) || start < hold.start - SAME) return { start: hold.start, due: hold.start + hold.lasts };
  return { start, due: Date.parse(board.dataset.due) };
}
