import assert from "node:assert/strict";
import test from "node:test";
import { leftWords } from "../../static/js/report/left.js";

test("what nobody counted is not said to be gone", () => {
  assert.equal(leftWords(undefined), "");
  assert.equal(leftWords(0), "none left");
  assert.equal(leftWords(3), "3 left");
});
