// One tap, one fact.
//
// Starts from: [data-report='{"about":…,"fact":…}'] on a button, with data-said="$number: packed" for people,
// data-casualty (else the context's) and data-then="open:<view>" | "home". "$name" strings come from the context of the
// view; "$me" is this device. Shows the bar [data-undo-bar] with [data-undo-text] and [data-undo]. Emits nothing; appends to the outbox.

import { handsDown } from "../hands.js";
import { page, say, setText, tell } from "../page.js";
import { settling } from "../tremble.js";
import { DROPPED, PARKED, RECEIPTED } from "../outbox/core.js";
import { saidOf, stateWords, timeOf } from "../outbox/words.js";
import { filled, filledWords } from "./build.js";
import { viewOf } from "./draft.js";
import { contextFrom, contextOf, follow, goHome } from "./views.js";

/** A second identical activation within this time is a trembling finger. */
const SAME_TAP = 400;

export class Reporter {
  #outbox;
  #clock;
  #last = { what: "", at: -Infinity };
  /** What the bar offers to undo: `{ item, strike }`, ids of the outbox; the strike is null until there is one. */
  #offer = null;

  constructor(outbox, clock) {
    this.#outbox = outbox;
    this.#clock = clock;
  }

  start() {
    document.addEventListener("click", (event) => this.#click(event));
    document.addEventListener("holdfast:outbox", () => this.#paintUndo());
  }

  /** Appends one fact, says so, and offers to undo it. Gives null, and says so, when it could not be kept. */
  async append({ about, fact, happenedAt = null, casualty = null, said, from = null, mends = null }) {
    const whose = casualty ?? about.casualty ?? null;
    try {
      const item = await this.#outbox.add({ about, fact, happenedAt, casualty: whose, said, from, mends });
      this.#offer = { item: item.id, strike: null };
      this.#paintUndo();
      tell("");
      say(`${item.said}: on this phone`);
      return item;
    } catch (error) {
      console.error(error);
      tell("This report could not be kept. Please tap again.");
      return null;
    }
  }

  async #click(event) {
    if (event.target.closest("[data-undo]")) return this.#undo();
    const button = event.target.closest("[data-report]");
    if (!button || handsDown() >= 2) return;
    const context = { me: page.device, ...contextOf(button), ...contextFrom(button) };
    try {
      const { about, fact } = filled(JSON.parse(button.dataset.report), context);
      const what = JSON.stringify([about, fact]);
      if (what === this.#last.what && event.timeStamp - this.#last.at < SAME_TAP) return;
      this.#last = { what, at: event.timeStamp };
      const casualty = button.dataset.casualty ?? context.casualty ?? null;
      const said = filledWords(button.dataset.said ?? button.textContent, context);
      const { mends = null, mended_at: happenedAt = null, ...rest } = context;
      const from = { view: viewOf(button), context: rest };
      const item = await this.append({ about, fact, happenedAt, casualty, said, from, mends });
      if (item) follow(button.dataset.then ?? (mends ? "home" : undefined), { ...context, at: item.happened_at });
    } catch (error) {
      tell(error.message);
    }
  }

  // Always by a later fact that names the first: the first may be on its way to the board already. A report that is kept
  // meanwhile brings an offer of its own, and is never called undone by this one.
  async #undo() {
    const offer = this.#offer;
    const item = this.#outbox.find(offer?.item);
    if (!item || offer.strike) return;
    offer.strike = "under way";
    const { about, casualty } = item;
    const said = saidOf(this.#outbox.items, item);
    const fact = { kind: "entry.struck/1", entry: item.id };
    const strike = await this.#outbox.add({ about, fact, casualty, said: `undo: ${said}` }).catch(() => null);
    offer.strike = strike?.id ?? null;
    this.#paintUndo();
    if (strike) say(`${said}: undone`);
    else tell("This could not be undone. Please tap again.");
    // Nobody should go on about somebody who is not there, or about what was not done.
    if (strike && /^(casualty\.registered|step\.taken)\//.test(item.fact.kind)) goHome();
  }

  #paintUndo() {
    const bar = document.querySelector("[data-undo-bar]");
    if (!bar) return;
    const item = this.#outbox.find(this.#offer?.item);
    if (bar.hidden && item) settling();
    bar.hidden = !item;
    if (!item) return;
    const tried = this.#outbox.find(this.#offer.strike);
    // An undo that was refused or given up undoes nothing: it is offered again.
    const strike = tried && ![PARKED, DROPPED].includes(tried.state) ? tried : null;
    if (tried && !strike) this.#offer.strike = null;
    const told = `${saidOf(this.#outbox.items, item)}, ${timeOf(item, this.#clock.now())}`;
    const words = `${told} · ${strike ? "undone, " : ""}${stateWords(strike ?? item)}`;
    setText(bar.querySelector("[data-undo-text]"), words);
    bar.dataset.state = (strike ?? item).state === RECEIPTED ? "board" : "phone";
    const undo = bar.querySelector("[data-undo]");
    if (undo) undo.hidden = this.#offer.strike !== null;
  }
}
