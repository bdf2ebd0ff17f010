// Assessing one casualty: one question per screen, then the category.
//
// Starts from: [data-triage] in a view whose context has `casualty` (and `number`), holding [data-triage-systems] (see
// systems.js). Asking how old they look: [data-triage-who] with [data-triage-age]. Asking: [data-triage-asking] with
// [data-triage-question], [data-triage-help], [data-triage-answer], [data-triage-count] around a counter (counter.js) and
// [data-triage-treat]. [data-triage-back], [data-triage-stop], [data-triage-never-walked] and [data-triage-others] (chips of
// other systems) go on from there. The result is painted by verdict.js. data-then on [data-triage] as for reports.
// Emits nothing; appends assessment.answered/1, lifesaving.done/1, casualty.described/1 and category.assigned/2.

import { handsDown } from "../hands.js";
import { setText, tell } from "../page.js";
import { contextOf, follow } from "../report/views.js";
import { Sheet } from "./sheet.js";
import { ageOf, Systems } from "./systems.js";
import { Verdict } from "./verdict.js";
import { nextStep } from "./walk.js";

const SAME_TAP = 400;
const BEGUN_ANEW = "These answers were over ten minutes old: asked again from the start. What was answered then stays in the log.";

export class Assessment {
  #root;
  #outbox;
  #reporter;
  #systems;
  #verdict;
  #sheet = null;
  #stopped = false;
  #tappedAt = -Infinity;

  constructor(root, reporter, outbox) {
    this.#root = root;
    this.#outbox = outbox;
    this.#reporter = reporter;
    this.#systems = new Systems(JSON.parse(root.querySelector("[data-triage-systems]").textContent));
    this.#verdict = new Verdict(root, this.#systems);
  }

  start() {
    this.#root.addEventListener("click", (event) => this.#click(event));
    this.#root.addEventListener("holdfast:counted", ({ detail }) => this.#counted(detail));
    for (const event of ["holdfast:view", "visibilitychange"]) document.addEventListener(event, () => this.#begin());
    this.#outbox.ready.then(() => this.#begin());
  }

  // Another casualty starts from nothing; coming back to the same one goes on where it was, unless that is long ago.
  #begin() {
    const context = contextOf(this.#root);
    const { casualty = "" } = context;
    if (casualty === "" || this.#root.closest("[data-view-name]").hidden) return;
    const isStale = this.#sheet?.casualty === casualty && this.#sheet.isStale;
    if (isStale) tell(BEGUN_ANEW);
    if (isStale || this.#sheet?.casualty !== casualty) {
      this.#sheet = new Sheet(this.#outbox, this.#systems, context);
      this.#stopped = false;
      this.#verdict.reset();
    }
    if (!this.#sheet.system) this.#use(this.#systems.forAge(ageOf(casualty, context, this.#outbox.items)));
    this.#paint();
  }

  #use(system) {
    if (system) this.#sheet.use(system);
  }

  #click(event) {
    const hit = (name) => event.target.closest(`[data-triage-${name}]`);
    const answer = hit("answer")?.dataset.triageAnswer;
    const age = hit("age")?.dataset.triageAge;
    // The next question has its answers in the same place: a trembling finger must not answer it too.
    const trembles = (answer || age) && event.timeStamp - this.#tappedAt < SAME_TAP;
    if (!this.#sheet || handsDown() >= 2 || trembles) return;
    // An answer to a question that stood there for an hour is none to the one that is asked now.
    if (this.#sheet.isStale) return this.#begin();
    if (answer || age) this.#tappedAt = event.timeStamp;
    if (age) this.#looksLike(age);
    else if (answer) this.#sheet.answer(this.#step().input, answer);
    else if (hit("treat")) return this.#treat(hit("treat"));
    else if (hit("back")) this.#back();
    else if (hit("stop")) this.#stopped = true;
    else if (hit("never-walked")) this.#use(this.#systems.neverWalked(this.#sheet.system));
    else if (hit("other-system")) this.#use(hit("other-system").dataset.triageOtherSystem);
    else if (hit("accept")) return this.#assign(this.#verdict.accept(this.#sheet));
    else if (hit("choose")) return this.#assign(this.#verdict.choose(this.#sheet, hit("choose").dataset.triageChoose));
    else if (hit("expectant")) return this.#assign(this.#verdict.choose(this.#sheet, "expectant"));
    else if (hit("override")) this.#verdict.override();
    else return;
    this.#paint();
  }

  #step() {
    return nextStep(this.#sheet.table, this.#sheet.answers);
  }

  #counted({ count, seconds, perMinute }) {
    const step = this.#step();
    if (step?.measure) this.#sheet.answer(step.measure.input, perMinute, { count, seconds });
    this.#paint();
  }

  // How old they look is worth keeping for everybody.
  #looksLike(age) {
    const { casualty } = this.#sheet;
    this.#use(this.#systems.forAge(age));
    const fact = { kind: "casualty.described/1", age };
    this.#outbox.add({ about: { casualty }, fact, casualty, said: `${this.#number()}: looks like ${age}` });
  }

  #number() {
    return contextOf(this.#root).number ?? "";
  }

  async #treat(button) {
    const { casualty } = this.#sheet;
    const intervention = button.dataset.triageTreat;
    const said = `${this.#number()}: ${button.firstChild.textContent.trim().toLowerCase()}`;
    const item = await this.#reporter.append({ about: { casualty }, fact: { kind: "lifesaving.done/1", intervention }, casualty, said });
    if (item) this.#sheet.note(intervention);
    this.#paint();
  }

