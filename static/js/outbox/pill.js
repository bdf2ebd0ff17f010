// The pill: how many reports are only on this phone. A button that opens the list of them in words.
//
// Starts from: [data-pill] (a button) and <dialog data-outbox-list> holding [data-outbox-rows], a
// <template data-outbox-row>, [data-outbox-as-text] (button), <textarea data-outbox-text> and [data-outbox-close].
// A row of the template fills [data-row-said], [data-row-hour], [data-row-state], and shows the buttons
// [data-row-drop] (two taps) and [data-row-retry] on parked items only. body gets data-outbox="clear|waiting|parked".
// Emits nothing.

import { setText } from "../page.js";
import { roughly } from "../time/format.js";
import { onTick } from "../time/tick.js";
import { inOrder, PARKED, RECEIPTED } from "./core.js";
import { line, saidOf, stateWords, timeOf } from "./words.js";

/** How long the first tap on Drop stays armed. */
const ARMED = 5_000;
/** How many reports that are safely on the board the list still shows. */
const SHOWN_SENT = 20;
const TROUBLE = { join: "join again to send", storage: "board storage problem: tell the lead" };

export class Pill {
  #outbox;
  #clock;
  #dialog = document.querySelector("dialog[data-outbox-list]");
  #armed = null;

  constructor(outbox, clock) {
    this.#outbox = outbox;
    this.#clock = clock;
  }

  start() {
    document.addEventListener("holdfast:outbox", () => this.#paint());
    onTick(() => this.#paintPill());
    document.addEventListener("click", (event) => {
      if (event.target.closest("[data-pill]")) this.#open();
    });
    this.#dialog?.addEventListener("click", (event) => this.#act(event.target));
    this.#outbox.ready.then(() => this.#paint());
  }

  #paint() {
    this.#paintPill();
    if (this.#dialog?.open) this.#paintRows();
  }

  #paintPill() {
    const { unsent, parked } = this.#outbox.tally;
    document.body.dataset.outbox = parked > 0 ? "parked" : unsent > 0 ? "waiting" : "clear";
    for (const pill of document.querySelectorAll("[data-pill]")) setText(pill, this.#words());
  }

  #words() {
    const { unsent, parked, oldest } = this.#outbox.tally;
    const words = [];
    if (parked > 0) words.push(parked === 1 ? "1 needs a look" : `${parked} need a look`);
    if (unsent > 0) words.push(`${unsent} only on this phone`, `oldest ${roughly(this.#clock.now() - oldest)}`);
    if (TROUBLE[this.#outbox.trouble]) words.push(TROUBLE[this.#outbox.trouble]);
    return words.length > 0 ? words.join(" · ") : "All on the board";
  }

  #open() {
    if (!this.#dialog) return;
    this.#paintRows();
    if (this.#dialog.showModal) this.#dialog.showModal();
    else this.#dialog.setAttribute("open", "");
  }

  #close() {
    if (this.#dialog.close) this.#dialog.close();
    else this.#dialog.removeAttribute("open");
  }

  #shown() {
    const items = inOrder(this.#outbox.items);
    const sent = items.filter((item) => item.state === RECEIPTED).slice(-SHOWN_SENT);
    return [...items.filter((item) => item.state !== RECEIPTED), ...sent.reverse()];
  }

  #paintRows() {
    const rows = this.#dialog.querySelector("[data-outbox-rows]");
    const template = document.querySelector("template[data-outbox-row]");
    if (!rows || !template) return;
    rows.replaceChildren(...this.#shown().map((item) => this.#row(template, item)));
    const text = this.#dialog.querySelector("[data-outbox-text]");
    if (text && !text.hidden) text.value = this.#asText();
  }

  #row(template, item) {
    const row = template.content.firstElementChild.cloneNode(true);
    row.dataset.item = item.id;
    row.dataset.state = item.state;
    setText(row.querySelector("[data-row-said]"), saidOf(this.#outbox.items, item));
    setText(row.querySelector("[data-row-hour]"), timeOf(item, this.#clock.now()));
    setText(row.querySelector("[data-row-state]"), stateWords(item));
    for (const button of row.querySelectorAll("[data-row-drop], [data-row-retry]")) button.hidden = item.state !== PARKED;
    if (this.#armed === item.id) setText(row.querySelector("[data-row-drop]"), "Drop for good: tap again");
    return row;
  }

  async #act(target) {
    if (target.closest("[data-outbox-close]")) return this.#close();
    if (target.closest("[data-outbox-as-text]")) return this.#showText();
    const id = target.closest("[data-item]")?.dataset.item;
    if (target.closest("[data-row-retry]")) await this.#outbox.retry(id);
    if (target.closest("[data-row-drop]")) await this.#drop(id);
  }

  async #drop(id) {
    if (this.#armed === id) {
      this.#armed = null;
      return this.#outbox.drop(id);
    }
    this.#armed = id;
    this.#paintRows();
    setTimeout(() => {
      if (this.#armed !== id) return;
      this.#armed = null;
      this.#paintRows();
    }, ARMED);
  }

  // There is no clipboard on plain HTTP: a text that is already selected can be copied, or read aloud by radio.
  #showText() {
    const text = this.#dialog.querySelector("[data-outbox-text]");
    if (!text) return;
    text.hidden = false;
    text.value = this.#asText();
    text.focus();
    text.select();
  }

  #asText() {
    return this.#shown().map((item) => line(this.#outbox.items, item, this.#clock.now())).join("\n");
  }
}
