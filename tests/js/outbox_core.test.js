// The outbox's state machine: order, batches, what an answer means.
import assert from "node:assert/strict";
import test from "node:test";
import { readAnswer } from "../../static/js/outbox/answer.js";
import {
  backoff, basis, BATCH_BYTES, DROPPED, newItem, nextBatch, PARKED, calledNumber, RECEIPTED, restored, revived, sending, SENDING,
  tally, unsettled, WAITING, wire,
} from "../../static/js/outbox/core.js";
import { asRead, asStored, FORMAT } from "../../static/js/outbox/stored.js";
import { timed } from "../../static/js/outbox/when.js";

const BOARD = "018f-board";

function item(id, more = {}) {
  return {
    id, about: { casualty: "c" }, fact: { kind: "note.added/1", text: id }, happened_at: "2026-11-25T14:03:00.000Z",
    based_on: 3, casualty: "c", said: id, made_at: 1_000, clock_error: 10, wall: 1_000, ...more,
  };
}

const outbox = (...ids) => ids.reduce((items, id) => [...items, newItem(items, item(id))], []);
const json = (body, more = {}) => ({ status: 200, type: "application/json", text: JSON.stringify(body), ...more });
const receipts = (list, board = BOARD) => json({ board, now: "2026-11-25T14:03:01.000Z", head: 9, receipts: list });

test("facts are numbered and sent in the order of the taps, at most fifty at a time", () => {
  const items = outbox(...Array.from({ length: 120 }, (_, at) => `f${at}`));
  const batch = nextBatch([...items].reverse());
  assert.equal(batch.length, 50);
  assert.deepEqual(batch.map((one) => one.n), Array.from({ length: 50 }, (_, at) => at + 1));
});

test("a mended report knows no more than it did when it was first said", () => {
  const items = [...outbox("a"), newItem(outbox("a"), item("b", { based_on: 7, epoch: "first" }))];
  const seen = { based_on: 20, epoch: "second" };
  assert.deepEqual(basis(items, "b", seen), { based_on: 7, epoch: "first" });
  assert.deepEqual(basis(items, "a", seen), { based_on: 3, epoch: null }, "stored before there were epochs");
  assert.deepEqual(basis(items, null, seen), seen);
  assert.deepEqual(basis(items, "gone", seen), seen);
  assert.equal(wire(items[1]).epoch, "first");
  assert.equal("epoch" in wire(items[0]), false);
});

test("a batch stays below its size in bytes, but one large fact is still sent", () => {
  const text = "ä".repeat(10_000);
  const items = ["a", "b", "c", "d"].reduce((all, id) => [...all, newItem(all, item(id, { fact: { kind: "note.added/1", text } }))], []);
  const batch = nextBatch(items);
  assert.equal(batch.length, 2);
  assert.ok(Buffer.byteLength(JSON.stringify({ facts: batch.map(wire) })) <= BATCH_BYTES);
  const huge = newItem([], item("h", { fact: { kind: "note.added/1", text: "x".repeat(90_000) } }));
  assert.equal(nextBatch([huge]).length, 1);
});

test("one id is one fact", () => {
  assert.throws(() => newItem(outbox("a"), item("a")), /already/);
});

test("only what the journal knows goes on the wire", () => {
  const [one] = outbox("a");
  assert.deepEqual(Object.keys(wire(one)).sort(), ["about", "based_on", "fact", "happened_at", "id"]);
});

test("a matching receipt settles a fact; a problem parks it; those behind go on", () => {
  const batch = sending(outbox("a", "b", "c"));
  const problem = { status: 422, title: "Not understood", detail: "no such casualty" };
  const { outcome, items, now } = readAnswer(batch, receipts([{ id: "a", seq: 7 }, { id: "b", problem }, { id: "c", seq: 8 }]), BOARD);
  assert.equal(outcome, "receipts");
  assert.equal(now, Date.parse("2026-11-25T14:03:01.000Z"));
  const told = json({ board: BOARD, now: "2026-11-25T14:03:01.000Z", received: "2026-11-25T14:03:00.200Z", receipts: [{ id: "a", seq: 7 }] });
  assert.equal(readAnswer(batch, told, BOARD).received, Date.parse("2026-11-25T14:03:00.200Z"));
  assert.deepEqual(items.map((one) => one.state), [RECEIPTED, PARKED, RECEIPTED]);
  assert.equal(items[0].seq, 7);
  assert.deepEqual(nextBatch(items), []);
});

