// How a report reads: under the number the board has given, with the day where it is not today's.
import assert from "node:assert/strict";
import test from "node:test";
import { bytesOf, newItem, PARKED, RECEIPTED } from "../../static/js/outbox/core.js";
import { aloud, line, pieces, pillWords, saidOf } from "../../static/js/outbox/words.js";
import { dayHour } from "../../static/js/time/format.js";

const at = (...parts) => new Date(...parts).getTime();

test("a time of another day carries its day, one of today does not", () => {
  const now = at(2026, 10, 25, 14, 30);
  assert.equal(dayHour(at(2026, 10, 25, 0, 5), now), "00:05");
  assert.equal(dayHour(at(2026, 10, 24, 23, 55), now), "Tue 23:55");
  assert.equal(dayHour(at(2026, 10, 12, 14, 7), now), "12 Nov 14:07");
  assert.equal(dayHour(NaN, now), "");
  assert.equal(dayHour(at(2026, 10, 24, 23, 55), NaN), "23:55");
});

test("what was said under a letter reads under the number as soon as there is one", () => {
  const made = { about: { casualty: "c" }, casualty: "c", happened_at: new Date(2026, 10, 25, 14, 3).toISOString() };
  const met = newItem([], { ...made, id: "a", fact: { kind: "casualty.registered/1" }, said: "A: registered" });
  const packed = newItem([met], { ...made, id: "b", fact: { kind: "step.taken/2" }, said: "A: packed" });
  const undo = newItem([met, packed], { ...made, id: "d", fact: { kind: "entry.struck/1" }, said: "undo: A: packed" });
  assert.equal(saidOf([met, packed], packed), "A: packed");
  const known = { ...met, state: RECEIPTED, seq: 4, number: 7 };
  const items = [known, packed, undo];
  assert.equal(saidOf(items, packed), "7: packed");
  assert.equal(saidOf(items, undo), "undo: 7: packed");
  assert.equal(line(items, known, at(2026, 10, 25, 15, 0)), "7: registered 14:03 · on the board");
});

test("what was said under a number keeps it", () => {
  const item = newItem([], { id: "a", about: { wound: "w" }, casualty: "c", fact: { kind: "note.added/1" }, said: "7: note" });
  assert.equal(item.called, null);
  assert.equal(saidOf([item], item), "7: note");
});

test("the pill says how many wait, how old the oldest is, what needs a look and what stands in the way", () => {
  const none = { unsent: 0, parked: 0, newer: 0, oldest: null };
  assert.equal(pillWords(none, "", 0), "All on the board");
  assert.equal(pillWords({ ...none, unsent: 3, oldest: 0 }, "", 240_000), "3 only on this phone · oldest 4 min");
  assert.equal(pillWords({ ...none, parked: 1, newer: 2 }, "join", 0), "1 needs a look · 2 of a newer page: load this page again · join again to send");
});

test("read aloud: everything that is only here, in order, nothing else; in pieces nothing is lost", () => {
  const now = at(2026, 10, 25, 14, 30);
  const made = { about: { casualty: "c" }, casualty: "c", happened_at: new Date(2026, 10, 25, 14, 3).toISOString(), fact: { kind: "note.added/1" } };
  const [sent, parked, unsure] = ["7: sent", "7: packed", "8: Müller läuft"].map((said, n) => ({ ...made, id: said, n, said, state: "waiting" }));
  parked.fact = { kind: "step.taken/2", step: "pack", used: [{ item: "packing_gauze", count: 2 }], by: "018f1234-aaaa-7000-8000-000000000000" };
  parked.from = { context: { place: "forearm, left" } };
  const items = [{ ...unsure, unsure: true }, { ...sent, state: RECEIPTED }, { ...parked, state: PARKED, problem: {} }];
  const lines = aloud({ items, newer: [{ said: "9: later" }], incident: "Larch Pass", name: "Teo", now });
  assert.deepEqual(lines, ["Larch Pass, Teo, 14:30: 3 reports are only on this phone.", "7: packed 14:03; forearm, left; step pack; item packing gauze; count 2", "8: Müller läuft about 14:03", "9: later (of a newer page)"]);
  const many = [...lines, "ä".repeat(200)];
  const texts = pieces(many, 60);
  assert.ok(texts.every((text) => bytesOf(text) <= 60), JSON.stringify(texts));
  assert.equal(texts.join("").replaceAll("\n", ""), many.join(""));
});
