// A page that came half: comes again by itself, stays readable out of range, says so where that does not help.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { createContext, runInContext } from "node:vm";

const SCRIPT = readFileSync(new URL("../../static/js/whole.js", import.meta.url), "utf8");

/** The script in a page of its own; `fetches` answers each question of its own, in order: true, false, or never (null). */
function opened({ loads = 0, fetches = [], hasFetch = true } = {}) {
  let now = 0;
  const timers = new Map();
  const heard = new Map();
  const page = { reloads: 0, lines: [], kept: { "holdfast/loads": String(loads) }, heard };
  const on = (name, act) => heard.set(name, act);
  const element = () => ({ setAttribute() {}, remove() { page.lines = page.lines.filter((one) => one !== this); } });
  const body = { firstChild: null, insertBefore: (line) => page.lines.includes(line) || page.lines.push(line) };
  const asks = { length: 0 };
  const fetch = () => {
    const answer = fetches[asks.length++] ?? true;
    const then = (well, ill) => { if (answer !== null) (answer ? well : ill)(); };
    return { then };
  };
  const setTimeout = (act, after) => { timers.set(timers.size + 1, { act, at: now + after }); return timers.size; };
  const context = createContext({
    document: { addEventListener: on, body, createElement: element, documentElement: element() },
    window: { addEventListener: on, ...(hasFetch ? { fetch } : {}) },
    ...(hasFetch ? { fetch } : {}),
    location: { href: "http://10.42.0.1:8080/join", reload: () => { page.reloads += 1; } },
    sessionStorage: { getItem: (key) => page.kept[key] ?? null, setItem: (key, value) => { page.kept[key] = value; } },
    HTMLScriptElement: class {},
    setTimeout,
    clearTimeout: (id) => timers.get(id) && (timers.get(id).at = Infinity),
  });
  runInContext(SCRIPT, context);
  page.after = (ms) => {
    for (const until = now + ms; ;) {
      const due = [...timers].filter(([, one]) => one.at <= until).sort(([, one], [, other]) => one.at - other.at)[0];
      if (!due) return void (now = until);
      now = due[1].at;
      due[1].at = Infinity;
      due[1].act();
    }
  };
  page.says = (words) => page.lines.some((line) => line.textContent.includes(words));
  return page;
}

test("a page that has started is left alone", () => {
  const page = opened({ loads: 3 });
  page.heard.get("holdfast:started")();
  page.heard.get("load")();
  page.after(120_000);
  assert.equal(page.reloads, 0);
  assert.equal(page.kept["holdfast/loads"], "0");
});

test("what was loaded and does not run, and what hangs, comes again", () => {
  const loaded = opened();
  loaded.heard.get("load")();
  loaded.after(400);
  assert.equal(loaded.reloads, 0);
  loaded.after(200);
  assert.equal(loaded.reloads, 1);
  const hanging = opened();
  hanging.after(14_000);
  assert.equal(hanging.reloads, 0);
  hanging.after(2_000);
  assert.equal(hanging.reloads, 1);
});

test("one that starts while it was to come again stays", () => {
  const page = opened();
  page.heard.get("load")();
  page.heard.get("holdfast:started")();
  page.after(60_000);
  assert.equal(page.reloads, 0);
});

test("out of range it stays readable, says so, and comes when the board answers", () => {
  const page = opened({ fetches: [false, false, true] });
  page.heard.get("load")();
  page.after(600);
  assert.ok(page.says("did not load whole"));
  page.after(5_000);
  assert.equal(page.reloads, 0);
  page.after(5_000);
  assert.equal(page.reloads, 1);
});

test("a board that neither answers nor refuses is said too", () => {
  const page = opened({ fetches: [null] });
  page.heard.get("load")();
  page.after(600);
  assert.ok(!page.says("did not load"));
  page.after(5_000);
  assert.ok(page.says("did not load whole"));
});

test("it does not go on for ever, and a browser too old for it is told so", () => {
  const used = opened({ loads: 5 });
  used.heard.get("load")();
  used.after(60_000);
  assert.equal(used.reloads, 0);
  assert.ok(used.says("too old"));
  const old = opened({ hasFetch: false });
  old.heard.get("load")();
  old.after(600);
  assert.ok(old.says("too old"));
});