test("nothing else is an acknowledgement", () => {
  const batch = sending(outbox("a"));
  const good = receipts([{ id: "a", seq: 7 }]);
  const lies = {
    "no answer": null,
    "hotel log-in page": { status: 200, type: "text/html", text: "<html>Welcome</html>" },
    "our words as HTML": { ...good, type: "text/html" },
    "truncated JSON": { ...good, text: good.text.slice(0, -5) },
    "empty 204": { status: 204, type: null, text: "" },
    "redirect kept by hand": { status: 0, type: null, text: "" },
    "redirect": { status: 302, type: "text/html", text: "" },
    "another board": receipts([{ id: "a", seq: 7 }], "018f-other"),
    "another id": receipts([{ id: "b", seq: 7 }]),
    "no seq": receipts([{ id: "a" }]),
    "seq in words": receipts([{ id: "a", seq: "7" }]),
    "no receipts": json({ board: BOARD }),
    "JSON null": { status: 200, type: "application/json", text: "null" },
    "500": { status: 500, type: "application/json", text: good.text },
    "201 with our words": { ...good, status: 201 },
    "400 of a proxy": { status: 400, type: "text/html", text: "Bad request" },
    "receipt with a passing problem": receipts([{ id: "a", problem: { status: 503, title: "busy" } }]),
  };
  for (const [name, answer] of Object.entries(lies)) {
    const { outcome, items } = readAnswer(batch, answer, BOARD);
    assert.equal(outcome, "retry", name);
    assert.deepEqual(items, [], name);
  }
});

test("refusals of the whole request", () => {
  const batch = sending(outbox("a", "b"));
  assert.equal(readAnswer(batch, { status: 401, type: null, text: "" }, BOARD).outcome, "join");
  const joinFirst = (board) => ({ status: 401, type: "application/problem+json", text: JSON.stringify({ status: 401, board }) });
  assert.equal(readAnswer(batch, joinFirst(BOARD), BOARD).outcome, "join");
  assert.equal(readAnswer(batch, joinFirst("another"), BOARD).outcome, "retry", "joining that one would send nothing");
  assert.equal(readAnswer(batch, { status: 403, type: null, text: "" }, BOARD).outcome, "join");
  assert.equal(readAnswer(batch, { status: 413, type: null, text: "" }, BOARD).outcome, "smaller");
  assert.equal(readAnswer(batch, { status: 507, type: null, text: "" }, BOARD).outcome, "storage");
  assert.deepEqual(readAnswer(batch, { status: 429, text: "", retryAfter: "7" }, BOARD), { outcome: "retry", items: [], wait: 7_000 });
  assert.equal(readAnswer(batch, { status: 503, text: "", retryAfter: "99999" }, BOARD).wait, 60_000);
  assert.equal(readAnswer(batch, { status: 503, text: "", retryAfter: null }, BOARD).wait, undefined);
});

test("a batch the board calls malformed is halved until the culprit stands alone", () => {
  const problem = { status: 422, type: "application/problem+json", text: JSON.stringify({ status: 422, title: "Not understood" }) };
  assert.equal(readAnswer(sending(outbox("a", "b")), problem, BOARD).outcome, "smaller");
  const { outcome, items } = readAnswer(sending(outbox("a")), problem, BOARD);
  assert.equal(outcome, "receipts");
  assert.equal(items[0].state, PARKED);
});

test("backoff: full jitter, rising, never giving up", () => {
  assert.deepEqual([0, 1, 2, 3, 4, 5, 6, 1_000].map((failures) => backoff(failures, () => 1)), [500, 1_000, 2_000, 4_000, 8_000, 15_000, 15_000, 15_000]);
  assert.equal(backoff(3, () => 0.25), 1_000);
});

test("a crash between send and answer leaves the fact waiting", () => {
  const batch = sending(outbox("a"));
  assert.equal(batch[0].state, SENDING);
  assert.equal(restored(batch)[0].state, WAITING);
  assert.equal(unsettled(batch)[0].state, WAITING);
  assert.equal(nextBatch(batch).length, 1);
});

test("the pill's numbers", () => {
  const [a, b, c] = outbox("a", "b", "c");
  assert.deepEqual(tally([{ ...a, state: RECEIPTED }, { ...b, made_at: 500 }, { ...c, state: PARKED }]), { unsent: 1, parked: 1, oldest: 500 });
  assert.equal(tally([]).oldest, null);
});

