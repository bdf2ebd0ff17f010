// What a system suggests, and what the person decides.
//
// Starts from: [data-triage-result] inside [data-triage], with one [data-triage-suggested] per category, [data-triage-by],
// [data-triage-final], [data-triage-mind], [data-triage-accept], [data-triage-override]; [data-triage-other] with radios named _reason and
// [data-triage-choose]; [data-triage-grounds] with radios named _short and [data-triage-expectant]; [data-triage-lead-only].
// Emits nothing: gives the fact to append, or null while something is missing, and says what.

import { page, setText, tell } from "../page.js";
import { minded } from "./notes.js";
import { answerOf, endsIn } from "./walk.js";

const EXPECTANT = "expectant";
const WORDS = { yes: "yes", no: "no", cannot_tell: "can't tell" };

export class Verdict {
  #root;
  #systems;
  #choosing = false;
  #grounds = false;
  #busy = false;

  constructor(root, systems) {
    this.#root = root;
    this.#systems = systems;
  }

  get isOpen() {
    return this.#choosing || this.#grounds;
  }

  reset() {
    this.#choosing = false;
    this.#grounds = false;
    for (const radio of this.#root.querySelectorAll("[name=_reason], [name=_short]")) radio.checked = false;
  }

  override() {
    this.#choosing = true;
  }

  /** Goes one step back; says whether there was one. */
  back() {
    const open = this.isOpen;
    if (this.#grounds) this.#grounds = false;
    else this.#choosing = false;
    return open;
  }

  /** The suggestion taken as it is. */
  accept(sheet) {
    const { category } = sheet.result;
    return category === EXPECTANT ? this.#expectant(sheet, "") : this.#fact(sheet, category);
  }

  /** Another category than suggested, or one without a suggestion. */
  choose(sheet, category) {
    const suggested = sheet.result.category;
    const reason = category === suggested ? "" : this.#chosen("_reason");
    if (suggested && category !== suggested && !reason) {
      tell("Choose a reason first.");
      this.#root.querySelector("[name=_reason]")?.focus();
      return null;
    }
    return category === EXPECTANT ? this.#expectant(sheet, reason) : this.#fact(sheet, category, { reason });
  }

  // Only the lead, and only with what is short.
  #expectant(sheet, reason) {
    if (!page.leads) return null;
    const short_of = this.#chosen("_short");
    if (this.#grounds && !short_of) tell("Choose what is short.");
    this.#grounds = true;
    return short_of ? this.#fact(sheet, EXPECTANT, { reason, short_of }) : null;
  }

  #fact(sheet, category, { reason = "", short_of = "" } = {}) {
    const fact = { kind: "category.assigned/2", category };
    const filled = sheet.filled();
    if (filled) fact.sheet = filled;
    if (!sheet.isEmpty) fact.assessment = sheet.id;
    if (reason) fact.reason = reason;
    if (short_of) fact.short_of = short_of;
    return fact;
  }

  #chosen(name) {
    return [...this.#root.querySelectorAll(`[name=${name}]`)].find((radio) => radio.checked)?.value ?? "";
  }

  /** Appends once, however often it is tapped. */
  async once(append) {
    if (this.#busy) return null;
    this.#busy = true;
    try {
      return await append();
    } finally {
      this.#busy = false;
    }
  }

  /** Paints the result of a sheet, or hides it. */
  paint(sheet, name) {
    const part = (what) => this.#root.querySelector(`[data-triage-${what}]`);
    part("result").hidden = !sheet;
    if (!sheet) return;
    const { category, final } = sheet.result;
    const waits = category === EXPECTANT && !page.leads;
    for (const word of this.#root.querySelectorAll("[data-triage-suggested]")) word.hidden = word.dataset.triageSuggested !== category;
    setText(part("by"), name);
    setText(part("final"), category === null ? "Nothing answered yet: choose a category." : `${final ? decided(sheet) : open(sheet, this.#systems)}`);
    const mind = minded(this.#systems.notes, sheet.table, sheet.answers, sheet.result);
    part("mind").hidden = mind.length === 0;
    setText(part("mind"), mind.join(" "));
    part("accept").hidden = category === null || this.#grounds || waits;
    part("override").hidden = this.isOpen || category === null;
    part("other").hidden = this.#grounds || !(this.#choosing || category === null);
    part("grounds").hidden = !this.#grounds;
    part("lead-only").hidden = !waits;
    for (const button of this.#root.querySelectorAll("[data-triage-choose]")) {
      const code = button.dataset.triageChoose;
      // "Not breathing" is the word of one system alone, which in turn never says dead.
      button.hidden = code === "not_breathing" && !endsIn(sheet.table, code);
    }
  }
}

/** The deciding step in words: "Decided by S4: Pulse at the wrist? no". */
function decided(sheet) {
  const step = sheet.table.steps[sheet.result.step];
  const number = step.measure && sheet.answers[step.measure.input];
  const said = number === undefined ? WORDS[answerOf(step, sheet.answers)] ?? "either way" : number;
  return `Decided by ${step.id}: ${step.question} ${said}`;
}

function open(sheet, systems) {
  const possible = sheet.result.possible.map((category) => systems.word(category)).join(" or ");
  return `Not everything was answered. Still possible: ${possible}. The most urgent one stands.`;
}
