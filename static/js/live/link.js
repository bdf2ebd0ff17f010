// Whether this page is live, told truthfully: a stale screen must never look live.
//
// Starts from: a body with data-view. Shows [data-live] ("live 14:07:32", "not live since 14:07"), sets
// body data-link="checking|live|stale|lost", and says what a person must do in [data-link-message], with the link
// [data-link-join] where they must join (again, or another board) and the button [data-link-reload] where the page must be
// loaded again; whether it loads itself is anew.js's.
// [data-as-of] says for paper how far this page has heard. Feeds the board clock. Emits the document events "holdfast:live"
// when the page has become live, and "holdfast:head" with each word of where the journal stands.

import { onReturn, page, say, setText } from "../page.js";
import { dayHour, hour } from "../time/format.js";
import { onTick } from "../time/tick.js";
import { Anew } from "./anew.js";
import { showNotices } from "./notices.js";
import { Patcher } from "./patch.js";
import { subscribe } from "./share.js";

/** Three missed heartbeats. */
const STALE = 15_000;
const LOST = 45_000;
/** A clock that may be further off than this is told as "about". */
const UNSURE = 2_000;
/** While nothing is heard, ask for a new stream this often. */
const ASK_AGAIN = 15_000;

const JOIN_AGAIN = "The board asks this phone to join again. Nothing on it is lost.";
const NEWER_PAGE = "There is a newer version of this page.";

export class Link {
  #clock;
  #patcher = new Patcher();
  #anew;
  #live;
  #heardAt = null;
  #down = false;
  #foreign = false;
  #behind = 0;
  #spoken = "";
  #epoch = page.epoch;
  #heardHour = page.renderedAt;
  #checkingSince = performance.now();
  #askedAt = performance.now();

  constructor(clock, outbox) {
    this.#clock = clock;
    this.#anew = new Anew(outbox, (words, helper) => this.#message(words, helper));
  }

  start() {
    this.#live = subscribe(page.views, (message) => this.#hear(message));
    onReturn(() => this.#check());
    onTick(() => this.#paint());
    document.addEventListener("click", (event) => {
      if (event.target.closest("[data-link-reload]")) location.reload();
    });
    this.#paint();
  }

  // On return to view nothing is known: a connection may have died in its sleep.
  #check() {
    this.#heardAt = null;
    this.#checkingSince = this.#askedAt = performance.now();
    this.#paint();
  }

  #hear(message) {
    if (message.type === "refused" && message.board && message.board !== page.board) return this.#atOtherBoard(false);
    if (message.type === "refused" || (message.type === "bye" && message.reason === "revoked")) {
      return this.#message(JOIN_AGAIN, "[data-link-join]");
    }
    if (message.type === "bye" && message.reason === "role") return this.#anew.otherRole("");
    if (message.type === "down" || message.type === "open" || message.type === "bye") return this.#notice(message.type);
    if (message.board) this.#foreign = message.board !== page.board;
    if (message.board && this.#foreign) return this.#atOtherBoard(true);
    // The browser joined again in another tab: this page still names, and shows what is for, who it was before.
    if (message.device && message.device !== page.device) return this.#anew.otherRole(message.device);
    // Every stream begins with a hello; parts of another board must never get into this page.
    if (this.#foreign) return;
    // A hello told again to a newcomer has no time, and an old head.
    const isOther = message.now && message.head && this.#isOtherHistory(message.head);
    if (message.now) this.#clock.heard(Date.parse(message.now), message.rate);
    // A hello told again to a newcomer has no time: what it said of the board may be over.
    const told = message.now && message.notices ? showNotices(message.notices) : [];
    if (message.now && message.people) document.dispatchEvent(new CustomEvent("holdfast:people", { detail: message.people }));
    if (message.now && message.head) document.dispatchEvent(new CustomEvent("holdfast:head", { detail: message }));
    if (message.type === "parts") this.#patcher.take(message);
    else this.#patcher.heard(message.seq);
    this.#down = false;
    this.#heardAt = performance.now();
    this.#heardHour = this.#clock.now();
    if (message.type === "hello") this.#greet(message);
    // Whoever this phone is by now, the stream is healthy: that is noted first.
    if (isOther) this.#anew.otherMachine();
    else this.#anew.follow(message, told);
    this.#paint();
  }

  #atOtherBoard(isIn) {
    this.#foreign = true;
    this.#paint();
    this.#anew.otherBoard(isIn);
  }

  #notice(type) {
    if (type !== "open") this.#down = true;
    this.#paint();
  }

  #greet({ build }) {
    if (build && page.build && build !== page.build) return this.#message(NEWER_PAGE, "[data-link-reload]");
    this.#message("");
  }

  // Another machine keeps the board now, or this page shows what that board never had: nothing on it can be trusted.
  #isOtherHistory(head) {
    this.#epoch ??= head.epoch;
    // Once may be a heartbeat that was under way while this page was made.
    this.#behind = head.seq < page.seq ? this.#behind + 1 : 0;
    return head.epoch !== this.#epoch || this.#behind > 1;
  }

  #state(now) {
    const silent = now - (this.#heardAt ?? this.#checkingSince);
    if (silent > LOST || this.#foreign) return "lost";
    if (silent > STALE) return "stale";
    return this.#heardAt === null || this.#down ? "checking" : "live";
  }

  #paint() {
    const now = performance.now();
    const state = this.#state(now);
    const came = state === "live" && document.body.dataset.link !== "live";
    document.body.dataset.link = state;
    const spoken = state === "lost" ? "stale" : state;
    if (spoken !== "checking" && spoken !== this.#spoken) {
      // At the first word there is nothing to tell; the clock beside it runs on unspoken.
      if (this.#spoken) say(state === "live" ? "Live again" : this.#words(state));
      this.#spoken = spoken;
    }
    if (came) document.dispatchEvent(new CustomEvent("holdfast:live"));
    for (const place of document.querySelectorAll("[data-live]")) setText(place, this.#words(state));
    for (const place of document.querySelectorAll("[data-as-of]")) setText(place, this.#asOf());
    if ((state === "stale" || state === "lost") && now - this.#askedAt > ASK_AGAIN && !document.hidden) {
      this.#askedAt = now;
      this.#live.refresh();
    }
  }

  #words(state) {
    // A page that stands still may know that the board is there, and must not look as if it followed it.
    const word = page.standsStill ? "board reached" : "live";
    if (state === "live") return `${word} ${this.#about()}${hour(this.#clock.now(), true)}`;
    if (state === "checking") return "checking";
    return `not live since ${dayHour(this.#heardHour, this.#clock.now())}`;
  }

  // Paper does not go on: it can only say up to when it was true.
  #asOf() {
    return `as of ${this.#about()}${dayHour(this.#heardHour, this.#clock.now())}`;
  }

  #about() {
    return this.#clock.error() > UNSURE ? "about " : "";
  }

  #message(words, helper = null) {
    for (const place of document.querySelectorAll("[data-link-message]")) {
      setText(place, words);
      place.hidden = words === "";
    }
    for (const element of document.querySelectorAll("[data-link-join], [data-link-reload]")) {
      element.hidden = helper === null || !element.matches(helper);
    }
  }
}
