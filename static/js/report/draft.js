// Drafts of forms: what one is called among the values this device keeps, and how old it is. No state; emits nothing.
//
// A kept draft is {at, then, fields}: when it was last written in (ms of board time), the moment it speaks of where one was
// said ("5 min ago" said at 14:00 is 13:55 for good), and what fields.js reads and writes.

import { recall } from "../kept.js";
import { page } from "../page.js";
import { contextOf } from "./views.js";

/** Older than this a draft is not silently gone on with: it speaks of another moment. Design choice. */
export const FRESH = 2 * 60_000;
const NAMES = /\$([a-z_]+)/g;

/**
 * The name of the draft of a form of this kind, in this view, about what the context says: whom it is about follows from
 * the form's own `about` and hidden fields, never from what else the context holds. `fresh` names what the form makes
 * anew; its id does not exist yet.
 */
export function draftName({ view, kind, context, about = "", hidden = [], fresh = "" }) {
  const names = [about, ...hidden].flatMap((text) => [...text.matchAll(NAMES)].map(([, name]) => name));
  const ids = [...new Set(names)].filter((name) => name !== fresh).map((name) => context[name]).filter(Boolean);
  return `draft/${page.board}/${view}/${kind}/${context.mends ?? (ids.join("+") || about)}`;
}

/** The same for a form on this page. */
export function nameOf(form) {
  const { kind, about, fact = "", new: fresh } = form.dataset;
  const hidden = [...form.querySelectorAll("input[type=hidden]")].map((input) => input.value);
  return draftName({ view: viewOf(form), kind, context: contextOf(form), about, hidden: [fact, ...hidden], fresh });
}

/** The kept draft of this name, or null. */
export function draftOf(name) {
  const kept = recall(name);
  return kept?.fields ? kept : null;
}

/** Whether so much time has passed since somebody wrote in it that it must say so. */
export const isOld = (kept, now) => Boolean(kept) && now - kept.at > FRESH;

/** The moment a form stands for when it is filled in again; null for now. What is mended keeps its own. */
export function momentOf(kept, mendedAt, now) {
  const moment = kept?.then ?? (mendedAt ? Date.parse(mendedAt) : null);
  return moment ?? (isOld(kept, now) ? kept.at : null);
}

/** The fields to put back: an hour written long ago may be another day's by now, and stands as a moment. */
export function fieldsOf(kept, now) {
  const { "_at=": _hour, ...others } = kept.fields;
  return isOld(kept, now) ? others : kept.fields;
}

/** In which view an element stands; "page" when in none. */
export const viewOf = (element) => element.closest("[data-view-name]")?.dataset.viewName ?? "page";
