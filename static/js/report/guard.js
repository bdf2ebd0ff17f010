// The wrong-casualty guard: "is this 7?" when somebody reports on a casualty who was last seen elsewhere.
//
// Where a helper is follows from whom they reported on last. Asked once for each casualty and place; the tap that was held
// back goes on by itself after "yes". The lead is not asked: a lead reports on everybody from one place.
// Starts from: [data-guard], a dialog with [data-guard-number], [data-guard-words], [data-guard-where], [data-guard-here],
// [data-guard-yes] and [data-guard-no]. Emits nothing.

import { keep, recall } from "../kept.js";
import { page, say, setText, tell } from "../page.js";
import { isElsewhere } from "./elsewhere.js";
import { knownOf } from "./known.js";
import { contextFrom, contextOf, goHome } from "./views.js";

/** What is about where they are, or about the record itself. */
const FREE = ["move", "give", "same", "strike"];
const REPORTS = "[data-report], [data-open], [data-report-form] [type=submit], [data-triage-answer], [data-triage-treat], [data-triage-accept]";

export function startGuard(outbox, clock) {
  const dialog = document.querySelector("[data-guard]");
  let held = null;

  document.addEventListener("click", (event) => {
    const button = event.target.closest(REPORTS);
    if (!button || !isGuarded(button)) return;
    const casualty = button.dataset.casualty ?? { ...contextOf(button), ...contextFrom(button) }.casualty;
    const ask = casualty && question(casualty);
    if (!ask) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    held = { button, ...ask };
    show(ask);
  }, { capture: true });

  dialog.addEventListener("click", (event) => {
    if (event.target.closest("[data-guard-no]")) return close(false);
    if (event.target.closest("[data-guard-yes]")) close(true);
  });

  function question(casualty) {
    const { items } = outbox;
    const last = items.filter((item) => item.casualty && !item.fact.kind.startsWith("entry.struck/")).at(-1);
    if (!last) return null;
    const there = knownOf(casualty, items);
    const here = knownOf(last.casualty, items).where;
    const asked = { casualty, where: there.where, last: last.casualty, here, lastAt: last.made_at, now: clock.now() };
    return isElsewhere(asked, recall(name(), [])) ? { casualty, here, ...there } : null;
  }

  function show({ number, words, where, here }) {
    const fill = (part, text) => { for (const place of dialog.querySelectorAll(`[data-guard-${part}]`)) setText(place, text); };
    fill("number", number || "this casualty");
    fill("words", words);
    fill("where", where);
    fill("here", here);
    dialog.showModal();
  }

  function close(sure) {
    dialog.close();
    const { button, casualty, where } = held ?? {};
    held = null;
    if (!sure) {
      say("Nothing was reported.");
      return goHome();
    }
    keep(name(), [...recall(name(), []), { casualty, where, at: clock.now() }].slice(-50));
    // A live part may have been drawn anew meanwhile: a tap on what is no longer there reaches nobody.
    const there = button?.isConnected ? button : twinOf(button, document.querySelectorAll(REPORTS));
    if (there) there.click();
    else tell("The page changed meanwhile: nothing was reported. Tap it again.");
  }
}

/** The button that says the very same thing about the same casualty in the part that was drawn anew; undefined for none. */
export function twinOf(button, others) {
  if (!button?.dataset.report && !button?.dataset.open) return undefined;
  const says = (one) => JSON.stringify([one.dataset.report, one.dataset.open, one.dataset.casualty, Object.entries(contextFrom(one)).sort()]);
  return [...others].find((one) => !one.disabled && says(one) === says(button));
}

/** What is said of the casualty that the view's band names: nothing is asked about forms of the whole incident. */
function isGuarded(button) {
  const { open } = button.dataset;
  const view = open ? document.querySelector(`[data-view-name="${open}"]`) : button.closest("[data-view-name]");
  if (!view || FREE.includes(view.dataset.viewName)) return false;
  return view.dataset.viewName === "home" || view.querySelector("[data-ctx=where]") !== null;
}

const name = () => `guard/${page.board}`;
