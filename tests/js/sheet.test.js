// An assessment that was left alone: what was answered an hour ago must not be gone on with in the middle.
import assert from "node:assert/strict";
import test from "node:test";
import { Sheet } from "../../static/js/triage/sheet.js";

const store = new Map();
globalThis.localStorage = {
  getItem: (key) => store.get(key) ?? null,
  setItem: (key, value) => store.set(key, value),
  removeItem: (key) => store.delete(key),
};
globalThis.document = { body: { dataset: { board: "b" } } };
const MINUTE = 60_000;
const systems = { table: (code) => (code ? { steps: {} } : undefined) };
const outbox = { add: async () => ({ id: "entry" }) };

test("after ten minutes a sheet with answers is stale, and a new one starts from nothing", async (t) => {
  const now = Date.now();
  let at = now;
  t.mock.method(Date, "now", () => at);
  const sheet = new Sheet(outbox, systems, { casualty: "7" });
  sheet.use("start");
  await sheet.answer("walks", "no");
  at = now + 9 * MINUTE;
  assert.equal(sheet.isStale, false);
  assert.deepEqual(new Sheet(outbox, systems, { casualty: "7" }).answers, { walks: "no" }, "lately: goes on");
  at = now + 60 * MINUTE;
  assert.equal(sheet.isStale, true);
  const fresh = new Sheet(outbox, systems, { casualty: "7" });
  assert.deepEqual(fresh.answers, {});
  assert.equal(fresh.isStale, false);
});

test("a sheet without answers is never stale", (t) => {
  const now = Date.now();
  const sheet = new Sheet(outbox, systems, { casualty: "8" });
  t.mock.method(Date, "now", () => now + 60 * MINUTE);
  assert.equal(sheet.isStale, false);
});
