// A form that says one fact.
//
// Starts from: <form data-report-form data-about='{"casualty":"$casualty"}' data-kind="vitals.measured/1">, with
// data-fact='{…}' (merged first), data-new="casualty|wound|transport|destination" (a fresh id goes into the context), data-said, data-then,
// data-needs-one="words when nothing is filled in". [data-form-error] inside shows problems in words. What is typed is
// kept as a draft per form and context until it is reported; one left for longer says since when (unfinished.js). Emits the document event "holdfast:form" (bubbling from
// the form) when its fields were set by this module, so that chips and steppers can follow.

import { forget, keep } from "../kept.js";
import { page, setText, tell } from "../page.js";
import { calledNumber } from "../outbox/core.js";
import { uuid7 } from "../uuid7.js";
import { dayHour } from "../time/format.js";
import { buildFact, filled, filledWords, forSomebodyNew, readTime } from "./build.js";
import { draftOf, fieldsOf, isOld, momentOf, nameOf, viewOf } from "./draft.js";
import { readDraft, readFields, writeDraft } from "./fields.js";
import { offerMoment, offersMoment, quiet, tellOf } from "./unfinished.js";
import { contextOf, follow } from "./views.js";

/** A second submit within this time is a trembling finger. */
const SAME_TAP = 400;

export class Forms {
  #outbox;
  #clock;
  #reporter;
  #busy = new Set();
  #reportedAt = new WeakMap();
  #shown = new WeakMap();

  constructor(outbox, clock, reporter) {
    this.#outbox = outbox;
    this.#clock = clock;
    this.#reporter = reporter;
  }

  start() {
    for (const form of document.querySelectorAll("[data-report-form]")) form.noValidate = true;
    document.addEventListener("submit", (event) => {
      if (!event.target.matches("[data-report-form]")) return;
      event.preventDefault();
      this.#submit(event.target);
    });
    for (const type of ["input", "change"]) document.addEventListener(type, (event) => this.#keepDraft(event.target.form));
    document.addEventListener("holdfast:view", () => this.#restoreAll());
    // A phone that slept in a form wakes in it: by then "now" is another moment.
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.#restoreAll(); });
    this.#restoreAll();
  }

  async #submit(form) {
    if (this.#busy.has(form) || performance.now() - (this.#reportedAt.get(form) ?? -Infinity) < SAME_TAP) return;
    this.#busy.add(form);
    try {
      await this.#report(form);
    } catch (error) {
      this.#tell(form, [{ name: "", words: error.message }]);
    } finally {
      this.#busy.delete(form);
    }
  }

  async #report(form) {
    const draftName = nameOf(form);
    const { about, kind, fact: base, said, then, needsOne } = form.dataset;
    const open = contextOf(form);
    const given = form.dataset.new === "casualty" ? forSomebodyNew(open) : open;
    const context = { me: page.device, ...given, ...this.#fresh(form) };
    const { mends = null, mended_at: mendedAt = null, ...rest } = context;
    const built = buildFact({
      kind,
      base: base ? JSON.parse(base) : {},
      fields: readFields(form),
      context,
      now: this.#clock.now(),
      needsOne,
    });
    this.#tell(form, built.problems);
    if (built.problems.length > 0) return;
    if (built.fact.words) context.words = built.fact.words;
    if (built.fact.age) context.age = built.fact.age;
    if (form.dataset.new === "casualty" && built.fact.place) context.where = built.fact.place;
    const placed = form.querySelector("[data-outline-side-words]")?.textContent;
    if (placed) context.place = placed;
    const item = await this.#reporter.append({
      about: filled(JSON.parse(about), context),
      fact: built.fact,
      happenedAt: built.happenedAt ?? (offersMoment(form) ? null : mendedAt),
      casualty: context.casualty ?? null,
      said: filledWords(said ?? kind, { ...context, ...wordsOf(built.fact) }),
      from: { view: viewOf(form), kind, context: rest, draft: readDraft(form) },
      mends,
    });
    if (!item) return;
    this.#reportedAt.set(form, performance.now());
    forget(draftName);
    this.#shown.delete(form);
    quiet(form);
    form.reset();
    followed(form);
    follow(then, context);
  }

