// What the board says about itself: a full disk, a failed one. Shown on every page, above everything else.
//
// Starts from: [data-notices]. Emits nothing.

import { setText } from "../page.js";

/**
 * Shows these notices ({code, words, page}) and no others; `page` is where something can be done about it. Gives the codes
 * of those that came, went or changed.
 */
export function showNotices(notices) {
  const place = document.querySelector("[data-notices]");
  if (!place) return [];
  const shown = [...place.children].map((line) => ({ code: line.dataset.notice, words: line.textContent }));
  const changed = changedBetween(shown, notices);
  if (changed.length > 0) place.replaceChildren(...notices.map(line));
  return changed;
}

/** The codes of what stands in one list of notices and not, with the same words, in the other. */
export function changedBetween(one, other) {
  const missing = (these, those) => these.filter(({ code, words }) => !those.some((it) => it.code === code && it.words === words));
  return [...missing(one, other), ...missing(other, one)].map(({ code }) => code);
}

function line({ code, words, page }) {
  const element = document.createElement(page ? "a" : "p");
  element.dataset.notice = code;
  element.className = "notice";
  if (page) element.href = page;
  setText(element, words);
  return element;
}