  #back() {
    if (this.#verdict.back()) return;
    if (this.#stopped) this.#stopped = false;
    else if (!this.#sheet.isEmpty) this.#sheet.back();
  }

  async #assign(fact) {
    this.#paint();
    if (!fact) return;
    const context = contextOf(this.#root);
    const { casualty } = this.#sheet;
    const said = `${this.#number()}: ${this.#systems.word(fact.category)}`;
    const item = await this.#verdict.once(() => this.#reporter.append({ about: { casualty }, fact, casualty, said }));
    if (!item) return;
    this.#sheet.end();
    this.#sheet = null;
    follow(this.#root.dataset.then, context);
  }

  #paint() {
    const part = (name) => this.#root.querySelector(`[data-triage-${name}]`);
    const { system, treated } = this.#sheet;
    const step = system && !this.#stopped ? this.#step() : null;
    const name = this.#systems.name(system);
    const result = system && step === null;
    part("who").hidden = Boolean(system);
    part("asking").hidden = step === null;
    setText(part("name"), name ? `Sort by ${name}` : "Sort");
    setText(part("place"), step ? step.id : "");
    setText(part("question"), step?.question ?? "");
    setText(part("help"), step?.help ?? "");
    part("count").hidden = !step?.measure?.input.endsWith("_per_minute");
    part("back").hidden = this.#sheet.isEmpty && !this.#stopped && !this.#verdict.isOpen;
    part("stop").hidden = step === null;
    part("never-walked").hidden = !(system && this.#sheet.isEmpty && this.#systems.neverWalked(system));
    for (const button of this.#root.querySelectorAll("[data-triage-treat]")) {
      button.querySelector("[data-triage-treated]").hidden = !treated.includes(button.dataset.triageTreat);
      if (button.hasAttribute("data-triage-salt")) button.hidden = this.#sheet.table?.algorithm !== "salt";
    }
    this.#paintOthers(part("others"), system);
    this.#verdict.paint(result ? this.#sheet : null, name);
  }

  #paintOthers(list, system) {
    if (list.dataset.of === system) return;
    list.dataset.of = system;
    list.replaceChildren(...this.#systems.others(system).map(([code, words]) => {
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.triageOtherSystem = code;
      button.textContent = words;
      return button;
    }));
    list.closest("details").hidden = !system;
  }
}
