// From form fields to facts.
import assert from "node:assert/strict";
import test from "node:test";
import { buildFact, filled, filledWords, MissingContext, forSomebodyNew, readTime } from "../../static/js/report/build.js";

const NOW = new Date(2026, 10, 25, 14, 7).getTime();
const text = (name, value, more = {}) => ({ name, value, type: "text", ...more });
const build = (fields, more = {}) => buildFact({ kind: "vitals.measured/1", fields, context: {}, now: NOW, ...more });

test("empty fields are left out, numbers are numbers, tenths are tenths", () => {
  const { fact, happenedAt, problems } = build([
    text("breaths_per_minute", "24", { as: "int" }),
    text("pulse_per_minute", "", { as: "int" }),
    text("temperature_tenths_c", "36,65", { scale: "10" }),
    text("refill_tenths", "2.1", { scale: "10" }),
    { name: "consciousness", value: "alert", type: "radio", checked: false },
    { name: "consciousness", value: "voice", type: "radio", checked: true },
    { name: "amputation", value: "on", type: "checkbox", checked: false },
    text("_private", "x"),
  ]);
  assert.deepEqual(problems, []);
  assert.equal(happenedAt, null);
  assert.deepEqual(fact, {
    kind: "vitals.measured/1", breaths_per_minute: 24, temperature_tenths_c: 367, refill_tenths: 21, consciousness: "voice",
  });
});

test("problems are told in words and name their field", () => {
  const { problems } = build([
    text("breaths_per_minute", "2x", { as: "int", words: "Breaths" }),
    text("pulse_per_minute", "90.5", { as: "int", words: "Pulse" }),
    text("systolic_mmhg", "900", { as: "int", words: "Pressure", min: "0", max: "300" }),
    text("words", "", { required: true, ask: "Say what to know them by." }),
    { name: "age", value: "adult", type: "radio", checked: false, required: "unset", ask: "Choose an age." },
  ]);
  assert.deepEqual(problems.map((problem) => problem.words), [
    "Breaths: write a number.", "Pulse: write a whole number.", "Pressure: between 0 and 300. It says 900.",
    "Say what to know them by.", "Choose an age.",
  ]);
});

test("steppers named used.<item> become a list", () => {
  const fields = [text("used.gauze", "2", { as: "int" }), text("used.tourniquet", "0", { as: "int" })];
  const { fact } = build(fields, { kind: "step.taken/1", base: { step: "packing" } });
  assert.deepEqual(fact, { kind: "step.taken/1", step: "packing", used: [{ item: "gauze", count: 2 }] });
});

test("a form with nothing in it can be refused", () => {
  const { problems } = build([text("used.gauze", "0", { as: "int" }), text("words", "")], { needsOne: "Fill in at least one." });
  assert.deepEqual(problems, [{ name: "", words: "Fill in at least one." }]);
});

test("it was some minutes ago, or at a time of day", () => {
  const ago = (value, checked) => ({ name: "_ago", value, type: "radio", checked });
  assert.equal(build([ago("0", true), ago("5", false)]).happenedAt, null);
  assert.equal(build([ago("0", false), ago("5", true)]).happenedAt, NOW - 300_000);
  assert.equal(build([ago("5", true), text("_at", "13:50")]).happenedAt, NOW - 17 * 60_000);
  assert.match(build([text("_at", "half past")]).problems[0].words, /HH:MM/);
  // A slip of an hour ahead must not become a report of yesterday; before midnight is an hour's fair memory.
  assert.match(build([text("_at", "15:10")]).problems[0].words, /not 15:10 yet/);
  const midnight = new Date(2026, 10, 25, 0, 10).getTime();
  assert.equal(build([text("_at", "23:55")], { now: midnight }).happenedAt, midnight - 15 * 60_000);
});

test("the context fills names in the base and in hidden fields, never what a person typed", () => {
  const context = { casualty: "c7", region: "thigh", amount: "3" };
  const { fact } = build([
    text("region", "$region", { hidden: true, type: "hidden" }),
    text("count", "$amount", { hidden: true, type: "hidden", as: "int" }),
    text("note", "$casualty"),
  ], { context, base: { casualty: "$casualty" } });
  assert.deepEqual(fact, { kind: "vitals.measured/1", casualty: "c7", region: "thigh", count: 3, note: "$casualty" });
});

test("a name the context does not know is never sent", () => {
  assert.throws(() => filled({ about: { casualty: "$casualty" } }, {}), MissingContext);
  assert.deepEqual(filled({ helper: null, list: ["$a", 3] }, { a: "x" }), { helper: null, list: ["x", 3] });
  assert.equal(filledWords("$number: packed $gone", { number: "7" }), "7: packed");
});