  // What is mended keeps the id that others may be about already; everything else that is new gets an id of its own.
  #fresh(form) {
    return contextOf(form).mends ? {} : this.#made(form);
  }

  #made(form) {
    if (form.dataset.new === "casualty") {
      const casualty = uuid7(this.#clock.now());
      return { casualty, number: calledNumber(this.#outbox.items, casualty) };
    }
    return form.dataset.new ? { [form.dataset.new]: uuid7(this.#clock.now()) } : {};
  }

  #tell(form, problems) {
    // Two at a time: a list of seven hides the form it speaks of.
    const more = problems.length > 2 ? [`And ${problems.length - 2} more.`] : [];
    const words = [...problems.slice(0, 2).map((problem) => problem.words), ...more].join(" ");
    const place = form.querySelector("[data-form-error]");
    setText(place, words);
    if (place) place.hidden = words === "";
    for (const input of form.elements) input.removeAttribute("aria-invalid");
    if (problems.length === 0) return;
    if (!place) tell(words);
    const field = [...form.elements].find((input) => input.name && input.name === problems[0].name);
    field?.setAttribute("aria-invalid", "true");
    // What is folded away cannot be looked at or get the focus.
    for (let fold = field?.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
    field?.focus();
  }

  #keepDraft(form) {
    if (!form?.matches?.("[data-report-form]")) return;
    const now = this.#clock.now();
    const fields = readDraft(form);
    const { happenedAt: then = null } = readTime(readFields(form), now);
    if (fields || then !== null) keep(nameOf(form), { at: now, then, fields: fields ?? {} });
    else forget(nameOf(form));
  }

  // A view that opens for another casualty starts empty, or with what was begun for that one.
  #restoreAll() {
    for (const form of document.querySelectorAll("[data-report-form]")) {
      if (form.closest("[data-view-name]")?.hidden) continue;
      const name = nameOf(form);
      const kept = draftOf(name);
      const begun = kept !== null || readDraft(form) !== null;
      // In the middle of it nothing is touched.
      if (this.#shown.get(form) === name && begun && !isOld(kept, this.#clock.now())) continue;
      this.#shown.set(form, name);
      this.#fill(form, name, kept);
    }
  }

  #fill(form, name, kept) {
    const now = this.#clock.now();
    const context = contextOf(form);
    quiet(form);
    prefill(form, context);
    form.reset();
    this.#tell(form, []);
    if (kept) writeDraft(form, fieldsOf(kept, now));
    const moment = momentOf(kept, context.mended_at, now);
    if (moment !== null) offerMoment(form, moment, dayHour(moment, now));
    if (isOld(kept, now) && !context.mends) {
      const held = offersMoment(form) ? " It is reported as of then, unless you choose another time." : "";
      tellOf(form, `Unfinished, from ${dayHour(moment, now)}.${held}`, () => {
        forget(name);
        this.#fill(form, name, null);
      });
    }
    followed(form);
  }
}

// What the opener knew already: [data-ctx-value="ml"] starts with the context's ml, and counts as untouched while it has it.
function prefill(form, context) {
  for (const input of form.querySelectorAll("[data-ctx-value]")) {
    input.dataset.brought ??= input.defaultValue;
    input.defaultValue = context[input.dataset.ctxValue] ?? input.dataset.brought;
  }
}

function followed(form) {
  form.dispatchEvent(new CustomEvent("holdfast:form", { bubbles: true }));
}

/** A fact's plain values, for use in data-said. */
function wordsOf(fact) {
  return Object.fromEntries(Object.entries(fact).filter(([, value]) => typeof value !== "object"));
}
