// One assessment as it goes: the answers, the facts that keep them, and what is left of it after a reload.
//
// Every answer is a fact of its own the moment it is given; taking it back strikes that fact. Emits nothing.

import { forget, keep, recall } from "../kept.js";
import { page } from "../page.js";
import { uuid7 } from "../uuid7.js";
import { answered, result, takenBack } from "./walk.js";

/** An assessment left alone for longer is begun anew: what was seen then may have changed. */
const STALE = 10 * 60_000;

export class Sheet {
  #outbox;
  #systems;
  #casualty;
  #number;
  #state;
  #writing = new Map();

  constructor(outbox, systems, { casualty, number = "" }) {
    this.#outbox = outbox;
    this.#systems = systems;
    this.#casualty = casualty;
    this.#number = number;
    const kept = recall(this.#name());
    this.#state = kept && Date.now() - kept.at < STALE && systems.table(kept.system) ? kept : this.#fresh("");
  }

  #name() {
    return `assessment/${page.board}/${this.#casualty}`;
  }

  #fresh(system) {
    return { id: uuid7(Date.now()), system, answers: {}, facts: {}, treated: [], at: Date.now() };
  }

  /** Whether it was left alone for so long that it must not go on in the middle. */
  get isStale() { return !(this.isEmpty && this.treated.length === 0) && Date.now() - this.#state.at >= STALE; }

  get casualty() { return this.#casualty; }
  get id() { return this.#state.id; }
  get system() { return this.#state.system; }
  get answers() { return this.#state.answers; }
  get treated() { return this.#state.treated; }
  get table() { return this.#systems.table(this.#state.system); }
  get result() { return result(this.table, this.answers); }
  get isEmpty() { return Object.keys(this.answers).length === 0; }

  /** Asks by another system from now on. What was answered to the other one stays in the record. */
  use(system) {
    this.#state = { ...this.#fresh(system), treated: this.#state.treated };
    this.#keep();
  }

  /** Keeps one answer: a yes, no or can't tell, or a number with how it was counted. */
  async answer(input, value, counted = null) {
    this.#state.answers = answered(this.answers, input, value);
    const fact = { kind: "assessment.answered/1", assessment: this.id, system: this.system, input };
    if (typeof value === "number") fact.number = value;
    else fact.answer = value;
    if (counted) fact.counted = counted;
    this.#keep();
    const state = this.#state;
    const written = this.#add(fact, `${this.#number}: answered`).then((item) => {
      state.facts[input] = item.id;
      this.#keep();
    });
    this.#writing.set(input, written);
    await written;
  }

  /** Takes the last answer back. */
  async back() {
    const input = Object.keys(this.answers).at(-1);
    this.#state.answers = takenBack(this.answers);
    this.#keep();
    // A quick finger takes back what is still being written.
    await this.#writing.get(input)?.catch(() => undefined);
    const entry = this.#state.facts[input];
    delete this.#state.facts[input];
    this.#keep();
    if (entry) await this.#add({ kind: "entry.struck/1", entry, reason: "tapped by mistake" }, `${this.#number}: answer taken back`);
  }

  note(intervention) {
    this.#state.treated = [...new Set([...this.#state.treated, intervention])];
    this.#keep();
  }

  /** The answer sheet for the record; undefined while nothing is known. */
  filled() {
    const { category, final, step } = this.result;
    if (!category) return undefined;
    const { algorithm, variant } = this.table;
    const sheet = { algorithm, variant, answers: this.answers, suggested: category, complete: final };
    return step ? { ...sheet, step } : sheet;
  }

  end() {
    forget(this.#name());
    this.#state = this.#fresh("");
  }

  #keep() {
    this.#state.at = Date.now();
    if (this.isEmpty && this.treated.length === 0) forget(this.#name());
    else keep(this.#name(), this.#state);
  }

  #add(fact, said) {
    const casualty = this.#casualty;
    return this.#outbox.add({ about: { casualty }, fact, casualty, said });
  }
}
