// Where the outbox is kept: a store that has fallen asleep must not hold back the next tap.
import assert from "node:assert/strict";
import test from "node:test";
import { Storage } from "../../static/js/outbox/storage.js";

class Store {
  items = new Map();
  constructor(level, answers = true) {
    this.level = level;
    this.answers = answers;
  }
  async put(item) {
    if (!this.answers) await new Promise(() => {});
    this.items.set(item.id, item);
  }
  async all() { return [...this.items.values()]; }
  async remove(id) { this.items.delete(id); }
}

test("a write that never comes back falls to the next store, and says how weak that is", async () => {
  const asleep = new Store("safe", false);
  const weak = new Store("weak");
  const storage = new Storage([asleep, weak], 20);
  await storage.add({ id: "a" });
  assert.ok(weak.items.has("a"));
  assert.equal(storage.level(["a"]), "weak");
  await storage.put({ id: "a", state: "receipted" });
  assert.equal(weak.items.get("a").state, "receipted", "it is written back where it lives");
});

test("a change that cannot be written back says so in time", async () => {
  const store = new Store("safe");
  const storage = new Storage([store], 20);
  await storage.add({ id: "a" });
  store.answers = false;
  await assert.rejects(storage.put({ id: "a", state: "receipted" }));
});

test("a write that was given up and came about after all does not bring back what became of the report since", async () => {
  const slow = new Store("safe", false);
  const weak = new Store("weak");
  const storage = new Storage([slow, weak], 20);
  await storage.add({ id: "a", state: "waiting" });
  slow.items.set("a", { id: "a", state: "waiting" });
  slow.answers = true;
  await storage.put({ id: "a", state: "dropped" });
  const [kept] = await new Storage([slow, weak], 20).all();
  assert.equal(kept.state, "dropped");
  // Whichever store comes first.
  const [same] = await new Storage([weak, slow], 20).all();
  assert.equal(same.state, "dropped");
});
