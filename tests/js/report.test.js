// The bar that undoes: what it calls undone is what was struck, also when another report is kept in that very moment.
import assert from "node:assert/strict";
import test from "node:test";

/** As much of the bar as the script uses. */
function bar() {
  const text = { textContent: "" };
  const undo = { hidden: false };
  const all = { "[data-undo-text]": text, "[data-undo]": undo };
  return { hidden: true, dataset: {}, text, undo, querySelector: (css) => all[css] ?? null };
}

/** An outbox whose `add` ends when the test says so. */
function slowOutbox() {
  const items = [];
  const waiting = [];
  return {
    items,
    add: (report) => new Promise((kept) => {
      waiting.push(() => {
        const at = "2026-11-25T14:03:00Z";
        const item = { ...report, id: `e${items.length}`, seq: items.length, state: "kept", happened_at: at, tapped_at: at };
        items.push(item);
        kept(item);
      });
    }),
    find: (id) => items.find((item) => item.id === id) ?? null,
    /** The oldest that waits is on the phone now. */
    async keeps() {
      waiting.shift()();
      await new Promise(setImmediate);
    },
  };
}

test("a report kept while another is undone is offered, and not called undone", async () => {
  const shown = bar();
  let click;
  let repaint;
  globalThis.window = { addEventListener() {} };
  globalThis.document = {
    body: { dataset: {} },
    documentElement: { toggleAttribute() {}, removeAttribute() {} },
    addEventListener: (name, handler) => { 
      if (name === "click") click = handler;
      if (name === "holdfast:outbox") repaint = handler;
    },
    querySelector: (css) => (css === "[data-undo-bar]" ? shown : null),
    querySelectorAll: () => [],
  };
  const { Reporter } = await import("../../static/js/report/report.js");
  const outbox = slowOutbox();
  const reporter = new Reporter(outbox, { now: () => Date.parse("2026-11-25T14:03:05Z") });
  reporter.start();
  const report = (said, kind) => reporter.append({ about: { wound: "w" }, fact: { kind }, casualty: "c", said });

  report("still bleeding", "wound.looked/1");
  await outbox.keeps();
  assert.match(shown.text.textContent, /^still bleeding/);

  report("packed", "step.taken/2");
  click({ target: { closest: (css) => (css === "[data-undo]" ? {} : null) } });
  await outbox.keeps();
  await outbox.keeps();

  const strike = outbox.items.find((item) => item.fact.kind === "entry.struck/1");
  assert.equal(outbox.find(strike.fact.entry).said, "still bleeding");
  assert.match(shown.text.textContent, /^packed/);
  assert.doesNotMatch(shown.text.textContent, /undone/);
  assert.equal(shown.undo.hidden, false, "and can be undone itself");

  // An undo that the board refuses undoes nothing, and is offered again.
  click({ target: { closest: (css) => (css === "[data-undo]" ? {} : null) } });
  await outbox.keeps();
  assert.match(shown.text.textContent, /undone/);
  outbox.items.at(-1).state = "parked";
  repaint();
  assert.doesNotMatch(shown.text.textContent, /undone/);
  assert.equal(shown.undo.hidden, false);
});
