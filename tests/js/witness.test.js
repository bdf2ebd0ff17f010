// Copies of the record on a device: when one may go. And what is forgotten of a board that was removed.
import assert from "node:assert/strict";
import test from "node:test";
import { forgetCopy, copies, forgetBoard } from "../../static/js/witness/store.js";
import { mayGo } from "../../static/js/witness/keeper.js";
import { isSettled } from "../../static/js/witness/removed.js";
import { Storage } from "../../static/js/outbox/storage.js";

const store = new Map();
globalThis.localStorage = {
  getItem: (key) => store.get(key) ?? null,
  setItem: (key, value) => store.set(key, value),
  removeItem: (key) => store.delete(key),
};
const deleted = [];
globalThis.indexedDB = { deleteDatabase: (name) => deleted.push(name) };
const copy = (name, seq) => [name, { name, incident: "bus", seq, at: 0 }];

test("a board that knows less than the copy does not end it", () => {
  assert.equal(mayGo({ epoch: "e", seq: 40 }, 90), false, "a standby that is behind");
  assert.equal(mayGo({ epoch: "e", seq: 90 }, 90), true);
});

test("one copy goes and the others stay, until the whole board is forgotten", () => {
  const names = ["holdfast-record/b/e1", "holdfast-record/b/e2", "holdfast-record/other/e1"];
  store.set("holdfast/records", JSON.stringify(Object.fromEntries(names.map((name) => copy(name, 9)))));
  forgetCopy("holdfast-record/b/e2");
  assert.deepEqual(copies().map(({ name }) => name).sort(), [names[0], names[2]]);
  forgetBoard("b");
  assert.deepEqual(copies().map(({ name }) => name), [names[2]]);
  assert.deepEqual(deleted, [names[1], names[0]]);
});

test("given up counts as settled; waiting and parked do not", () => {
  const settled = ["receipted", "dropped", "waiting", "sending", "parked"].filter((state) => isSettled({ state }));
  assert.deepEqual(settled, ["receipted", "dropped"]);
});

test("an item is taken out of every store that holds it", async () => {
  const made = () => ({ items: new Map(), level: "safe", async put(item) { this.items.set(item.id, item); }, async all() { return [...this.items.values()]; }, async remove(id) { this.items.delete(id); } });
  const [one, other] = [made(), made()];
  one.items.set("a", { id: "a" });
  other.items.set("a", { id: "a" });
  const storage = new Storage([one, other]);
  await storage.remove("a");
  assert.deepEqual(await storage.all(), []);
});

test("the newest copy comes first, and boards on which hardly anything was done come last", () => {
  const of = (name, seq, at) => [name, { name, incident: "bus", seq, at }];
  store.set("holdfast/records", JSON.stringify(Object.fromEntries([of("old", 300, 10), of("begun in vain", 4, 30), of("newer", 90, 20)])));
  assert.deepEqual(copies().map(({ name }) => name), ["newer", "old", "begun in vain"]);
});
