// Random histories of three to twenty phones and one board: whatever is lost, doubled, late by hours, out of order or cut
// short, and wherever a phone dies between two of its steps. In the end the board stands as the reference model does:
// everything that was shown as saved is there once, each phone's in the order of its taps, with the time it happened at
// (within 5 s, or told as "about"), and what the board refuses holds nothing up.
//
// Three hundred histories by default; ten thousand with: HOLDFAST_HISTORIES=10000 node --test tests/js/outbox_history.test.js
import assert from "node:assert/strict";
import test from "node:test";
import { readAnswer } from "../../static/js/outbox/answer.js";
import {
  isUnsent, newItem, nextBatch, PARKED, RECEIPTED, restored, revived, sending, unsettled, wire,
} from "../../static/js/outbox/core.js";
import { asRead, asStored } from "../../static/js/outbox/stored.js";
import { isUnsure, timed } from "../../static/js/outbox/when.js";
import { BoardClock } from "../../static/js/time/board_clock.js";

const HISTORIES = Number(process.env.HOLDFAST_HISTORIES ?? 300);
const BOARD = "018f-board";
const START = Date.parse("2026-11-25T14:00:00.000Z");
const HOUR = 3_600_000;
/** How far a time may be off that is not told as "about" (trust in a time; common practice). */
const SURE = 5_000;

/** A small seeded generator (mulberry32), so that a failing history can be run again. */
function seeded(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

class ModelBoard {
  journal = [];
  #receipts = new Map();
  #known = new Set();

  constructor(world) {
    this.world = world;
  }

  take(facts) {
    if (facts.length > 3 && facts.length % 5 === 0) return { status: 413, type: "text/plain", text: "too large" };
    const received = new Date(this.world.now).toISOString();
    const receipts = facts.map((fact) => this.#receipt(fact));
    return { status: 200, type: "application/json", text: JSON.stringify({ board: BOARD, now: received, received, receipts }) };
  }

  #receipt({ id, about, fact, happened_at, time_unsure = false }) {
    const known = this.#receipts.get(id);
    if (known) {
      assert.deepEqual(this.journal[known.seq - 1].fact, fact, "one id never carries two contents");
      return known;
    }
    const refused = (code) => ({ id, problem: { type: `/problems/${code}`, status: 422, title: code } });
    if (fact.bad) return refused("says-nothing");
    const founds = fact.kind === "casualty.registered/1";
    if (!founds && !this.#known.has(about.casualty)) return refused("refers-to-nothing");
    if (founds) this.#known.add(about.casualty);
    this.journal.push({ id, about, fact, happened: Date.parse(happened_at), time_unsure });
    const receipt = { id, seq: this.journal.length, happened_at, number: this.#known.size };
    this.#receipts.set(id, receipt);
    return receipt;
  }
}

const LIES = [
  null,
  { status: 200, type: "text/html", text: "<html>Log in to the Wi-Fi</html>" },
  { status: 0, type: null, text: "" },
  { status: 204, type: null, text: "" },
  { status: 503, type: "text/plain", text: "", retryAfter: "1" },
  { status: 401, type: "application/problem+json", text: "{}" },
];

/** A phone: what it shows, what it has stored, its clocks, and what it is in the middle of. */
class Phone {
  #most = 50;
  #oldAnswers = [];
  #lives = 0;

  constructor(name, world, random) {
    Object.assign(this, { name, world, random, stored: new Map(), items: [], doing: [], tapped: [], count: 0, again: new Set(), wrong: (random() - 0.5) * 26 * HOUR, slept: 0, away: false });
    this.#wake();
  }

  #wake() {
    this.#lives += 1;
    this.session = `${this.name}/${this.#lives}`;
    const born = this.world.now;
    this.slept = 0;
    const away = () => {
      const was = this.away;
      this.away = false;
      return was;
    };
    this.clock = new BoardClock({ mono: () => this.world.now - born - this.slept, wall: () => this.world.now + this.wrong, away });
    const { items } = asRead([...this.stored.values()].map((text) => JSON.parse(text)));
    this.items = restored(items);
  }

  /** The page dies wherever it stands, and another one opens. */
  crash() {
    this.doing = [];
    this.#wake();
  }

  sleep(ms) {
    this.slept += ms;
    this.away = true;
  }

  /** One step of something this phone is in the middle of. */
  step() {
    const at = Math.floor(this.random() * this.doing.length);
    if (this.doing[at]?.next().done) this.doing.splice(at, 1);
  }

  #show(items) {
    const fresh = new Map(items.map((one) => [one.id, one]));
    this.items = this.items.map((one) => fresh.get(one.id) ?? one);
  }

  #store(items) {
    for (const one of items) this.stored.set(one.id, JSON.stringify(asStored(one)));
  }

  *tap(id, about, fact) {
    const made_at = this.clock.now();
    const clock_error = this.clock.error();
    const item = newItem(this.items, {
      id, about, fact, happened_at: new Date(made_at).toISOString(), based_on: 0, casualty: about.casualty, made_at, clock_error,
      unsure: isUnsure(clock_error), wall: this.world.now + this.wrong, elapsed: this.clock.elapsed(), jumps: this.clock.jumps, session: this.session,
    });
    const tap = { id, about, fact, at: this.world.now, saved: false };
    this.tapped.push(tap);
    this.items = [...this.items, { ...item, storing: true }];
    yield;
    this.#store([item]);
    this.#show([item]);
    tap.saved = true; // Only now is it shown as being on this phone.
  }

  *flush(board) {
    const { clock, random } = this;
    const picked = nextBatch(this.items, this.#most);
    if (picked.length === 0) return;
    const time = { now: clock.now(), error: clock.error(), wall: this.world.now + this.wrong, elapsed: clock.elapsed(), session: this.session, jumps: clock.jumps };
    const settled = picked.map((item) => timed(item, time));
    this.#store(settled.filter((item, at) => item !== picked[at]));
    yield;
    const batch = sending(settled);
    this.#show(batch);
    const mark = clock.mark();
    yield;
    const answer = this.#send(board, batch.map(wire));
    yield;
    const { outcome, items, now, received } = readAnswer(batch, answer, BOARD);
    if (outcome === "receipts" && answer?.fresh) clock.answered(mark, now, received);
    this.#show(unsettled(batch));
    this.#show(items);
    const again = revived(this.items, items);
    for (const one of again) this.again.add(one.id);
    this.#show(again);
    yield;
    this.#store([...items, ...again]);
    if (outcome === "smaller") this.#most = Math.max(1, Math.floor(batch.length / 2));
    if (outcome === "receipts") this.#most = Math.min(50, this.#most * 2);
    if (random() < 0.3) clock.heard(this.world.now - 300 * random());
  }

  #send(board, facts) {
    const { random, world } = this;
    const dice = random();
    if (dice < 0.2) return LIES[Math.floor(random() * LIES.length)]; // never arrived
    if (dice < 0.3) {
      world.onTheWay.push(facts); // arrives when nobody waits for it any more
      return null;
    }
    const answer = { ...board.take(facts), fresh: true };
    if (dice < 0.4) world.onTheWay.push(facts); // arrives twice
    // A cache on the way may serve an old page again; a refusal it cannot.
    if (answer.status === 200) this.#oldAnswers.push({ ...answer, fresh: false });
    if (dice < 0.55) return null; // answer lost
    if (dice < 0.62) return { ...answer, text: answer.text.slice(0, Math.floor(random() * answer.text.length)) };
    if (dice < 0.7) return this.#oldAnswers[Math.floor(random() * this.#oldAnswers.length)] ?? null;
    return answer;
  }
}

