// The strip that calls: what is overdue and nobody has seen, with one tap that makes it quiet.
//
// Starts from: [data-alarms] with [data-alarm-line] and [data-alarm-seen]; reads the duties of the page: elements with
// data-alarm (a key), data-due, data-severity, data-worse and data-worse-at (what waiting makes of it), data-quiet, data-ack
// (the report that it was seen), data-words. On a
// helper's page those are the duties towards casualties they have; nothing else is said there.
// A tap reports each as seen; that silences and never counts as done. Emits nothing.

import { setText } from "../page.js";
import { onTick } from "../time/tick.js";
import { calling, lineOf, loudest, severityAt, silence, soundNow } from "./core.js";

/** One tap makes so many quiet, the worst first: nobody has looked at sixty at once. */
const AT_ONCE = 5;
const UNTIL_TOLD = 60_000;

export class Alarms {
  #strip;
  #reporter;
  #sound;
  #memory = silence();
  #active = [];
  #now = 0;

  constructor(strip, reporter, sound) {
    this.#strip = strip;
    this.#reporter = reporter;
    this.#sound = sound;
  }

  start() {
    onTick((now) => this.#look(now));
    this.#strip.querySelector("[data-alarm-seen]")?.addEventListener("click", () => this.#seen());
  }

  #look(now) {
    this.#now = now;
    this.#active = loudest(calling(duties(now), now));
    const line = lineOf(this.#active);
    this.#strip.hidden = line === "";
    this.#strip.dataset.level = this.#active[0]?.severity ?? "";
    setText(this.#strip.querySelector("[data-alarm-line]"), line);
    const seen = this.#strip.querySelector("[data-alarm-seen]");
    // What nobody can make quiet offers no button for it.
    if (seen) seen.hidden = !this.#active.some((one) => one.ack);
    const { level, memory } = soundNow(this.#active, this.#memory, now, document.querySelectorAll("#rows > tr").length);
    this.#memory = memory;
    if (level) this.#sound.play(level);
  }

  async #seen() {
    const seen = this.#active.filter((one) => one.ack).slice(0, AT_ONCE);
    // Until the board says for how long; before anything is waited for, or a second tap says it all again.
    for (const duty of seen) duty.element.dataset.quiet = new Date(this.#now + UNTIL_TOLD).toISOString();
    this.#look(this.#now);
    for (const duty of seen) {
      const { about, fact } = JSON.parse(duty.ack);
      await this.#reporter.append({ about, fact, casualty: duty.casualty, said: `seen: ${duty.words}` });
    }
  }
}

function duties(now) {
  const all = [...document.querySelectorAll("[data-alarm][data-due]")].filter((element) => !element.hidden);
  return all.map((element) => {
    const { alarm, due, severity, worse, worseAt, quiet, ack, words, casualty } = element.dataset;
    const bad = severityAt({ severity, worse, worseAt: Date.parse(worseAt) }, now);
    return {
      element,
      // What became worse is news: it calls again, whatever was heard of it before.
      key: bad === severity ? alarm : `${alarm} ${bad}`,
      severity: bad,
      due: Date.parse(due),
      quiet: quiet ? Date.parse(quiet) : 0,
      ack,
      words,
      casualty,
    };
  });
}
