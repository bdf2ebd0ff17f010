// The call to everybody: one tap per person, who is thereby on the board in the order of assessment.
//
// Starts from: [data-call] with [data-call-place], buttons [data-call-response="walked|waved|still"] (data-call-threat:
// life in danger), [data-call-count="…"] and [data-call-undo]. Emits nothing; appends casualty.registered/1 and
// call.answered/1, and strikes both to take one back.

import { handsDown } from "../hands.js";
import { forget, keep, recall } from "../kept.js";
import { page, say, setText } from "../page.js";
import { calledNumber } from "../outbox/core.js";
import { uuid7 } from "../uuid7.js";

const WORDS = { walked: "walked", waved: "waved", still: "lies still", threat: "bleeds heavily" };
/** Counts older than this belong to another call. */
const STALE = 60 * 60_000;
/** Two people are not met within this time by one thumb: a tremble. */
const SAME_TAP = 250;

export class Call {
  #root;
  #outbox;
  #met;
  #tappedAt = -Infinity;

  constructor(root, outbox) {
    this.#root = root;
    this.#outbox = outbox;
    const kept = recall(this.#name());
    this.#met = kept && Date.now() - kept.at < STALE ? kept.met : [];
  }

  start() {
    this.#root.addEventListener("click", (event) => this.#click(event));
    this.#paint();
  }

  #name() {
    return `call/${page.board}`;
  }

  #click(event) {
    const button = event.target.closest("[data-call-response]");
    if (handsDown() >= 2) return;
    if (event.target.closest("[data-call-undo]")) this.#undo();
    if (!button || event.timeStamp - this.#tappedAt < SAME_TAP) return;
    this.#tappedAt = event.timeStamp;
    this.#meet(button.dataset.callResponse, button.hasAttribute("data-call-threat"));
  }

  async #meet(response, threat) {
    const casualty = uuid7(Date.now());
    const kind = threat ? "threat" : response;
    const one = { kind, facts: [] };
    this.#met.push(one);
    this.#paint();
    one.kept = this.#report(one, casualty, response, threat);
    await one.kept;
    this.#keep();
  }

  async #report(one, casualty, response, threat) {
    const { kind } = one;
    const said = `${calledNumber(this.#outbox.items, casualty)}: ${WORDS[kind]}`;
    const place = this.#root.querySelector("[data-call-place]").value.trim();
    const registered = { kind: "casualty.registered/1", age: "unknown" };
    if (place) registered.place = place;
    const answered = { kind: "call.answered/1", response };
    if (threat) answered.life_threat = true;
    for (const fact of [registered, answered]) {
      const item = await this.#outbox.add({ about: { casualty }, fact, casualty, said });
      one.facts.push([item.id, casualty]);
    }
    say(`${said}: on this phone`);
  }

  async #undo() {
    const one = this.#met.pop();
    this.#paint();
    await one?.kept; // It may still be on its way into the outbox.
    this.#keep();
    for (const [entry, casualty] of one?.facts.toReversed() ?? []) {
      await this.#outbox.add({ about: { casualty }, fact: { kind: "entry.struck/1", entry, reason: "tapped by mistake" }, casualty, said: `undo: ${WORDS[one.kind]}` });
    }
  }

  #keep() {
    if (this.#met.length === 0) forget(this.#name());
    else keep(this.#name(), { at: Date.now(), met: this.#met.map(({ kind, facts }) => ({ kind, facts })) });
  }

  #paint() {
    for (const place of this.#root.querySelectorAll("[data-call-count]")) {
      setText(place, String(this.#met.filter(({ kind }) => kind === place.dataset.callCount).length));
    }
    this.#root.querySelector("[data-call-undo]").hidden = this.#met.length === 0;
  }
}