function act(phone, world, board, random) {
  // Mostly a heartbeat comes through.
  if (random() < 0.5) phone.clock.heard(world.now - 300 * random());
  const dice = random();
  if (dice < 0.25) {
    const id = `${phone.name}-${String((phone.count += 1)).padStart(4, "0")}`;
    const own = phone.tapped.filter((tap) => tap.saved && tap.fact.kind === "casualty.registered/1" && !tap.fact.bad);
    const casualty = random() < 0.3 || world.casualties.length + own.length === 0
      ? null : [...own.map((tap) => tap.about.casualty), ...world.casualties][Math.floor(random() * (own.length + world.casualties.length))];
    const fact = casualty
      ? { kind: random() < 0.5 ? "category.assigned/2" : "note.added/1", value: id, bad: random() < 0.08 }
      : { kind: "casualty.registered/1", bad: random() < 0.05 };
    phone.doing.push(phone.tap(id, { casualty: casualty ?? `casualty of ${id}` }, fact));
  } else if (dice < 0.5) {
    if (!phone.doing.some((one) => one.isFlush)) phone.doing.push(Object.assign(phone.flush(board), { isFlush: true }));
  } else if (dice < 0.9) phone.step();
  else if (dice < 0.93) phone.crash();
  else if (dice < 0.95) phone.wrong += (random() < 0.5 ? 13 : -13) * HOUR; // somebody sets its clock
  else if (dice < 0.97) phone.clock.heard(world.now - 300 * random());
  else if (world.onTheWay.length > 0) board.take(world.onTheWay.splice(Math.floor(random() * world.onTheWay.length), 1)[0]);
}