test("a tap made without board time is placed by its age, once and before the first send", () => {
  const [poor] = [newItem([], item("a", { clock_error: 60_000, made_at: 0, wall: 5_000, happened_at: new Date(0).toISOString() }))];
  const placed = timed(poor, { now: 7_200_000, error: 50, wall: 65_000 });
  assert.equal(Date.parse(placed.happened_at), 7_200_000 - 60_000);
  assert.equal(timed(placed, { now: 9e9, error: 50, wall: 65_000 }), placed);
  const blind = timed(poor, { now: 7_200_000, error: 90_000, wall: 65_000 });
  assert.equal(blind.happened_at, poor.happened_at);
  assert.equal(timed(blind, { now: 7_200_000, error: 50, wall: 65_000 }), blind);
  assert.ok(placed.unsure, "the wall clock alone may have been set meanwhile");
  const [good] = outbox("b");
  assert.equal(timed(good, { now: 9e9, error: 1, wall: 0 }), good);
});

test("in the page it was tapped in, the page's own clock places a tap whatever was done to the wall clock", () => {
  const tap = { clock_error: 60_000, made_at: 0, wall: 5_000, elapsed: 1_000, session: "s", jumps: 0, unsure: true, happened_at: new Date(0).toISOString() };
  const [poor] = [newItem([], item("a", tap))];
  const sure = timed(poor, { now: 7_200_000, error: 50, wall: 5_000, elapsed: 31_000, session: "s", jumps: 0 });
  assert.equal(Date.parse(sure.happened_at), 7_200_000 - 30_000);
  assert.equal(sure.unsure, false);
  assert.equal("time_unsure" in wire(sure), false);
  // Thirteen hours back meanwhile: placed by the page's own clock all the same, and told as "about".
  const set = timed(poor, { now: 7_200_000, error: 50, wall: 35_000 - 13 * 3_600_000, elapsed: 31_000, session: "s", jumps: 1 });
  assert.equal(set.happened_at, sure.happened_at);
  assert.equal(wire(set).time_unsure, true);
});

test("what an older page stored is read; what a newer one stored is left alone", () => {
  const { format, ...old } = { ...outbox("a")[0], format: 1 };
  const mine = asStored(outbox("b")[0]);
  const newer = { format: FORMAT + 1, id: "c", something: { else: true } };
  const read = asRead([old, mine, newer]);
  assert.deepEqual(read.items.map((one) => one.id), ["a", "b"]);
  assert.equal(read.items[0].from, null);
  assert.deepEqual(read.newer, [newer]);
  assert.equal(asStored(read.items[0]).format, FORMAT);
});

test("nothing leaves before it is on this phone, nor anything behind it; what was dropped does not leave", () => {
  const [a, b, c] = outbox("a", "b", "c");
  assert.deepEqual(nextBatch([a, { ...b, storing: true }, c]).map((one) => one.id), ["a"]);
  const given = { ...a, state: DROPPED };
  assert.deepEqual(nextBatch([given, b]).map((one) => one.id), ["b"]);
  assert.deepEqual(tally([given, b]), { unsent: 1, parked: 0, oldest: 1_000 });
});

test("what was refused for want of what it is about goes again when that has been taken", () => {
  const [met, packed, note] = outbox("a", "b", "c");
  const orphan = { ...packed, state: PARKED, problem: { type: "/problems/refers-to-nothing", title: "?" } };
  const wrong = { ...note, state: PARKED, problem: { type: "/problems/says-nothing", title: "?" } };
  const registered = { ...met, fact: { kind: "casualty.registered/1" }, state: RECEIPTED };
  assert.deepEqual(revived([orphan, wrong], [registered]).map((one) => [one.id, one.state]), [["b", WAITING]]);
  assert.deepEqual(revived([orphan, wrong], [{ ...registered, state: PARKED }]), []);
  assert.deepEqual(revived([orphan, wrong], [{ ...met, state: RECEIPTED }]), []);
});

test("casualties met here are called A, B, C until the board numbers them", () => {
  const met = (id, casualty) => item(id, { about: { casualty }, fact: { kind: "casualty.registered/1", age: "adult" } });
  const items = [met("a", "c1"), met("b", "c2")].reduce((all, one) => [...all, newItem(all, one)], []);
  assert.equal(calledNumber(items, "c1"), "A");
  assert.equal(calledNumber(items, "c2"), "B");
  assert.equal(calledNumber(items, "c3"), "C");
});

test("a fact the role may not report is parked and never holds up the others; a receipt brings the number", () => {
  const batch = sending(outbox("a", "b"));
  const problem = { status: 403, title: "Not for this role", detail: "ask the lead" };
  const { items } = readAnswer(batch, receipts([{ id: "a", problem }, { id: "b", seq: 9, number: 4 }]), BOARD);
  assert.deepEqual(items.map((one) => [one.state, one.number ?? null]), [[PARKED, null], [RECEIPTED, 4]]);
});
