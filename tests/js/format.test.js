// How times are written.
import assert from "node:assert/strict";
import test from "node:test";
import { age, countdown, hour, lastTimeAt, roughly, shareLeft, span } from "../../static/js/time/format.js";

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

test("a countdown shows what is left, then now, then how late", () => {
  assert.equal(countdown(4.5 * MINUTE), "4:30");
  assert.equal(countdown(269_001), "4:30");
  assert.equal(countdown(1), "0:01");
  assert.equal(countdown(0), "now");
  assert.equal(countdown(-999), "now");
  assert.equal(countdown(-1_000), "0:01 late");
  assert.equal(countdown(-125_000), "2:05 late");
  assert.equal(countdown(-HOUR - 2 * MINUTE), "1:02 h late");
});

test("from one hour on the unit is written, so that 1:12 is read one way only", () => {
  assert.equal(span(59 * MINUTE + 59_999), "59:59");
  assert.equal(span(HOUR), "1:00 h");
  assert.equal(span(72 * MINUTE + 50_000), "1:12 h");
  assert.equal(countdown(HOUR - 1), "1:00 h");
  assert.equal(span(-5), "0:00");
});

test("ages in words", () => {
  assert.equal(age(59_999), "just now");
  assert.equal(age(-5_000), "just now");
  assert.equal(age(4 * MINUTE + 30_000), "4 min ago");
  assert.equal(age(72 * MINUTE), "1 h 12 min ago");
  assert.equal(roughly(40_000), "40 s");
  assert.equal(roughly(2 * HOUR), "2 h");
});

test("the bar's share", () => {
  assert.equal(shareLeft(0, 100, 25), 0.75);
  assert.equal(shareLeft(0, 100, 200), 0);
  assert.equal(shareLeft(50, 100, 0), 1);
  assert.equal(shareLeft(NaN, 100, 0), 1);
});

test("local time of day, and the last moment it was so", () => {
  const now = new Date(2026, 10, 25, 14, 7, 32).getTime();
  assert.equal(hour(now), "14:07");
  assert.equal(hour(now, true), "14:07:32");
  assert.equal(hour(NaN), "");
  assert.equal(hour(lastTimeAt("14:05", now)), "14:05");
  assert.equal(lastTimeAt("1405", now), lastTimeAt("14:05", now));
  assert.ok(lastTimeAt("23:50", now) < now - 14 * HOUR);
  assert.equal(lastTimeAt("25:00", now), null);
  assert.equal(lastTimeAt("soon", now), null);
});