function live(seed) {
  const random = seeded(seed);
  const world = { now: START, onTheWay: [], casualties: [] };
  const board = new ModelBoard(world);
  const phones = Array.from({ length: 3 + Math.floor(random() * 18) }, (_, at) => new Phone(`phone${at}`, world, random));
  for (let step = 0; step < phones.length * 70; step += 1) {
    const passes = random() < 0.01 ? random() * 6 * HOUR : 500 + random() * 8_000;
    world.now += passes;
    for (const phone of phones) if (random() < 0.02) phone.sleep(random() * passes);
    act(phones[Math.floor(random() * phones.length)], world, board, random);
    world.casualties = board.journal.filter(({ fact }) => fact.kind === "casualty.registered/1").map(({ about }) => about.casualty);
  }
  // The links are good again, and what was on its way arrives at last, late or twice.
  for (const facts of world.onTheWay.splice(0)) board.take(facts);
  const calm = () => 0.99;
  for (let round = 0; round < 400 && phones.some(busy); round += 1) {
    for (const phone of phones) {
      phone.random = calm;
      for (const one of phone.doing) for (let step = one.next(); !step.done;) step = one.next();
      phone.doing = [phone.flush(board)];
      world.now += 200;
    }
  }
  return { board, phones };
}

const busy = (phone) => phone.doing.length > 0 && (phone.items.some(isUnsent) || phone.doing.length > 1);

/** What the board adds up to: who there is, their notes, and the categories given by phones sure of their time. */
function fold(facts) {
  const state = {};
  for (const { about, fact, time, unsure } of [...facts].sort((a, b) => a.time - b.time)) {
    const one = (state[about.casualty] ??= { registered: 0, notes: [], categories: [] });
    if (fact.kind === "casualty.registered/1") one.registered += 1;
    else if (fact.kind === "note.added/1") one.notes = [...one.notes, fact.value].sort();
    else if (!unsure) one.categories.push({ value: fact.value, time });
  }
  return state;
}

/** Nobody can tell which of two came last when they lie closer together than two times may be off. */
const isPlain = ({ categories }) => categories.length < 2 || categories.at(-1).time - categories.at(-2).time > 2 * SURE;

function agree(state, reference, seed) {
  assert.deepEqual(Object.keys(state).sort(), Object.keys(reference).sort(), `seed ${seed}: who there is`);
  for (const [casualty, wanted] of Object.entries(reference)) {
    const { registered, notes, categories } = state[casualty];
    assert.deepEqual([registered, notes], [1, wanted.notes], `seed ${seed}, ${casualty}`);
    assert.equal(categories.length, wanted.categories.length, `seed ${seed}, ${casualty}`);
    if (isPlain(wanted)) assert.equal(categories.at(-1)?.value, wanted.categories.at(-1)?.value, `seed ${seed}, ${casualty}: category`);
  }
}

test(`${HISTORIES} histories: the board stands as the reference model, each fact once`, () => {
  let taps = 0;
  let told = 0;
  for (let seed = 1; seed <= HISTORIES; seed += 1) {
    const { board, phones } = live(seed);
    const entries = new Map(board.journal.map((entry) => [entry.id, entry]));
    assert.equal(entries.size, board.journal.length, `seed ${seed}: doubled`);
    const reference = [];
    for (const phone of phones) {
      for (const { id, about, fact, at, saved } of phone.tapped) {
        const item = phone.items.find((one) => one.id === id);
        const entry = entries.get(id);
        if (!saved && !entry) continue; // died before it was shown as saved
        taps += 1;
        assert.ok(item || !saved, `seed ${seed}, ${id}: gone from the phone`);
        if (item?.state === PARKED) {
          assert.equal(entry, undefined, `seed ${seed}, ${id}: parked and on the board`);
          assert.ok(fact.bad || item.problem.type.endsWith("refers-to-nothing"), `seed ${seed}, ${id}`);
          continue;
        }
        if (item) assert.equal(item.state, RECEIPTED, `seed ${seed}, ${id}`);
        assert.deepEqual(entry.fact, fact, `seed ${seed}, ${id}`);
        if (item) assert.equal(board.journal[item.seq - 1].id, id, `seed ${seed}, ${id}`);
        if (!entry.time_unsure) assert.ok(Math.abs(entry.happened - at) <= SURE, `seed ${seed}, ${id}: ${entry.happened - at} ms off and not said`);
        told += entry.time_unsure ? 1 : 0;
        reference.push({ about, fact, time: at, unsure: entry.time_unsure });
      }
      // What waited for what it is about goes late; all others keep the order of the taps.
      const order = phone.tapped.map(({ id }) => id).filter((id) => entries.has(id) && !phone.again.has(id));
      const arrived = board.journal.map(({ id }) => id).filter((id) => id.startsWith(`${phone.name}-`) && !phone.again.has(id));
      assert.deepEqual(arrived, order, `seed ${seed}, ${phone.name}: out of order`);
    }
    assert.equal(reference.length, board.journal.length, `seed ${seed}: something nobody tapped`);
    const journal = board.journal.map(({ about, fact, happened, time_unsure }) => ({ about, fact, time: happened, unsure: time_unsure }));
    agree(fold(journal), fold(reference), seed);
  }
  console.log(`${HISTORIES} histories, ${taps} taps shown as saved, ${told} told as "about", 0 lost, 0 doubled`);
});