test("ticked signs become a list, dotted names an object, a time of day the last such moment", () => {
  const fields = [
    { name: "signs[]", type: "checkbox", value: "pooling", checked: true },
    { name: "signs[]", type: "checkbox", value: "great_force", checked: false },
    { name: "signs[]", type: "checkbox", value: "will_not_stop", checked: true },
    { name: "tourniquet.over_clothes", type: "checkbox", checked: true },
    { name: "applied_at", type: "text", value: "0000", as: "time" },
  ];
  const now = Date.parse("2026-11-25T14:00:00Z");
  const { fact, problems } = buildFact({ kind: "x/1", fields, context: {}, now });
  assert.deepEqual(problems, []);
  assert.deepEqual(fact.signs, ["pooling", "will_not_stop"]);
  assert.deepEqual(fact.tourniquet, { over_clothes: true });
  assert.ok(Date.parse(fact.applied_at) <= now && now - Date.parse(fact.applied_at) < 86_400_000);
});

test("numbered names fill a list of objects", () => {
  const fields = [text("layouts.0.lying", "2", { as: "int" }), text("layouts.0.sitting", "0", { as: "int" }), text("layouts.1.lying", "1", { as: "int" })];
  assert.deepEqual(build(fields).fact.layouts, [{ lying: 2, sitting: 0 }, { lying: 1 }]);
});

test("what is still to come: the next such hour, or in so many minutes", () => {
  const value = (given) => Date.parse(build([text("moment", given, { as: "next" })]).fact.moment);
  assert.equal(value("15:10"), NOW + 63 * 60_000);
  assert.equal(value("13:50"), NOW - 17 * 60_000);
  assert.equal(value("06:00"), new Date(2026, 10, 26, 6, 0).getTime());
  assert.match(build([text("moment", "soon", { as: "next" })]).problems[0].words, /HH:MM/);
  assert.equal(Date.parse(build([text("moment", "25", { as: "in" })]).fact.moment), NOW + 25 * 60_000);
  assert.match(build([text("moment", "-5", { as: "in", min: "0", max: "720" })]).problems[0].words, /between 0 and 720/);
});

test("a count of many things is one fact, and what is out of date needs its whole", () => {
  const field = (name, value) => ({ name, value, type: "text", as: "int" });
  const built = buildFact({ kind: "stock.counted/2", fields: [field("count.tourniquet", "0"), field("count.blanket", "4"), field("old.blanket", "1"), field("count.tape", "")], context: {}, now: 0, needsOne: "count" });
  assert.deepEqual(built.problems, []);
  assert.deepEqual(built.fact.items, [{ item: "tourniquet", count: 0 }, { item: "blanket", count: 4, out_of_date: 1 }]);
  const half = buildFact({ kind: "stock.counted/2", fields: [field("old.blanket", "1")], context: {}, now: 0 });
  assert.match(half.problems[0].words, /in all/);
  const moved = buildFact({ kind: "stock.moved/1", fields: [field("move.tape", "0")], context: {}, now: 0, needsOne: "what" });
  assert.equal(moved.problems[0].words, "what");
});

test("fields that go together go whole, or not at all where none was touched", () => {
  const place = (name, value, was) => ({ name, value, was, whole: "layouts", type: "text", as: "int" });
  const sent = (...fields) => buildFact({ kind: "transport.changed/1", fields, context: {}, now: 0, needsOne: "Change something." });
  const as = [place("layouts.0.lying", "2", "2"), place("layouts.0.sitting", "4", "4")];
  const more = sent(place("layouts.0.lying", "3", "2"), as[1], place("layouts.1.lying", "", ""), place("layouts.1.sitting", "", ""));
  assert.deepEqual(more.fact.layouts, [{ lying: 3, sitting: 4 }], "what stood there goes along");
  const untouched = sent(...as);
  assert.equal(untouched.fact.layouts, undefined);
  assert.equal(untouched.problems[0].words, "Change something.");
});

test("an arrangement that was left empty leaves no hole", () => {
  const fields = [{ name: "layouts.1.lying", value: "2", type: "text", as: "int" }];
  const { fact } = buildFact({ kind: "transport.changed/1", fields, context: {}, now: 0 });
  assert.equal(JSON.stringify(fact.layouts), '[{"lying":2}]');
});

test("somebody new takes nothing over from whoever was open before; what is mended stays who it was", () => {
  const open = { casualty: "7", number: "7", words: "red jacket", where: "on the road", age: "adult", wound: "w", region: "thigh", side: "left", place: "left thigh" };
  assert.deepEqual(forSomebodyNew(open), {});
  assert.deepEqual(forSomebodyNew({ ...open, mends: "m", mended_at: "t" }), { casualty: "7", number: "7", mends: "m", mended_at: "t" });
});

test("a moment that is offered as it is holds to the millisecond, also yesterday's", () => {
  const moment = "2026-11-24T13:59:30.250Z";
  const offered = { name: "_ago", type: "radio", checked: true, value: moment };
  assert.deepEqual(readTime([offered], Date.parse(moment) + 26 * 3_600_000), { happenedAt: Date.parse(moment) });
  assert.deepEqual(readTime([{ ...offered, checked: false }], 0), { happenedAt: null }, "now was chosen");
  assert.deepEqual(readTime([{ ...offered, value: "5" }], 600_000), { happenedAt: 300_000 });
});
