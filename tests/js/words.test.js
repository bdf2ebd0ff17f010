// How a report reads: under the number the board has given, with the day where it is not today's.
import assert from "node:assert/strict";
import test from "node:test";
import { newItem, RECEIPTED } from "../../static/js/outbox/core.js";
import { line, saidOf } from "../../static/js/outbox/words.js";
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
