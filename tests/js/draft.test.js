// Drafts of forms: whom one is about, and how old it may be. Without a browser.
import assert from "node:assert/strict";
import test from "node:test";
import { draftName, fieldsOf, isOld, momentOf } from "../../static/js/report/draft.js";
import { readDraft } from "../../static/js/report/fields.js";
import { asDraft } from "../../static/js/outbox/mend.js";

globalThis.document = { body: { dataset: { board: "b" } } };
const MINUTE = 60_000;
const AT = Date.parse("2026-11-25T14:00:00Z");
const CASUALTY = '{"casualty":"$casualty"}';
const WOUND = '{"wound":"$wound"}';

test("a draft is named by whom its own form is about, whatever else is open", () => {
  const vitals = (context) => draftName({ view: "vitals", kind: "vitals.measured/1", context, about: CASUALTY });
  assert.notEqual(vitals({ casualty: "B", wound: "W1" }), vitals({ casualty: "C", wound: "W1" }));
  assert.equal(vitals({ casualty: "B", wound: "W1" }), vitals({ casualty: "B" }));
  const look = (context) => draftName({ view: "look", kind: "wound.looked/1", context, about: WOUND });
  assert.notEqual(look({ casualty: "B", wound: "W1" }), look({ casualty: "B", wound: "W2" }));
});

test("what is made anew has no id yet: its draft is whose it will be", () => {
  const wound = (context) => draftName({ view: "wound", kind: "wound.found/2", context, about: WOUND, hidden: ["$casualty"], fresh: "wound" });
  assert.equal(wound({ casualty: "B", wound: "W1" }), wound({ casualty: "B" }));
  assert.notEqual(wound({ casualty: "B" }), wound({ casualty: "C" }));
  const add = (context) => draftName({ view: "add", kind: "casualty.registered/1", context, about: CASUALTY, fresh: "casualty" });
  assert.equal(add({ casualty: "B" }), add({}));
});

test("hidden fields count: the reason for one strike is not there for the next", () => {
  const strike = (entry) => draftName({ view: "strike", kind: "entry.struck/1", context: { casualty: "B", entry }, about: '"incident"', hidden: ["$entry"] });
  assert.notEqual(strike("e1"), strike("e2"));
});

test("mending has a draft of its own", () => {
  assert.match(draftName({ view: "vitals", kind: "k", context: { casualty: "B", mends: "m" }, about: CASUALTY }), /\/m$/);
});

test("after two minutes a draft stands for its own moment, not for now", () => {
  const kept = { at: AT, then: null, fields: { "pulse_per_minute=": "130" } };
  assert.equal(momentOf(kept, undefined, AT + MINUTE), null);
  assert.equal(isOld(kept, AT + MINUTE), false);
  assert.equal(isOld(kept, AT + 70 * MINUTE), true);
  assert.equal(momentOf(kept, undefined, AT + 70 * MINUTE), AT);
});

test("five minutes ago said at 14:00 is 13:55 for good, and so is an hour that was written", () => {
  const kept = { at: AT, then: AT - 5 * MINUTE, fields: { "_at=": "13:55", "text=": "words" } };
  assert.equal(momentOf(kept, undefined, AT + 70 * MINUTE), AT - 5 * MINUTE);
  assert.deepEqual(fieldsOf(kept, AT + 70 * MINUTE), { "text=": "words" });
  assert.deepEqual(fieldsOf(kept, AT + MINUTE), kept.fields);
});

test("how long ago is never among the fields that are kept, nor what the page set itself", () => {
  const input = (name, type, value, more) => ({ name, type, value, defaultValue: "", dataset: {}, ...more });
  const elements = [
    input("_ago", "radio", "5", { checked: true, defaultChecked: false }),
    input("used.gauze", "text", "0", { defaultValue: "1", dataset: { noneLeft: "" } }),
    input("pulse_per_minute", "text", "130"),
  ];
  assert.deepEqual(readDraft({ elements }), { "pulse_per_minute=": "130" });
  elements[1].value = "2";
  assert.equal(readDraft({ elements })["used.gauze="], "2", "a number that somebody has touched is theirs");
});

test("yesterday's report is mended as yesterday's: no hour of day stands in its draft", () => {
  const draft = asDraft({ happened_at: "2026-11-24T14:00:00Z" }, { "_at=": "14:00", _ago: { 5: true }, "text=": "words" });
  assert.deepEqual(draft, { at: AT - 24 * 60 * MINUTE, then: AT - 24 * 60 * MINUTE, fields: { "text=": "words" } });
  assert.equal(momentOf(draft, "2026-11-24T14:00:00Z", AT), AT - 24 * 60 * MINUTE);
  assert.equal(momentOf(null, "2026-11-24T14:00:00Z", AT), AT - 24 * 60 * MINUTE);
});
