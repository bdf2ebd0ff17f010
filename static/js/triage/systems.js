// The systems this incident works with: which one is for whom, and what things are called.
//
// Starts from: the JSON of [data-triage-systems]: {adult, child, never_walked, tables, names, words, notes}. Emits nothing.

/** How old somebody looks, from what this phone or this page knows; "" when nobody said. */
export function ageOf(casualty, context, items) {
  if (context.age && context.age !== "unknown") return context.age;
  const told = items.filter(({ about, fact }) => about.casualty === casualty && fact.age && fact.age !== "unknown");
  const shown = [...document.querySelectorAll("[data-age]")].find((one) => one.dataset.ageOf === casualty)?.dataset.age;
  return told.at(-1)?.fact.age ?? shown ?? "";
}

export class Systems {
  #given;

  constructor(given) {
    this.#given = given;
  }

  /** The code of the system for somebody who looks so old; "" when that has to be asked first. */
  forAge(age) {
    const { adult, child } = this.#given;
    if (age === "adult") return adult;
    if (age === "infant") return this.neverWalked(child) || child;
    if (age === "child") return child;
    return adult === child ? adult : "";
  }

  /** The version for children who never walked, where the system has one. */
  neverWalked(code) {
    const { never_walked: other } = this.#given;
    return code !== other && this.table(code)?.algorithm === this.table(other)?.algorithm ? other : "";
  }

  table(code) {
    return this.#given.tables[code];
  }

  name(code) {
    return this.#given.names[code] ?? "";
  }

  /** The sign and word of a category, as the service says them. */
  word(category) {
    return this.#given.words[category] ?? category.toUpperCase();
  }

  /** When to mind what: see notes.js. */
  get notes() {
    return this.#given.notes;
  }

  /** Every system of another name, as [code, name]. */
  others(code) {
    const named = new Map(Object.entries(this.#given.names).reverse().map(([other, name]) => [name, other]));
    named.delete(this.name(code));
    return [...named].map(([name, other]) => [other, name]).reverse();
  }
}
