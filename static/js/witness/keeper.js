// Keeps a copy of the whole record on a device that the lead chose for it, so that a lost board can be rebuilt; removes it
// when the lead takes that back, as far as the board that says so has all of it.
//
// Starts from: [data-record-kept]. Hears "holdfast:head"; asks for what came since, at most every two seconds, in
// the tab that is in sight. Says there how much is kept. Emits nothing.

import { page, setText } from "../page.js";
import { add, forgetCopy, keepHanded, nameOf, reached } from "./store.js";

const PAUSE = 2_000;

export class Keeper {
  #busy = false;
  #notBefore = 0;
  #later;
  #admits = null;

  start() {
    document.addEventListener("holdfast:head", ({ detail }) => this.#heard(detail));
  }

  #heard({ head, keeps, admits = null }) {
    const name = nameOf(page.board, head.epoch);
    if (keeps === false) {
      if (mayGo(head, reached(name))) forgetCopy(name);
      return this.#say(reached(name));
    }
    this.#say(reached(name));
    const isDue = head.seq > reached(name) || (admits !== null && admits !== this.#admits);
    if (document.hidden || this.#busy || !isDue) return;
    clearTimeout(this.#later);
    this.#later = setTimeout(() => this.#fetch(name, head.seq, admits), Math.max(0, this.#notBefore - Date.now()));
  }

  async #fetch(name, seq, admits) {
    if (this.#busy) return;
    this.#busy = true;
    try {
      if (seq > reached(name)) await this.#keepEntries(name);
      if (admits !== null && admits !== this.#admits) await this.#keepWhoIsIn(name);
      this.#say(reached(name));
    } catch {
      // Out of range or no room: the next head brings another try.
    } finally {
      this.#busy = false;
      this.#notBefore = Date.now() + PAUSE;
    }
  }

  async #keepEntries(name) {
    const answer = await fetch(`/journal?after=${reached(name)}`, { cache: "no-store", redirect: "manual" });
    // Meanwhile another machine may have begun to keep the board: its entries are another copy's.
    if (!answer.ok || nameOf(page.board, answer.headers.get("X-Holdfast-Epoch")) !== name) return;
    const text = await answer.text();
    // A line cut in two is no entry; the next round brings it whole.
    const lines = text.split("\n").slice(0, -1).map((line) => JSON.parse(line));
    const rows = lines.map(({ seq, body, sealed, chain }) => ({ seq, body, sealed, chain }));
    if (rows.length > 0) await add(name, incident(), rows);
  }

  // So that on a board rebuilt from this copy nobody has to join again as somebody else, and nobody who was removed is in.
  // Only the lead and deputies are told `admits`, and handed who is in.
  async #keepWhoIsIn(name) {
    const answer = await fetch("/standby", { cache: "no-store", redirect: "manual" });
    const told = answer.ok ? await answer.json() : null;
    if (told && nameOf(page.board, told.epoch) === name && keepHanded(name, told)) this.#admits = told.admits;
  }

  #say(count) {
    for (const place of document.querySelectorAll("[data-record-kept]")) {
      setText(place, count > 0 ? `The record is also kept on this device: ${count} entries.` : "");
    }
  }
}

/**
 * Whether a copy up to `copied` of the epoch that this head stands in is no longer needed: a board that knows less than the
 * copy may be one that never heard it was chosen. Copies of other epochs stay until the board's removal is told (removed.js).
 */
export const mayGo = (head, copied) => head.seq >= copied;

// Without the place and who leads, which stand beside it.
const incident = () => document.querySelector(".top__name")?.firstChild?.textContent.trim() || document.title;
