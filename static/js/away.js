// What changed while this phone was away: out of range, locked, or closed.
//
// Starts from: [data-away] (hidden until there is something to tell) with [data-away-since], [data-away-rows], a
// <template data-away-row> holding [data-row-hour], [data-row-number] and [data-row-words], [data-away-more] and the button
// [data-away-seen]. Not on a page that lists changes itself ([data-changes]). Remembers per device how far it heard.
// Emits nothing.

import { keep, recall } from "./kept.js";
import { page, setText } from "./page.js";
import { dayHour } from "./time/format.js";
import { onTick } from "./time/tick.js";

/** Whoever was away for less has missed nothing they would not notice. */
const WORTH_TELLING = 15_000;
const TIMEOUT = 4_000;
const SHOWN = 5;
/** Pauses after failures, in ms: a board that is unwell is not asked by every phone every second. */
const PAUSE = [2_000, 4_000, 8_000, 16_000, 30_000];

/** How long to wait after so many failures in a row: half of it at least, the rest by chance. */
export const pauseAfter = (failures, random = Math.random) => PAUSE[Math.min(failures, PAUSE.length) - 1] * (0.5 + random() / 2);

export function startAway(clock) {
  if (document.querySelector("[data-changes]")) return;
  const name = `heard/${page.board}/${page.device}`;
  const place = document.querySelector("[data-away]");
  /** How far this device had heard, and when, before the silence that goes on now. */
  let heard = recall(name);
  let busy = false;
  let failures = 0;
  let notBefore = 0;

  const isLive = () => document.body.dataset.link === "live" && !document.hidden;

  const catchUp = async () => {
    if (busy || !heard || !isLive() || performance.now() < notBefore) return;
    const { seq, at } = heard;
    if (clock.now() - at < WORTH_TELLING) return;
    busy = true;
    const news = await changesAfter(seq);
    busy = false;
    failures = news ? 0 : failures + 1;
    notBefore = news ? 0 : performance.now() + pauseAfter(failures);
    if (!news) return;
    heard = { seq: news.head, at: clock.now() };
    keep(name, heard);
    if (news.changes.length > 0) show(place, news, at, clock.now());
  };

  onTick(() => {
    if (busy || !isLive()) return;
    // Somebody who has been away is told first; until then the old mark stays.
    if (heard && clock.now() - heard.at >= WORTH_TELLING) return void catchUp();
    heard = { seq: Math.max(page.seq, heard?.seq ?? 0), at: clock.now() };
    keep(name, heard);
  });
  document.addEventListener("holdfast:live", catchUp);
  place.querySelector("[data-away-seen]").addEventListener("click", () => { place.hidden = true; });
}

async function changesAfter(seq) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), TIMEOUT);
  try {
    const answer = await fetch(`/changes?after=${seq}`, { cache: "no-store", redirect: "manual", signal: abort.signal });
    const news = answer.ok ? await answer.json() : null;
    return news?.board === page.board ? news : null;
  } catch {
    return null;
  } finally {
    clearTimeout(timer);
  }
}

function show(place, { changes, earlier }, since, now) {
  const template = place.querySelector("template[data-away-row]");
  const mine = new Set([...document.querySelectorAll("[data-mine]")].map(({ dataset }) => dataset.mine));
  // One's own casualties first, then the newest.
  const first = [...changes].reverse().sort((a, b) => Number(mine.has(b.casualty)) - Number(mine.has(a.casualty)));
  const rows = first.slice(0, SHOWN).map((change) => {
    const row = template.content.firstElementChild.cloneNode(true);
    setText(row.querySelector("[data-row-hour]"), dayHour(Date.parse(change.at), now));
    setText(row.querySelector("[data-row-number]"), change.number ? String(change.number) : "");
    setText(row.querySelector("[data-row-words]"), [change.words, change.by].filter(Boolean).join(" · "));
    return row;
  });
  const more = changes.length - rows.length + earlier;
  setText(place.querySelector("[data-away-since]"), `While you were away, since ${dayHour(since, now)}`);
  place.querySelector("[data-away-rows]").replaceChildren(...rows);
  setText(place.querySelector("[data-away-more]"), more > 0 ? `and ${more} more in the log` : "");
  place.hidden = false;
}
