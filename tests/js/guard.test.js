// "Yes, this is 7": the tap that was held back must reach the button that is there now.
import assert from "node:assert/strict";
import test from "node:test";
import { twinOf } from "../../static/js/report/guard.js";

const button = (dataset, context = {}) => ({
  dataset,
  disabled: false,
  attributes: Object.entries(context).map(([name, value]) => ({ name: `data-ctx-${name}`, value })),
});

test("the same report, or the same view about the same casualty, is found again", () => {
  const held = button({ report: '{"about":{"wound":"w"}}', casualty: "7" });
  const twin = button({ report: '{"about":{"wound":"w"}}', casualty: "7" });
  assert.equal(twinOf(held, [button({ report: "{}", casualty: "7" }), twin]), twin);
  const opener = button({ open: "look" }, { casualty: "7", wound: "w" });
  const other = button({ open: "look" }, { casualty: "8", wound: "w" });
  const same = button({ open: "look" }, { wound: "w", casualty: "7" });
  assert.equal(twinOf(opener, [other, same]), same);
});

test("something else in its place is not tapped", () => {
  const held = button({ report: '{"step":"press"}', casualty: "7" });
  assert.equal(twinOf(held, [button({ report: '{"step":"tourniquet"}', casualty: "7" })]), undefined);
  assert.equal(twinOf(button({}), [button({})]), undefined);
  assert.equal(twinOf(undefined, [held]), undefined);
});
