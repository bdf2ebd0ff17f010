// When a report is about somebody who was last seen elsewhere.
import assert from "node:assert/strict";
import test from "node:test";
import { isElsewhere } from "../../static/js/report/elsewhere.js";

const MINUTE = 60_000;
const asked = (changes = {}) => ({ casualty: "7", where: "by the shelter", last: "3", here: "on the road", lastAt: 0, now: MINUTE, ...changes });

test("asks when the two places differ", () => {
  assert.equal(isElsewhere(asked(), []), true);
  assert.equal(isElsewhere(asked({ here: " By the Shelter" }), []), false);
});

test("asks nothing where a place is not known, about the same casualty, or after long", () => {
  assert.equal(isElsewhere(asked({ where: "" }), []), false);
  assert.equal(isElsewhere(asked({ here: "" }), []), false);
  assert.equal(isElsewhere(asked({ last: "7" }), []), false);
  assert.equal(isElsewhere(asked({ now: 31 * MINUTE }), []), false);
  assert.equal(isElsewhere(asked({ lastAt: NaN }), []), false);
});

test("asks once for each casualty and place, and again when they were moved or after an hour", () => {
  const sure = [{ casualty: "7", where: "by the shelter", at: 0 }];
  assert.equal(isElsewhere(asked(), sure), false);
  assert.equal(isElsewhere(asked({ where: "in the hut" }), sure), true);
  assert.equal(isElsewhere(asked({ casualty: "8" }), sure), true);
  assert.equal(isElsewhere(asked({ now: 61 * MINUTE, lastAt: 60 * MINUTE }), sure), true);
});
