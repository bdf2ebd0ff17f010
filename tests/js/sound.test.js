// Sound that was interrupted: the badge must say so at once, and coming back may let it go on.
import assert from "node:assert/strict";
import test from "node:test";
import { Sound } from "../../static/js/alarm/sound.js";

const handlers = {};
const badge = { hidden: false };
const word = { textContent: "" };
let audio;
globalThis.localStorage = { getItem: () => null, setItem() {}, removeItem() {} };
globalThis.document = {
  body: { dataset: { role: "lead" } },
  hidden: false,
  addEventListener: (name, handler) => { (handlers[name] ??= []).push(handler); },
  querySelectorAll: (css) => (css === "[data-sound-off]" ? [badge] : [word]),
};
globalThis.window = {
  addEventListener() {},
  AudioContext: class {
    state = "suspended";
    resumed = 0;
    constructor() { audio = this; }
    async resume() { this.resumed += 1; this.state = "running"; }
    createOscillator() { return { frequency: {}, connect: (to) => to, start() {}, stop() {} }; }
    createGain() { return { gain: { setValueAtTime() {}, exponentialRampToValueAtTime() {} }, connect: (to) => to }; }
  },
};
const settle = () => new Promise((resolve) => setTimeout(resolve, 5));

test("an interruption shows SOUND OFF by itself; the return wakes it", async () => {
  new Sound().start();
  handlers.click[0]({ target: { closest: () => true } });
  await settle();
  assert.equal(badge.hidden, true);
  audio.state = "interrupted";
  audio.onstatechange();
  assert.equal(badge.hidden, false);
  for (const back of handlers.visibilitychange) back();
  await settle();
  assert.equal(audio.resumed, 2);
  assert.equal(badge.hidden, true);
});
