// Three short patterns of tones, after a tap only.
//
// Starts from: [data-sound-toggle] with [data-sound-word] inside, and [data-sound-off], which stays in sight while
// nothing can be heard. A browser plays nothing before a person has touched the page: until then it says off, whatever was chosen.
// Sound is an extra: no rule rests on its being heard. Emits nothing.

import { keep, recall } from "../kept.js";
import { onReturn, page, setText } from "../page.js";

const KEPT = "sound";
/** Pitch in Hz and start in s of each tone, each level a rhythm of its own. */
const PATTERNS = {
  critical: [[988, 0], [988, 0.18], [988, 0.36], [784, 0.62], [784, 0.8]],
  high: [[784, 0], [784, 0.28], [784, 0.56]],
  medium: [[523, 0]],
};
const TONE = 0.14;

export class Sound {
  #audio = null;
  /** On a lead's screen it is asked for; a helper's phone stays silent unless its owner wants otherwise. */
  #wanted = recall(KEPT, false);

  start() {
    document.addEventListener("click", (event) => {
      if (event.target.closest("[data-sound-toggle]")) this.#toggle();
      else if (this.#wanted) this.#wake();
    });
    // A call, or another app, interrupts it; coming back may let it go on.
    onReturn(() => (this.#wanted && this.#audio ? this.#wake() : this.#paint()));
    this.#paint();
  }

  get isOn() {
    return this.#wanted && this.#audio?.state === "running";
  }

  play(level) {
    if (!this.isOn) return;
    const now = this.#audio.currentTime;
    for (const [pitch, at] of PATTERNS[level] ?? []) this.#tone(pitch, now + at);
  }

  #toggle() {
    this.#wanted = !this.isOn;
    keep(KEPT, this.#wanted);
    if (this.#wanted) this.#wake().then(() => this.play("medium"));
    else this.#paint();
  }

  async #wake() {
    const Audio = window.AudioContext ?? window.webkitAudioContext;
    if (!Audio) return;
    try {
      if (!this.#audio) {
        this.#audio = new Audio();
        this.#audio.onstatechange = () => this.#paint();
      }
      if (this.#audio.state !== "running") await this.#audio.resume();
    } catch (error) {
      console.error(error);
    }
    this.#paint();
  }

  #tone(pitch, at) {
    const tone = this.#audio.createOscillator();
    const level = this.#audio.createGain();
    tone.frequency.value = pitch;
    level.gain.setValueAtTime(0.0001, at);
    level.gain.exponentialRampToValueAtTime(0.4, at + 0.02);
    level.gain.exponentialRampToValueAtTime(0.0001, at + TONE);
    tone.connect(level).connect(this.#audio.destination);
    tone.start(at);
    tone.stop(at + TONE);
  }

  #paint() {
    const on = this.isOn;
    for (const word of document.querySelectorAll("[data-sound-word]")) setText(word, on ? "on" : "off");
    for (const badge of document.querySelectorAll("[data-sound-off]")) badge.hidden = on || !page.leads;
  }
}
