// What to mind beside a category: the same cases as the board's own test of its rules (tests/published/charts.rs).
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { minded } from "../../static/js/triage/notes.js";

const rules = JSON.parse(readFileSync(new URL("triage_notes.json", import.meta.url), "utf8"));
const start = { algorithm: "start" };
const open = { category: "delayed", final: true };
const walks = { category: "minor", final: true };
const said = (table, answers, result) => minded(rules, table, answers, result).join(" ");

test("slow breathing is minded by START alone, and only below ten", () => {
  assert.match(said(start, { breaths_per_minute: 9 }, open), /Fewer than 10/);
  assert.equal(said(start, { breaths_per_minute: 10 }, open), "");
  assert.equal(said({ algorithm: "salt" }, { breaths_per_minute: 9 }, open), "");
  assert.equal(said(start, { breaths_per_minute: "cannot_tell" }, open), "");
});

test("a walker who bleeds or breathes fast is told once, with what every walker is told", () => {
  const fast = minded(rules, start, { walks: "yes", breathing_over_30: "yes", breaths_per_minute: 36 }, walks);
  assert.equal(fast.length, 2);
  assert.match(fast[0], /breathes fast/);
  assert.match(said({ algorithm: "ten_second" }, { walks: "yes", severe_bleeding: "yes" }, walks), /bleeds heavily/);
  assert.equal(said(start, { walks: "yes", breathing_over_30: "yes" }, { category: "minor", final: false }), "");
});

test("expectant asks for its grounds, a two-year-old for another look at the chart", () => {
  assert.match(said({ algorithm: "salt" }, {}, { category: "expectant", final: true }), /what is short/);
  assert.match(said({ algorithm: "mitt" }, { age_years: 2 }, { category: "immediate", final: false }), /2-year-olds/);
});
