// UUIDv7: shape, time in front, strictly rising within a page.
import assert from "node:assert/strict";
import test from "node:test";
import { uuid7 } from "../../static/js/uuid7.js";

test("has version 7, the RFC variant and the time in front", () => {
  const id = uuid7(0x0123456789ab);
  assert.match(id, /^01234567-89ab-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

test("rises strictly, also when the clock stands still, runs backwards or the counter runs over", () => {
  let last = "";
  for (let at = 0; at < 20_000; at += 1) {
    const id = uuid7(0x0200_0000_0000 - (at % 3));
    assert.ok(id > last, `${id} after ${last}`);
    last = id;
  }
});
