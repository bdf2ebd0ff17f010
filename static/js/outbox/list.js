// The list of what this device has reported: how each fares, and what can be done about those that need a look.
//
// Starts from: <dialog data-outbox-list> holding [data-outbox-rows], a <template data-outbox-row> and [data-outbox-close];
// aloud.js adds the text and the code. A row of the template fills [data-row-said], [data-row-hour], [data-row-state], and
// shows the buttons [data-row-mend], [data-row-retry] and [data-row-drop] (two taps) on parked items only. Emits nothing.

import { armed } from "../armed.js";
import { setText } from "../page.js";
import { DROPPED, inOrder, PARKED, RECEIPTED } from "./core.js";
import { mend } from "./mend.js";
import { saidOf, stateWords, timeOf } from "./words.js";

/** How many reports that are safely on the board the list still shows. */
const SHOWN_SENT = 20;
const NEWER = "kept for a newer version of this page: load the page again when you are in range";

export class List {
  #outbox;
  #clock;
  #dialog = document.querySelector("dialog[data-outbox-list]");

  constructor(outbox, clock) {
    this.#outbox = outbox;
    this.#clock = clock;
  }

  start() {
    document.addEventListener("holdfast:outbox", () => {
      if (this.#dialog?.open) this.#paint();
    });
    this.#dialog?.addEventListener("click", (event) => this.#act(event.target));
  }

  open() {
    if (!this.#dialog || this.#dialog.open) return;
    this.#paint();
    if (this.#dialog.showModal) this.#dialog.showModal();
    else this.#dialog.setAttribute("open", "");
  }

  #close() {
    if (this.#dialog.close) this.#dialog.close();
    else this.#dialog.removeAttribute("open");
  }

  #paint() {
    const rows = this.#dialog.querySelector("[data-outbox-rows]");
    const template = document.querySelector("template[data-outbox-row]");
    if (!rows || !template) return;
    const items = inOrder(this.#outbox.items);
    // A button that asks for a second tap must not be taken away between the two.
    if (rows.querySelector("[data-armed]")) return;
    const sent = items.filter((item) => item.state === RECEIPTED).slice(-SHOWN_SENT).reverse();
    const dropped = items.filter((item) => item.state === DROPPED).slice(-SHOWN_SENT);
    const here = [...items.filter((item) => item.state !== RECEIPTED && item.state !== DROPPED), ...dropped].map((item) => this.#row(template, item));
    const newer = this.#outbox.newer.map((item) => filled(template, { id: item.id, said: item.said ?? "A report", state: NEWER }));
    rows.replaceChildren(...here, ...newer, ...sent.map((item) => this.#row(template, item)));
  }

  #row(template, item) {
    const row = filled(template, {
      id: item.id,
      said: saidOf(this.#outbox.items, item),
      hour: timeOf(item, this.#clock.now()),
      state: stateWords(item),
    });
    for (const button of row.querySelectorAll("button")) button.hidden = item.state !== PARKED;
    row.querySelector("[data-row-retry]").hidden = item.state !== PARKED && item.state !== DROPPED;
    row.dataset.state = item.state;
    return row;
  }

  async #act(target) {
    if (target.closest("[data-outbox-close]")) return this.#close();
    const id = target.closest("[data-item]")?.dataset.item;
    if (target.closest("[data-row-mend]")) this.#mend(this.#outbox.find(id));
    if (target.closest("[data-row-retry]")) await this.#outbox.retry(id);
    const drop = target.closest("[data-row-drop]");
    if (!drop || !armed(drop, "Not to be sent: tap again")) return;
    delete drop.dataset.armed;
    await this.#outbox.drop(id);
  }

  #mend(item) {
    const why = mend(item, saidOf(this.#outbox.items, item), timeOf(item, this.#clock.now()));
    if (why === "") return this.#close();
    const row = this.#dialog.querySelector(`[data-item="${CSS.escape(item.id)}"]`);
    setText(row.querySelector("[data-row-state]"), why);
  }
}

function filled(template, { id, said, hour = "", state }) {
  const row = template.content.firstElementChild.cloneNode(true);
  row.dataset.item = id;
  setText(row.querySelector("[data-row-said]"), said);
  setText(row.querySelector("[data-row-hour]"), hour);
  setText(row.querySelector("[data-row-state]"), state);
  for (const button of row.querySelectorAll("button")) button.hidden = true;
  return row;
}
