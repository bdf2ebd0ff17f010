// Going to another page of the board without losing this one: out of range a browser would show its own error page.
//
// Starts from: every link to a page of this board. The page is asked for first; only when it is there (or kept on this
// phone from before) does the browser go. When it is not, a casualty opens in this page's view "sheet", with
// everything that can be reported; for other pages it is said why not. Pages of this helper's own casualties
// ([data-mine]) are fetched ahead while the board is live, so that they open out of range. Emits nothing.

import { page, setText, tell } from "./page.js";
import { openView } from "./report/views.js";

const ASK_FOR = 3_000;
/** A page fetched ahead is fetched anew after this, in ms, when its casualty changed. */
const FRESH = 20_000;
const MOST_AHEAD = 12;
const CASUALTY = /^\/casualties\/([0-9a-f-]{36})$/;

const ahead = new Map();

export function startGo() {
  document.addEventListener("click", onClick);
  document.addEventListener("submit", onSubmit);
  for (const event of ["holdfast:patched", "holdfast:live"]) document.addEventListener(event, fetchAhead);
}

function onClick(event) {
  const link = event.target.closest?.("a[href^='/']");
  const special = event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey;
  // What is saved is no page: the browser fetches it itself, once.
  if (!link || special || link.target || link.matches("[data-link-join], [download]")) return;
  event.preventDefault();
  go(link);
}

// A form that only asks for a page (the log's filter) is a link with words in it.
function onSubmit(event) {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "get" || !form.getAttribute("action")?.startsWith("/")) return;
  event.preventDefault();
  go(form, `${form.getAttribute("action")}?${new URLSearchParams(new FormData(form))}`);
}

async function go(link, address = link.getAttribute("href")) {
  if (await isThere(address, "default")) return location.assign(address);
  const casualty = CASUALTY.exec(address)?.[1];
  const sheet = [...document.querySelectorAll("[data-view-name]")].some((view) => view.dataset.viewName === "sheet");
  const isLive = document.body.dataset.link === "live";
  if (!casualty || !sheet) return isLive ? tell("The board is slow: tap again. What you see here stays.") : warn("Out of range: that page cannot be opened now. What you see here stays.");
  const row = link.closest("li, tr") ?? link;
  const words = (css) => row.querySelector(css)?.textContent.trim() ?? "";
  openView("sheet", { casualty, number: words(".number") || link.textContent.trim(), words: words("small") });
  tell(isLive ? "The board is slow: you can report here all the same." : "Out of range: you can report all the same.");
}

/**
 * In sight and aloud, in the line that the link clears by itself when the board is heard again; where the link itself says
 * something there, such as to join again, that stays.
 */
function warn(words) {
  for (const place of document.querySelectorAll("[data-link-message]")) {
    if (!place.hidden && place.textContent !== words) return tell(words);
    setText(place, words);
    place.hidden = false;
    place.scrollIntoView({ block: "nearest" });
  }
}

async function isThere(address, cache) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), ASK_FOR);
  try {
    const answer = await fetch(address, { cache, headers: { Accept: "text/html" }, signal: abort.signal });
    await answer.text();
    // The board itself may say no (join again, no such page): its own page says so better than this one.
    return (answer.headers.get("Content-Type") ?? "").startsWith("text/html");
  } catch {
    return false;
  } finally {
    clearTimeout(timer);
  }
}

function fetchAhead() {
  if (document.body.dataset.link !== "live" || document.hidden) return;
  const mine = [...document.querySelectorAll("[data-mine]")].slice(0, MOST_AHEAD);
  for (const { dataset } of mine) {
    const known = ahead.get(dataset.mine);
    if (known && (known.seq === page.seq || performance.now() - known.at < FRESH)) continue;
    ahead.set(dataset.mine, { seq: page.seq, at: performance.now() });
    isThere(`/casualties/${dataset.mine}`, "reload");
  }
}
