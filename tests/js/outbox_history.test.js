// Random histories of a phone and a model board: whatever is lost, doubled, late or cut short, each fact lands exactly
// once, each device's facts land in the order of the taps, and a bad fact never holds up the others.
import assert from "node:assert/strict";
import test from "node:test";
import {
  isUnsent, newItem, nextBatch, PARKED, readAnswer, RECEIPTED, restored, sending, unsettled, wire,
} from "../../static/js/outbox/core.js";

const BOARD = "018f-board";
const HISTORIES = 400;
const STEPS = 120;

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

  take(facts) {
    if (facts.length > 3 && facts.length % 5 === 0) return { status: 413, type: "text/plain", text: "too large" };
    const receipts = facts.map((fact) => this.#receipt(fact));
    return { status: 200, type: "application/json", text: JSON.stringify({ board: BOARD, now: "2026-11-25T14:00:00.000Z", receipts }) };
  }

  #receipt({ id, fact, happened_at }) {
    if (fact.bad) return { id, problem: { status: 422, title: "Not understood" } };
    if (!this.#receipts.has(id)) {
      this.journal.push(id);
      this.#receipts.set(id, { id, seq: this.journal.length, happened_at });
    }
    return this.#receipts.get(id);
  }
}

const LIES = [
  null,
  { status: 200, type: "text/html", text: "<html>Log in to the Wi-Fi</html>" },
  { status: 204, type: null, text: "" },
  { status: 503, type: "text/plain", text: "", retryAfter: "1" },
  { status: 401, type: "application/problem+json", text: "{}" },
];

class Phone {
  items = [];
  #stored = [];
  #underWay = null;
  #most = 50;
  #oldAnswers = [];

  tap(id, bad) {
    const fact = { kind: "note.added/1", bad };
    const draft = { id, about: "incident", fact, happened_at: "2026-11-25T14:00:00.000Z", based_on: 0, made_at: 0 };
    this.items = [...this.items, newItem(this.items, draft)];
    this.#stored = this.items;
  }

  send(board, random) {
    const batch = sending(nextBatch(this.items, this.#most));
    if (batch.length === 0) return;
    this.#show(batch);
    this.#underWay = batch;
    if (random() < 0.25) return this.answer(LIES[Math.floor(random() * LIES.length)]); // never arrived
    const answer = board.take(batch.map(wire));
    // A cache on the way may serve an old page again; a refusal it cannot.
    if (answer.status === 200) this.#oldAnswers.push(answer);
    if (random() < 0.2) board.take(batch.map(wire)); // arrived twice
    if (random() < 0.25) return this.answer(null); // answer lost
    if (random() < 0.1) return this.answer({ ...answer, text: answer.text.slice(0, Math.floor(random() * answer.text.length)) });
    if (random() < 0.1) return; // still on its way: see crash() and late()
    if (random() < 0.1) return this.late(random);
    this.answer(answer);
  }

  answer(answer) {
    const batch = this.#underWay;
    if (!batch) return;
    this.#underWay = null;
    const { outcome, items } = readAnswer(batch, answer, BOARD);
    this.#show(unsettled(batch));
    this.#show(items);
    this.#stored = this.items;
    if (outcome === "smaller") this.#most = Math.max(1, Math.floor(batch.length / 2));
    if (outcome === "receipts") this.#most = Math.min(50, this.#most * 2);
  }

  late(random) {
    this.answer(this.#oldAnswers[Math.floor(random() * this.#oldAnswers.length)] ?? null);
  }

  crash(random) {
    this.#underWay = null;
    this.items = restored(random() < 0.5 ? this.items : this.#stored);
  }

  #show(items) {
    const fresh = new Map(items.map((one) => [one.id, one]));
    this.items = this.items.map((one) => fresh.get(one.id) ?? one);
  }
}

function live(seed) {
  const random = seeded(seed);
  const board = new ModelBoard();
  const phone = new Phone();
  const taps = [];
  for (let step = 0; step < STEPS; step += 1) {
    const dice = random();
    if (dice < 0.35) {
      const id = `fact-${String(taps.length).padStart(4, "0")}`;
      taps.push({ id, bad: random() < 0.1 });
      phone.tap(id, taps.at(-1).bad);
    } else if (dice < 0.85) phone.send(board, random);
    else if (dice < 0.93) phone.crash(random);
    else phone.late(random);
  }
  for (let calm = 0; calm < 2_000 && phone.items.some(isUnsent); calm += 1) phone.send(board, () => 0.99);
  return { board, phone, taps };
}

test("each fact lands exactly once, in order, whatever happens on the way", () => {
  for (let seed = 1; seed <= HISTORIES; seed += 1) {
    const { board, phone, taps } = live(seed);
    const good = taps.filter((tap) => !tap.bad).map((tap) => tap.id);
    assert.deepEqual(board.journal, good, `seed ${seed}`);
    for (const { id, bad } of taps) {
      const one = phone.items.find((candidate) => candidate.id === id);
      assert.equal(one.state, bad ? PARKED : RECEIPTED, `seed ${seed}, ${id}`);
      if (!bad) assert.equal(board.journal[one.seq - 1], id, `seed ${seed}, ${id}`);
    }
  }
});
