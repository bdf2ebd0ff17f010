// What the board says about itself: a full disk, a failed one. Shown on every page, above everything else.
//
// Starts from: [data-notices]. Emits nothing.

import { setText } from "../page.js";

/** Shows these notices ({code, words}) and no others. */
export function showNotices(notices) {
  const place = document.querySelector("[data-notices]");
  if (!place) return;
  const wanted = notices.map(({ words }) => words);
  const shown = [...place.children].map((line) => line.textContent);
  if (wanted.join("\n") === shown.join("\n")) return;
  place.replaceChildren(...wanted.map(line));
}

function line(words) {
  const element = document.createElement("p");
  element.className = "notice";
  setText(element, words);
  return element;
}
