// The strip that calls: its button stands there only where a tap makes something quiet.
import assert from "node:assert/strict";
import test from "node:test";
import { Alarms } from "../../static/js/alarm/alarms.js";
import { startTick } from "../../static/js/time/tick.js";

let duties = [];
globalThis.document = {
  body: { dataset: {} },
  addEventListener() {},
  querySelectorAll: (css) => (css.startsWith("[data-alarm]") ? duties : []),
};
const seen = { hidden: true, addEventListener() {} };
const line = { textContent: "" };
const strip = { hidden: true, dataset: {}, querySelector: (css) => (css === "[data-alarm-seen]" ? seen : line) };
const duty = (ack) => ({ hidden: false, dataset: { alarm: "a", due: "2026-11-25T14:00:00Z", severity: "high", words: "Teo: blood contact", ack } });

test("what nobody can make quiet offers no button", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout", "setInterval"] });
  new Alarms(strip, { append() {} }, { play() {} }).start();
  duties = [duty(undefined)];
  startTick({ now: () => Date.parse("2026-11-25T15:00:00Z") });
  assert.deepEqual([strip.hidden, seen.hidden], [false, true]);
  duties = [duty('{"about":"incident","fact":{}}')];
  t.mock.timers.tick(2_000);
  assert.deepEqual([strip.hidden, seen.hidden], [false, false]);
});
