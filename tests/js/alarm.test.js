import assert from "node:assert/strict";
import test from "node:test";
import { calling, lineOf, loudest, severityAt, silence, soundNow } from "../../static/js/alarm/core.js";

const duty = (key, severity, due, quiet = 0) => ({ key, severity, due, quiet, words: `${key}!` });

test("only what is due, not quiet and more than a note calls, the worst first", () => {
  const all = [duty("a", "medium", 10), duty("b", "critical", 50), duty("c", "high", 20), duty("d", "low", 1), duty("e", "critical", 99), duty("f", "critical", 5, 80)];
  assert.deepEqual(calling(all, 60).map((one) => one.key), ["b", "c", "a"]);
  assert.deepEqual(calling(all, 80).map((one) => one.key), ["f", "b", "c", "a"], "quiet ends by itself");
});

test("four and more are told in one line", () => {
  const three = ["a", "b", "c"].map((key) => duty(key, "high", 1));
  assert.equal(lineOf(three), "a! · b! · c!");
  assert.equal(lineOf([...three, duty("d", "high", 2)]), "4 overdue. First: a!");
  assert.equal(lineOf([]), "");
});

test("never two sounds within ten seconds; unseen calls again after a minute", () => {
  const a = duty("a", "critical", 0);
  let { level, memory } = soundNow([a], silence(), 0);
  assert.equal(level, "critical");
  ({ level, memory } = soundNow([a, duty("b", "critical", 0)], memory, 9_000));
  assert.equal(level, null, "too soon for another");
  ({ level, memory } = soundNow([a, duty("b", "critical", 0)], memory, 10_000));
  assert.equal(level, "critical", "the second one has not been heard yet");
  ({ level, memory } = soundNow([a], memory, 50_000));
  assert.equal(level, null);
  ({ level, memory } = soundNow([a], memory, 60_000));
  assert.equal(level, "critical");
});

test("a budget bounds all but critical sounds", () => {
  let memory = silence();
  let sounds = 0;
  for (let minute = 0; minute < 30; minute += 1) {
    const result = soundNow([duty(`recheck ${minute}`, "high", 0)], memory, minute * 60_000, 12);
    memory = result.memory;
    if (result.level) sounds += 1;
  }
  assert.equal(sounds, 8, "6 for each ten casualties, begun");
  assert.equal(soundNow([duty("x", "critical", 0)], memory, 31 * 60_000, 12).level, "critical");
});

test("what can wait does not drown what cannot", () => {
  const waits = ["a", "b", "c", "d"].map((key) => duty(key, "medium", 1));
  assert.deepEqual(loudest([duty("x", "high", 1), ...waits]).map((one) => one.key), ["x"]);
  assert.deepEqual(loudest(waits), [], "many that can wait are the list's");
  assert.equal(loudest(waits.slice(0, 2)).length, 2);
});

test("what waiting makes of a duty counts from its moment on, and never makes it less", () => {
  const hold = { severity: "medium", worse: "high", worseAt: 100 };
  assert.equal(severityAt(hold, 99), "medium");
  assert.equal(severityAt(hold, 100), "high");
  assert.equal(severityAt({ severity: "critical", worse: "high", worseAt: 100 }, 200), "critical");
  assert.equal(severityAt({ severity: "high", worse: undefined, worseAt: NaN }, 200), "high");
});
