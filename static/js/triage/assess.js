// Assessing one casualty: one question per screen, then the category.
//
// Starts from: [data-triage] in a view whose context has `casualty` (and `number`), holding the table as
// <script type="application/json" data-triage-table>. While asking: [data-triage-asking] with [data-triage-question],
// [data-triage-help] and buttons [data-triage-answer="yes|no|cannot_tell"]; [data-triage-back] takes the last answer
// back, [data-triage-stop] goes to the result early. Result: [data-triage-result] (carries data-category) with
// [data-triage-word], [data-triage-final] and [data-triage-accept]. To choose otherwise: [data-triage-override] shows
// [data-triage-other] with [data-triage-choose="delayed"] buttons and inputs named _reason (radio, select or text).
// The word of a category is the data-word of its choose button. data-then on [data-triage] as for reports.
// Emits nothing; appends category.assigned/1 through the reporter.

import { handsDown } from "../hands.js";
import { say, setText } from "../page.js";
import { contextOf, follow } from "../report/views.js";
import { answered, nextStep, result, takenBack } from "./walk.js";

const SAME_TAP = 400;
const FINAL = "final";
const PROVISIONAL = "provisional: not everything could be answered";
const NOTHING = "nothing answered yet: choose a category";

export class Assessment {
  #root;
  #table;
  #reporter;
  #answers = {};
  #about = "";
  #stopped = false;
  #choosing = false;
  #busy = false;
  #answeredAt = -Infinity;

  constructor(root, reporter) {
    this.#root = root;
    this.#table = JSON.parse(root.querySelector("[data-triage-table]").textContent);
    this.#reporter = reporter;
  }

  start() {
    this.#root.addEventListener("click", (event) => this.#click(event));
    document.addEventListener("holdfast:view", () => this.#begin());
    this.#begin();
  }

  // Another casualty starts from nothing; coming back to the same one goes on where it was.
  #begin() {
    const { casualty = "" } = contextOf(this.#root);
    if (casualty === "" || casualty === this.#about) return;
    this.#about = casualty;
    this.#restart();
  }

  #restart() {
    this.#answers = {};
    this.#stopped = false;
    this.#choosing = false;
    for (const input of this.#reasons()) {
      if (input.type === "radio") input.checked = false;
      else input.value = "";
    }
    this.#paint();
  }

  #click(event) {
    const hit = (name) => event.target.closest(`[data-triage-${name}]`);
    const answer = hit("answer")?.dataset.triageAnswer;
    // The next question has its answers in the same place: a trembling finger must not answer it too.
    if (handsDown() >= 2 || (answer && event.timeStamp - this.#answeredAt < SAME_TAP)) return;
    if (answer) this.#answer(answer, event.timeStamp);
    else if (hit("back")) this.#back();
    else if (hit("stop")) this.#stopped = true;
    else if (hit("override")) this.#choosing = true;
    else if (hit("accept")) return this.#assign(this.#result().category);
    else if (hit("choose")) return this.#assign(hit("choose").dataset.triageChoose);
    else return;
    this.#paint();
  }

  #answer(answer, at) {
    this.#answeredAt = at;
    const step = nextStep(this.#table, this.#answers);
    if (step) this.#answers = answered(this.#answers, step.input, answer);
  }

  #back() {
    if (this.#choosing) this.#choosing = false;
    else if (this.#stopped) this.#stopped = false;
    else this.#answers = takenBack(this.#answers);
  }

  #result() {
    return result(this.#table, this.#answers);
  }

  async #assign(category) {
    const suggested = this.#result();
    const reason = category === suggested.category ? "" : this.#reason();
    if (suggested.category && category !== suggested.category && !reason) return say("Choose a reason first.");
    if (!category || this.#busy) return;
    this.#busy = true;
    const context = contextOf(this.#root);
    const item = await this.#reporter.append({
      about: { casualty: context.casualty },
      fact: this.#fact(category, suggested, reason),
      casualty: context.casualty,
      said: `${context.number ?? ""}: ${this.#word(category)}`,
    });
    this.#busy = false;
    if (!item) return;
    this.#restart();
    follow(this.#root.dataset.then, context);
  }

  #fact(category, suggested, reason) {
    const fact = { kind: "category.assigned/1", category };
    if (suggested.category) {
      const { algorithm, variant } = this.#table;
      const { category: suggestion, final: complete, step } = suggested;
      fact.assessment = { algorithm, variant, answers: this.#answers, suggested: suggestion, complete };
      if (step) fact.assessment.step = step;
    }
    if (reason) fact.reason = reason;
    return fact;
  }

  #paint() {
    const step = this.#stopped ? null : nextStep(this.#table, this.#answers);
    const { category, final } = this.#result();
    const part = (name) => this.#root.querySelector(`[data-triage-${name}]`);
    const show = (name, visible) => { if (part(name)) part(name).hidden = !visible; };
    show("asking", step !== null);
    show("result", step === null);
    show("other", step === null && (this.#choosing || category === null));
    show("accept", category !== null);
    show("back", this.#stopped || this.#choosing || Object.keys(this.#answers).length > 0);
    setText(part("question"), step?.question ?? "");
    setText(part("help"), step?.help ?? "");
    setText(part("word"), category ? this.#word(category) : "");
    setText(part("final"), category === null ? NOTHING : final ? FINAL : PROVISIONAL);
    if (part("result")) part("result").dataset.category = category ?? "";
  }

  #word(category) {
    const button = this.#root.querySelector(`[data-triage-choose="${category}"]`);
    return button?.dataset.word ?? category.toUpperCase();
  }

  #reasons() {
    return [...this.#root.querySelectorAll('[name="_reason"]')];
  }

  #reason() {
    const given = this.#reasons().find((input) => (input.type === "radio" ? input.checked : input.value.trim() !== ""));
    return given?.value.trim() ?? "";
  }
}
