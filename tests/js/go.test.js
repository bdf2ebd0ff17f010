// Going to another page: what is said when it does not come.
import assert from "node:assert/strict";
import test from "node:test";
import { startGo } from "../../static/js/go.js";

const told = { hidden: true, textContent: "" };
const line = { hidden: true, textContent: "", scrollIntoView() {} };
let click;
globalThis.document = {
  body: { dataset: { link: "live" } },
  addEventListener: (name, handler) => { if (name === "click") click = handler; },
  querySelectorAll: (css) => ({ "[data-told]": [told], "[data-link-message]": [line] })[css] ?? [],
};
const link = { target: "", matches: () => false, getAttribute: () => "/log" };
const tap = async () => {
  click({ target: { closest: () => link }, button: 0, preventDefault() {} });
  await new Promise((resolve) => setTimeout(resolve, 5));
};

test("beside live nothing says out of range; beside join again nothing wipes it out", async (t) => {
  t.mock.method(globalThis, "fetch", async () => { throw new TypeError("Failed to fetch"); });
  startGo();
  await tap();
  assert.match(told.textContent, /slow: tap again/);
  assert.equal(line.hidden, true);
  document.body.dataset.link = "lost";
  await tap();
  assert.match(line.textContent, /^Out of range/);
  line.textContent = "The board asks this phone to join again.";
  await tap();
  assert.match(line.textContent, /join again/);
  assert.match(told.textContent, /^Out of range/);
});
