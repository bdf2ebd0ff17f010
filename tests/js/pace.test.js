import assert from "node:assert/strict";
import test from "node:test";
import { EASES, paceAt } from "../../static/js/report/pace.js";

const MINUTE = 60_000;

test("easing and watching take turns over the whole minute, and it is never over before", () => {
  const heard = [];
  for (let passed = 0; passed < MINUTE; passed += 250) {
    const { step, words, share } = paceAt(passed, MINUTE);
    assert.ok(step < EASES && share > 0 && share <= 1, `${passed}`);
    if (heard.at(-1) !== words) heard.push(words);
  }
  assert.equal(heard.length, 2 * EASES, heard.join(" | "));
  assert.equal(heard[0], "Ease it a little: 1 of 6");
  assert.equal(heard[1], "Stop. Watch the wound.");
  assert.deepEqual(paceAt(MINUTE, MINUTE), { step: EASES, words: "Dry? Open it fully.", share: 0 });
  assert.equal(paceAt(9 * MINUTE, MINUTE).step, EASES);
});
