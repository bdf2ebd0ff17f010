// Buttons that ask for a second tap: what they say after it was not done, and that a double tap does not do it.
import assert from "node:assert/strict";
import test from "node:test";
import { armed, disarm } from "../../static/js/armed.js";
import { startPromote } from "../../static/js/promote.js";

/** As much of a button as these scripts use. */
function button(words) {
  const handlers = {};
  return {
    dataset: {},
    disabled: false,
    nodes: [words],
    get childNodes() { return this.nodes; },
    get textContent() { return this.nodes.join(""); },
    set textContent(text) { this.nodes = [text]; },
    replaceChildren(...nodes) { this.nodes = nodes; },
    addEventListener: (name, handler) => { handlers[name] = handler; },
    tap: () => handlers.click(),
  };
}

test("after a try that failed the button says again what it does", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const one = button("Hand over to Teo");
  assert.equal(armed(one, "Tap again: you hand command over"), false);
  assert.equal(one.textContent, "Tap again: you hand command over");
  disarm(one);
  assert.equal(one.textContent, "Hand over to Teo");
  // What it was told meanwhile stays.
  armed(one, "Tap again");
  one.textContent = "Not done: no network";
  disarm(one);
  assert.equal(one.textContent, "Not done: no network");
});

test("nobody taps again: it says what it said; an earlier tap's time does not cut a later one short", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const one = button("Drop");
  armed(one, "Tap again");
  t.mock.timers.tick(4_000);
  disarm(one);
  armed(one, "Tap again");
  t.mock.timers.tick(4_000);
  assert.equal(one.textContent, "Tap again");
  t.mock.timers.tick(1_000);
  assert.equal(one.textContent, "Drop");
});

test("a trembling finger does not make a standby the board", (t) => {
  const one = button("Take over");
  globalThis.document = { querySelector: (css) => (css === "[data-promote]" ? one : null) };
  let asked = 0;
  t.mock.method(globalThis, "fetch", async () => { asked += 1; throw new TypeError("x"); });
  let now = 1_000;
  t.mock.method(performance, "now", () => now);
  startPromote();
  one.tap();
  now += 120;
  one.tap();
  assert.equal(asked, 0, "a double tap is one thought");
  now += 700;
  one.tap();
  assert.equal(asked, 1);
});
