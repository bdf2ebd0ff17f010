// What the board says about itself: which of it has changed, for pages that are made of it.
import assert from "node:assert/strict";
import test from "node:test";
import { changedBetween } from "../../static/js/live/notices.js";

const offered = { code: "command-offered", words: "COMMAND: Ina hands it over to Teo." };
const full = { code: "disk", words: "The disk is full." };

test("what came, went or says something else is told by its code", () => {
  assert.deepEqual(changedBetween([full], [full]), []);
  assert.deepEqual(changedBetween([full], [offered, full]), ["command-offered"]);
  assert.deepEqual(changedBetween([offered], []), ["command-offered"]);
  assert.deepEqual(changedBetween([offered], [{ ...offered, words: "COMMAND: Ina hands it over to Sol." }]), ["command-offered", "command-offered"]);
});
