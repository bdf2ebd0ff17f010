// Why a page comes anew: one reason at a time, never over somebody at work, and nothing hides what comes after it.
import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

let now = 0;
let made;
let kept;
let told;
let went;
let answers;
globalThis.performance = { now: () => now };
Date.now = () => 1_800_000_000_000 + now;
globalThis.localStorage = { getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => kept.set(key, value) };
globalThis.location = { reload: () => went.push("again"), assign: (address) => went.push(address) };
const dataset = { board: "own", role: "helper", forms: "4" };
const place = { set textContent(words) { told.push(words); }, get textContent() { return ""; } };
globalThis.document = {
  body: { dataset },
  addEventListener() {},
  querySelector: (css) => made.find((one) => css === `[data-made-of-${one}]`) ?? null,
  querySelectorAll: (css) => (css === "[data-told]" ? [place] : []),
};
globalThis.fetch = async () => {
  went.push("asked");
  const [status, body] = answers.shift();
  return { ok: status < 300, status, json: async () => body };
};
const { Anew } = await import("../../static/js/live/anew.js");

const NEXT = [200, { next: "/board" }];
const settled = () => new Promise((go) => setImmediate(go));
let tally;
let anew;
let message;

beforeEach(() => {
  // Whatever was on its way, or was done lately, is over.
  now += 3_600_000;
  [made, kept, told, went, answers] = [["settings"], new Map(), [], [], []];
  tally = { unsent: 0, parked: 0 };
  message = null;
  anew = new Anew({ ready: Promise.resolve(), get tally() { return tally; } }, (words) => { message = words; });
});

test("who is made a deputy while the forms change takes that up and nothing else", async () => {
  answers = [NEXT];
  const word = { role: "helper", granted: "deputy", forms: 9 };
  anew.follow(word, []);
  anew.follow(word, []);
  await settled();
  // The page of the new role is on its way: the stream says who this phone is now, and must not stop it.
  anew.follow({ role: "deputy", forms: 9 }, []);
  assert.deepEqual(went, ["asked", "/board"]);
});

test("a board that cannot make the session just now does not keep the forms old", async () => {
  answers = [[503, {}], NEXT];
  const word = { role: "helper", granted: "deputy", forms: 9 };
  anew.follow(word, []);
  await settled();
  anew.follow(word, []);
  assert.deepEqual(went, ["asked", "again"]);
  now += 40_000;
  anew.follow(word, []);
  assert.deepEqual(went, ["asked", "again", "asked"], "asked again later");
  await settled();
});

test("nothing is loaded over what is not sent, and once it is, it is", () => {
  tally = { unsent: 1, parked: 0 };
  anew.follow({ role: "deputy" }, []);
  assert.deepEqual(went, []);
  assert.match(message, /another role/);
  tally = { unsent: 0, parked: 0 };
  anew.follow({ role: "deputy" }, []);
  assert.deepEqual(went, ["again"]);
});

test("never in a circle for one reason, and one reason does not bar another", () => {
  anew.follow({ role: "helper", forms: 9 }, []);
  now += 21_000;
  anew.follow({ role: "helper", forms: 9 }, []);
  assert.deepEqual(went, ["again"]);
  assert.match(message, /lead changed what this board works with/);
  anew.follow({ role: "deputy", forms: 9 }, []);
  assert.deepEqual(went, ["again", "again"]);
});

test("what changed about command is not forgotten while something is unsent", () => {
  made = ["notices"];
  tally = { unsent: 1, parked: 0 };
  anew.follow({ role: "helper", forms: 4 }, ["command-offered"]);
  assert.deepEqual(went, []);
  tally = { unsent: 0, parked: 0 };
  anew.follow({ role: "helper", forms: 4 }, []);
  assert.deepEqual(went, ["again"]);
});

test("a phone that is not in on the other board goes nowhere by itself", async () => {
  await anew.otherBoard(false);
  assert.deepEqual(went, []);
  assert.match(message, /Another board answers.*go back to it/i);
  await anew.otherBoard(true);
  assert.deepEqual(went, ["again"]);
});

// Last: a refusal stands for as long as the page does.
test("a refusal is told with its reason, not asked for again, and hides nothing", async () => {
  answers = [[403, { detail: "only over TLS" }]];
  const word = { role: "helper", granted: "deputy", forms: 4 };
  anew.follow(word, []);
  await settled();
  assert.match(told.join(" "), /only over TLS/);
  anew.follow(word, []);
  assert.deepEqual(went, ["asked"]);
  anew.follow({ ...word, forms: 9 }, []);
  assert.deepEqual(went, ["asked", "again"]);
});
