// Board time on this device: what the board's clock says now, and how far off that may be.
//
// Each contact gives a sample that pins a moment of the page's monotonic clock to board time. A question and its
// answer give four timestamps, two of this page and two of the board: the error is at most half the delay on the way. An event that was merely received gives a one-way sample, late by an unknown time on the way. The best of
// the last eight wins (offset and delay as in NTP, RFC 5905, from memory; eight is common practice).
// No DOM; emits nothing. `bestSample` is pure.

import { keep, recall } from "../kept.js";

const KEPT_SAMPLES = 8;
/** What a one-way sample counts as, in ms of delay: worse than a good round trip, better than a bad one. */
const ONE_WAY_DELAY = 1_000;
/** A time remembered from an earlier page, and the time at which this page was rendered (it may be a cached page). */
const REMEMBERED_DELAY = 10_000;
const RENDERED_DELAY = 60_000;
/** How fast two quartz clocks may drift apart (100 ppm, common practice). */
const DRIFT = 1e-4;
/** Wall clock and monotonic clock differing by more than this: the phone slept, or somebody set its clock. */
const JUMP = 2_000;

/** The sample to trust: least delay; of equals the largest offset, for it was least late on the way. */
export function bestSample(samples) {
  return samples.reduce((best, sample) => {
    if (!best || sample.delay < best.delay) return sample;
    return sample.delay === best.delay && sample.offset > best.offset ? sample : best;
  }, null);
}

/**
 * Whether a fresh sample shows that the board's clock was set since the older one. A message may be late by any time on
 * its way, so one that only arrived proves a step forward; a question and its answer prove a step either way.
 */
export function contradicts(older, fresh) {
  const gap = fresh.offset - older.offset;
  const slack = (older.delay + fresh.delay) / 2 + JUMP;
  return gap > slack || (fresh.answered && gap < -slack);
}

export class BoardClock {
  #samples = [];
  #rate;
  #mono;
  #wall;
  #wallLead;
  #slept = 0;
  #asleep = 0;
  #board;
  #away;
  /** How often the wall clock and the page's own have parted: the phone slept, or its clock was set. */
  jumps = 0;

  /** `away` tells whether the page was out of sight since it was last asked. */
  constructor({ board = "", rate = 1, renderedAt = NaN, mono = () => performance.now(), wall = () => Date.now(), away = () => false } = {}) {
    this.#board = board;
    this.#away = away;
    this.#rate = rate;
    this.#mono = mono;
    this.#wall = wall;
    this.#wallLead = wall() - mono();
    this.#seed(renderedAt);
  }

  /** Board time in ms since 1970. */
  now() {
    this.#noticeSleep();
    return this.#offset() + this.#rate * this.#mono();
  }

  /** Largest likely error of `now()`, in ms. */
  error() {
    this.#noticeSleep();
    const best = bestSample(this.#samples);
    if (!best) return Infinity;
    return best.delay / 2 + (this.#mono() - best.at) * DRIFT + this.#slept;
  }

  /** Ms of this page's life, the time it slept through counted. */
  elapsed() {
    this.#noticeSleep();
    return this.#mono() + this.#asleep;
  }

  /** The monotonic reading to note before asking the board something. */
  mark() {
    return this.#mono();
  }

  /** A question asked at `mark` has just been answered: the board had it at `received` and answered at `sent`. */
  answered(mark, sent, received = sent) {
    const back = this.#mono();
    const inside = Math.max(0, sent - received) / this.#rate;
    this.#add((mark + back) / 2, (received + sent) / 2, Math.max(1, back - mark - inside), true);
  }

  /** An event carrying the board's time has just arrived. */
  heard(boardMillis, rate = this.#rate) {
    if (rate > 0 && rate !== this.#rate) {
      this.#rate = rate;
      this.#samples = [];
    }
    this.#add(this.#mono(), boardMillis, ONE_WAY_DELAY);
  }

  #add(at, boardMillis, delay, answered = false) {
    if (!Number.isFinite(boardMillis)) return;
    this.#noticeSleep();
    if (this.#slept > 0) this.#samples = [];
    this.#slept = 0;
    const fresh = { offset: boardMillis - this.#rate * at, delay, at, answered };
    const best = bestSample(this.#samples);
    if (best && contradicts(best, fresh)) this.#samples = [];
    this.#samples.push(fresh);
    if (this.#samples.length > KEPT_SAMPLES) this.#samples.shift();
    if (this.#rate === 1) keep(`clock/${this.#board}`, { lead: Math.round(this.now() - this.#wall()) });
  }

  #offset() {
    const best = bestSample(this.#samples);
    return best ? best.offset : this.#wall() - this.#rate * this.#mono();
  }

  #seed(renderedAt) {
    const at = this.#mono();
    const kept = this.#rate === 1 ? recall(`clock/${this.#board}`) : null;
    if (kept) this.#samples.push({ offset: this.#wall() + kept.lead - at, delay: REMEMBERED_DELAY, at });
    if (Number.isFinite(renderedAt)) this.#samples.push({ offset: renderedAt - this.#rate * at, delay: RENDERED_DELAY, at });
  }

  // Some phones stop the monotonic clock while they sleep. When the wall clock has run ahead of it while nobody was
  // looking, believe the wall clock; in plain sight somebody set the clock: believe the page's own. Either way say that
  // the error has grown by as much, and let the next sample replace all older ones.
  #noticeSleep() {
    const lead = this.#wall() - this.#mono();
    const jump = lead - this.#wallLead;
    const away = this.#away();
    if (Math.abs(jump) <= JUMP) return;
    this.#wallLead = lead;
    this.jumps += 1;
    this.#slept += Math.abs(jump);
    if (jump < 0 || !away) return;
    this.#asleep += jump;
    for (const sample of this.#samples) sample.offset += jump * this.#rate;
  }
}
