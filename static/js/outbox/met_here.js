// Casualties and wounds first met on this phone that the board does not know yet: to go on with them out of range.
//
// Starts from: <ul data-met="casualty"> or <ul data-met="wound"> (those of the casualty in the view's context), each
// holding a <template data-met-row> whose [data-met-words] gets the words and whose [data-open]s get the context
// (casualty, number, words, or wound, region, side). Emits nothing.

import { contextOf } from "../report/views.js";
import { inOrder, isUnsent, calledNumber } from "./core.js";

const KINDS = { casualty: "casualty.registered/", wound: "wound.found/" };

export class MetHere {
  #outbox;

  constructor(outbox) {
    this.#outbox = outbox;
  }

  start() {
    for (const event of ["holdfast:outbox", "holdfast:view"]) document.addEventListener(event, () => this.#paint());
    this.#outbox.ready.then(() => this.#paint());
  }

  #paint() {
    const unsent = inOrder(this.#outbox.items).filter(isUnsent);
    for (const list of document.querySelectorAll("[data-met]")) {
      const kind = list.dataset.met;
      const { casualty } = contextOf(list);
      const met = unsent.filter((item) => item.fact.kind.startsWith(KINDS[kind] ?? "-"));
      const here = met.filter((item) => kind === "casualty" || item.fact.casualty === casualty);
      const rows = here.map((item) => this.#row(list, item));
      for (const old of list.querySelectorAll("[data-met-item]")) old.remove();
      list.append(...rows);
      list.toggleAttribute("data-empty", rows.length === 0);
    }
  }

  #row(list, item) {
    const row = list.querySelector("template[data-met-row]").content.firstElementChild.cloneNode(true);
    row.dataset.metItem = item.id;
    const { context, words } = this.#about(item);
    for (const open of row.querySelectorAll("[data-open]")) {
      for (const [name, value] of Object.entries(context)) {
        if (value) open.setAttribute(`data-ctx-${name}`, value);
      }
    }
    const place = row.querySelector("[data-met-words]") ?? row;
    place.textContent = words;
    return row;
  }

  #about({ about, fact, said, from }) {
    if (about.casualty) {
      const number = calledNumber(this.#outbox.items, about.casualty);
      const words = fact.words ?? "";
      return { context: { casualty: about.casualty, number, words }, words: `${number} ${words}`.trim() };
    }
    const { region, side } = fact;
    const place = from?.context?.place ?? "";
    return { context: { wound: about.wound, region, side, place }, words: place ? `Wound: ${place}` : said };
  }
}
