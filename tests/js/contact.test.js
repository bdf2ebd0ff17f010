// What the lead is told of a helper's phone.
import assert from "node:assert/strict";
import test from "node:test";
import { contactWords, QUIET_AFTER, quietWords } from "../../static/js/contact.js";

const heard = "2026-11-25T14:02:00Z";
const then = Date.parse(heard);
const away = { heard, live: false, waiting: 2, removed: false };
const ben = { name: "Ben", has: "4, 7" };

test("who holds a stream is here, whoever does not was last heard then", () => {
  assert.equal(contactWords({ heard, live: true, waiting: 0, removed: false }, then), "here now");
  assert.match(contactWords(away, then + 60_000), /^last heard \d\d:\d\d, 2 not sent then$/);
  assert.equal(contactWords({ ...away, heard: null, waiting: 0 }, then), "not heard since the board started");
  assert.equal(contactWords({ ...away, removed: true }, then), "removed, 2 not sent then");
});

test("gone quiet is told only of those who have somebody, and only after five minutes", () => {
  assert.equal(quietWords(away, ben, then + QUIET_AFTER - 1), "");
  assert.match(quietWords(away, ben, then + QUIET_AFTER), /^Ben: last heard .*, 2 not sent then, and has 4, 7$/);
  assert.equal(quietWords(away, { name: "Ben", has: "" }, then + QUIET_AFTER), "");
  assert.equal(quietWords({ ...away, live: true }, ben, then + QUIET_AFTER), "");
  assert.match(quietWords({ ...away, removed: true }, ben, then), /removed/);
});
