import assert from "node:assert/strict";
import test from "node:test";
import { leftWords, shownFor } from "../../static/js/report/left.js";

test("what nobody counted is not said to be gone", () => {
  assert.equal(leftWords(undefined), "");
  assert.equal(leftWords(0), "none left");
  assert.equal(leftWords(3), "3 left");
});

test("a number the page set to 0 becomes what it was when there is some again; a hand's stays", () => {
  const input = (value, set) => ({ value, defaultValue: "1", dataset: set ? { noneLeft: "" } : {} });
  assert.equal(shownFor(input("1"), 0), "0");
  assert.equal(shownFor(input("0", true), 3), "1");
  assert.equal(shownFor(input("0", true), undefined), "1", "nobody counts it any more");
  assert.equal(shownFor(input("0", true), 0), undefined);
  assert.equal(shownFor(input("2"), 0), undefined);
  assert.equal(shownFor(input("0"), 3), undefined);
});
