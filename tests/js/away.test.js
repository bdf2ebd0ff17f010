// Asking what changed: a board that is unwell is asked ever less often.
import assert from "node:assert/strict";
import test from "node:test";
import { pauseAfter } from "../../static/js/away.js";
import { subjectOf } from "../../static/js/report/stepper.js";

test("pauses grow from two to thirty seconds, each by chance between a half and all of it", () => {
  assert.deepEqual([1, 2, 3, 4, 5, 9].map((failures) => pauseAfter(failures, () => 1)), [2_000, 4_000, 8_000, 16_000, 30_000, 30_000]);
  assert.equal(pauseAfter(3, () => 0), 4_000);
});

test("a key is named after what it counts, not after what stands beside it and changes", () => {
  const text = (textContent) => ({ nodeType: 3, textContent });
  const label = { childNodes: [text("Gauze roll\n "), { nodeType: 1, textContent: "3 left" }] };
  assert.equal(subjectOf(label), "Gauze roll");
  assert.equal(subjectOf(null), "");
});
