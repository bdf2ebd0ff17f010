// What the board says about itself: a full disk, a failed one. Shown on every page, above everything else.
//
// Starts from: [data-notices]. Emits nothing.

import { setText } from "../page.js";

/** Shows these notices ({code, words, page}) and no others; `page` is where something can be done about it. */
export function showNotices(notices) {
  const place = document.querySelector("[data-notices]");
  if (!place) return;
  const wanted = notices.map(({ words }) => words);
  const shown = [...place.children].map((line) => line.textContent);
  if (wanted.join("\n") === shown.join("\n")) return;
  place.replaceChildren(...notices.map(line));
}

function line({ words, page }) {
  const element = document.createElement(page ? "a" : "p");
  element.className = "notice";
  if (page) element.href = page;
  setText(element, words);
  return element;
}
