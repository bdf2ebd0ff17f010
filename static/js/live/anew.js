// Why a page must come anew, and whether it may by itself: another role, another machine, another board, other forms.
//
// Told by the link of each word of the stream. One reason at a time, and never over somebody who is in the middle of
// something or whose reports are not sent: they are told (`message(words, helper)`), and it is tried again with the next
// word. Starts from: [data-made-of-settings] and [data-made-of-notices] on pages made of those. Emits nothing.

import { page } from "../page.js";
import { isBusy, isTakingUp, mayTakeUp, takeUp } from "./appointed.js";
import { isLeaving, reloaded } from "./reload.js";

const JOIN = "[data-link-join]";
const RELOAD = "[data-link-reload]";
const OTHER_ROLE = "This phone has joined again or has another role since this page was opened. Load it again.";
const OTHER_MACHINE = "Another machine keeps the board now. This page loads itself again as soon as everything is sent.";
const OTHER_BOARD = "Another board answers at this address now.";
const OWN_WIFI = "In another Wi-Fi than your board's? Go back to it: this page then goes on by itself. If your board was begun anew, join again.";
const COMMAND = "Something has changed about command. Load this page again to see it.";
const OTHER_FORMS = "The lead changed what this board works with. Load this page again to use it.";

const isMadeOf = (what) => document.querySelector(`[data-made-of-${what}]`) !== null;

export class Anew {
  #outbox;
  #message;
  #isOfOldCommand = false;

  constructor(outbox, message) {
    this.#outbox = outbox;
    this.#message = message;
  }

  /** What a word of the stream says of this phone and its page; `told` are the codes of the notices that changed with it. */
  follow({ role, granted, forms }, told) {
    // A page loaded anew while the session is still on its way comes as what it was before: nothing else then.
    if (role && role !== page.role) return this.otherRole(role);
    if (granted && mayTakeUp()) return this.#takeUp(granted);
    this.#isOfOldCommand ||= told.some((code) => /^(command|closed)/.test(code));
    if (this.#isOfOldCommand && isMadeOf("notices")) return this.#load(COMMAND);
    // The forms' lists are live; times to hold and systems to sort by stand in the page as it was made.
    if (forms > page.forms && isMadeOf("settings")) this.#load(OTHER_FORMS);
  }

  /** Whoever this phone is now, it is not whom this page was made for. */
  otherRole(who) {
    this.#load(OTHER_ROLE, who);
  }

  /** Another machine keeps the board, or this page shows what that board never had. */
  otherMachine() {
    this.#load(OTHER_MACHINE);
  }

  /**
   * This address now serves another incident. Reports for the old one stay on this phone under the old board's name. Only a
   * phone that is in on that one too goes there by itself: any other may be in the wrong Wi-Fi for a moment.
   */
  async otherBoard(isIn) {
    await this.#outbox.ready;
    const { unsent, parked } = this.#outbox.tally;
    if (isIn && parked === 0 && this.#mayLeave() && reloaded(OTHER_BOARD)) return;
    const kept = `${unsent + parked} of your reports are for the old board and stay on this phone: open their list to show them as text.`;
    const words = [OTHER_BOARD, isIn ? "" : OWN_WIFI, unsent + parked > 0 ? kept : ""];
    this.#message(words.filter(Boolean).join(" "), isIn ? RELOAD : JOIN);
  }

  #takeUp(role) {
    if (this.#mayLeave()) return takeUp();
    this.#message(`The lead has made you ${role}. Load the page again when you are done.`, RELOAD);
  }

  #load(why, key = why) {
    if (isTakingUp() || isLeaving()) return;
    if (!this.#mayLeave() || !reloaded(key)) this.#message(why, RELOAD);
  }

  // The browser would ask whoever has something unsent whether to leave, out of nowhere: that is sent first.
  #mayLeave() {
    return !isBusy() && this.#outbox.tally.unsent === 0;
  }
}
