// The full-screen hold: which beginning counts, without a browser.
import assert from "node:assert/strict";
import test from "node:test";
import { begun, later } from "../../static/js/report/hold.js";
import { judged } from "../../static/js/report/refill.js";
import { readField } from "../../static/js/report/build.js";

const AT = Date.parse("2026-11-25T14:03:00Z");
const MINUTE = 60_000;
const board = (start, minutes) => ({
  dataset: { start: new Date(start).toISOString(), due: new Date(start + minutes * MINUTE).toISOString() },
});

test("a hold begins when pressing was reported, and lasts as long as it was told", () => {
  const hold = begun({ wound: "w", hold: "3", at: "2026-11-25T14:03:00Z" }, AT + MINUTE);
  assert.deepEqual(later(hold, undefined), { start: AT, due: AT + 3 * MINUTE });
});

test("without a time it begins now; without a length it is the longer one", () => {
  const hold = begun({ wound: "w" }, AT);
  assert.deepEqual(later(hold, undefined), { start: AT, due: AT + 10 * MINUTE });
});

test("what the board shows wins where it began later or at the same moment: its length counts", () => {
  const hold = begun({ wound: "w", hold: "3", at: new Date(AT).toISOString() }, AT);
  assert.deepEqual(later(hold, board(AT + 4 * MINUTE, 10)), { start: AT + 4 * MINUTE, due: AT + 14 * MINUTE });
  assert.equal(later(hold, board(AT + 400, 20)).due, AT + 400 + 20 * MINUTE);
});

test("a lift the board has not heard of yet keeps its own beginning", () => {
  const hold = begun({ wound: "w", hold: "10", at: new Date(AT + 6 * MINUTE).toISOString() }, AT);
  assert.equal(later(hold, board(AT, 10)).due, AT + 16 * MINUTE);
});

test("colour back is judged against the limit, in tenths", () => {
  assert.equal(judged(20, 20), "2.0 s: in time");
  assert.match(judged(21, 20), /^2\.1 s: slow, over 2\.0 s/);
});

test("a point that must be ticked is asked for; one that is ticked is its value", () => {
  const point = { name: "ticked[]", value: "no_shock", type: "checkbox", required: true, ask: "Not ticked." };
  assert.deepEqual(readField({ ...point, checked: false }), { problem: "Not ticked." });
  assert.deepEqual(readField({ ...point, checked: true }), { value: "no_shock" });
});

test("a choice may stand for a whole value", () => {
  const level = { name: "level", value: '{"above_wound":60}', type: "radio", checked: true, as: "json" };
  assert.deepEqual(readField(level), { value: { above_wound: 60 } });
});
