// What changed since the lead last looked.
//
// Starts from: [data-changes], a list whose children carry data-seq; [data-seen] (button) says "looked at all this";
// [data-changes-count] gets the number still unseen and [data-changes-since] "since 14:02". Remembered per device.
// Emits nothing.

import { keep, recall } from "./kept.js";
import { page, setText } from "./page.js";
import { dayHour } from "./time/format.js";

export function startSeen(clock) {
  const name = `seen/${page.board}`;
  // Nothing looked at yet on this device: everything is news.
  let seen = recall(name, { seq: 0, at: null });

  const paint = () => {
    let count = 0;
    for (const change of document.querySelectorAll("[data-changes] > [data-seq]")) {
      change.hidden = Number(change.dataset.seq) <= seen.seq;
      if (!change.hidden) count += 1;
    }
    for (const place of document.querySelectorAll("[data-changes-count]")) setText(place, String(count));
    const since = seen.at ? `since ${dayHour(seen.at, clock.now())}` : "";
    for (const place of document.querySelectorAll("[data-changes-since]")) setText(place, since);
    for (const list of document.querySelectorAll("[data-changes]")) list.toggleAttribute("data-empty", count === 0);
  };

  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-seen]")) return;
    // Only what is on this screen has been seen, not what the journal holds by now.
    const shown = [...document.querySelectorAll("[data-changes] > [data-seq]")].map((change) => Number(change.dataset.seq));
    seen = { seq: Math.max(seen.seq, ...shown), at: clock.now() };
    keep(name, seen);
    paint();
  });
  document.addEventListener("holdfast:patched", paint);
  paint();
}
