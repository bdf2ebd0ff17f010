// Views inside the page, so that nothing a helper needs has to be loaded: <section data-view-name="…" hidden>.
//
// Starts from: [data-view-name]; the one named "home" shows at first. [data-open="x"] shows view x with a context made
// of the opener's data-ctx-… attributes (data-ctx-region-words → region_words), on top of the context of the view it
// stands in; an opener in no view starts from nothing. [data-ctx="number"] gets the context's text; [data-if-ctx="name" | "name=value" | "!name"] shows only then;
// The view "home" may carry data-ctx-… itself: that is its context. [data-close] goes home; [data-back] goes one view back. Focus goes to [data-view-title].
// Back in the browser returns to the view before. Emits the document events "holdfast:view" {name, context} and, when only
// the context of the open view changes, "holdfast:context".

import { knownOf } from "./known.js";

const HOME = "home";

let current = { name: HOME, context: {}, depth: 0 };
let home = current;

/** Ms after which going back is taken for lost. */
const GOES_WITHIN = 1_000;
let goingSince = -Infinity;

export function startViews() {
  history.scrollRestoration = "manual";
  const first = viewNamed(HOME);
  home = { ...current, context: first ? contextFrom(first) : {} };
  const kept = history.state?.view;
  current = kept && viewNamed(kept.name) ? kept : home;
  history.replaceState({ view: current }, "");
  window.addEventListener("popstate", (event) => {
    goingSince = -Infinity;
    show(event.state?.view ?? home);
  });
  document.addEventListener("click", onClick);
  show(current, { focus: current.name !== HOME });
}

/** The context that holds for an element: that of the open view, unless the element stands in another one. */
export function contextOf(element) {
  const view = element.closest("[data-view-name]");
  return !view || view.dataset.viewName === current.name ? current.context : {};
}

/** Shows a view on top of the present one. */
export function openView(name, context = {}) {
  if (!viewNamed(name)) return console.error(`no view named ${name} on this page`);
  history.replaceState({ view: { ...current, scroll: window.scrollY } }, "");
  const next = { name, context, depth: current.depth + 1, scroll: 0 };
  history.pushState({ view: next }, "");
  show(next);
}

/** Back to the first view; the steps in between are taken back, so that Back does not lead into them again. */
export function goHome() {
  if (current.depth > 0) goBack(current.depth);
}

// A second tap before the browser has gone would go back again, out of this page.
function goBack(steps) {
  if (performance.now() - goingSince < GOES_WITHIN) return;
  goingSince = performance.now();
  history.go(-steps);
}

/** What to do after a report: "open:<view>" with this context, "home", or "again" for the same view from now. */
export function follow(then, context) {
  if (then === HOME || (context.mends && then === "again")) goHome();
  else if (then === "again") {
    amendContext({ at: context.at });
    document.dispatchEvent(new CustomEvent("holdfast:context", { detail: current.context }));
  }
  if (then?.startsWith("open:")) openView(then.slice("open:".length), unmended(context));
}

/** Corrects the context of the open view, for instance when the board has given a number. */
export function amendContext(changes) {
  current = { ...current, context: { ...current.context, ...changes } };
  history.replaceState({ view: current }, "");
  fill(viewNamed(current.name) ?? document.body, current.context);
}

/** Whether the page shows its first view, and no form on top of it. */
export const atHome = () => current.name === HOME;

/** What the open view is about. */
export const openContext = () => current.context;

/** The data-ctx-… attributes of an element as a context. */
export function contextFrom(element) {
  const context = {};
  for (const { name, value } of element.attributes) {
    if (name.startsWith("data-ctx-")) context[name.slice("data-ctx-".length).replaceAll("-", "_")] = value;
  }
  return context;
}

function onClick(event) {
  const opener = event.target.closest("[data-open]");
  if (opener) return openView(opener.dataset.open, { ...startOf(opener), ...contextFrom(opener) });
  if (event.target.closest("[data-close]")) return goHome();
  if (event.target.closest("[data-back]") && current.depth > 0) goBack(1);
}

/** What a view that opens starts from: what the view of its opener is about. The bar at the foot is about nobody. */
const startOf = (opener) => (opener.closest("[data-view-name]") ? unmended(contextOf(opener)) : {});

/** Mending is for the very view that was opened for it, not for those that follow. */
function unmended({ mends, mended_at, ...context }) {
  return context;
}

/** Whether this page has such a view. */
export const hasView = (name) => viewNamed(name) !== undefined;

function viewNamed(name) {
  return [...document.querySelectorAll("[data-view-name]")].find((view) => view.dataset.viewName === name);
}

function show(state, { focus = true } = {}) {
  current = state;
  for (const view of document.querySelectorAll("[data-view-name]")) view.hidden = view.dataset.viewName !== state.name;
  const view = viewNamed(state.name);
  fill(view ?? document.body, state.context);
  document.dispatchEvent(new CustomEvent("holdfast:view", { detail: { name: state.name, context: state.context } }));
  window.scrollTo(0, state.scroll ?? 0);
  if (focus) focusTitle(view);
}

/** Puts the context's words into a view; the document event "holdfast:view" follows a change of view. */
function fill(view, given) {
  const context = { where: given.casualty ? knownOf(given.casualty).where : "", ...given };
  for (const place of view.querySelectorAll("[data-ctx]")) place.textContent = context[place.dataset.ctx] ?? "";
  for (const part of view.querySelectorAll("[data-if-ctx]")) part.hidden = !holds(part.dataset.ifCtx, context);
}

function holds(condition, context) {
  if (condition.startsWith("!")) return !holds(condition.slice(1), context);
  const [name, value] = condition.split("=");
  return value === undefined ? Boolean(context[name]) : context[name] === value;
}

function focusTitle(view) {
  const title = view?.querySelector("[data-view-title]");
  if (!title) return;
  title.tabIndex = -1;
  title.focus({ preventScroll: true });
}
