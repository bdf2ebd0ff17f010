// Mending a report that the board could not take: where it was said opens again, filled in as it was. What is said there
// goes as a new report, and the old one goes when that is safe.
//
// Works on items' `from` ({view, kind, context, draft}). What was said in a view that this page does not have, or by a
// button of the page itself, is offered as a note with its words. Emits nothing.

import { keep } from "../kept.js";
import { tell } from "../page.js";
import { draftName } from "../report/draft.js";
import { hasView, openView } from "../report/views.js";
import { hour } from "../time/format.js";

const NOWHERE = "It cannot be opened on this page. Open the page it was said on, or send it again.";

/** Opens the view to mend an item in; gives "" or why that cannot be done here. */
export function mend(item, said) {
  const { view, kind, context = {}, draft } = item.from ?? {};
  const mending = { mends: item.id, mended_at: item.happened_at };
  if (view && view !== "home" && hasView(view)) {
    const about = { ...context, ...mending };
    // As it was: "2 min ago" said then is another time now.
    const { _ago, ...rest } = draft ?? {};
    if (kind) keep(draftName({ view, kind, context: about }), { ...rest, _at: hour(Date.parse(item.happened_at)) });
    openView(view, about);
    tell(`Mending “${said}”: what you send here takes its place.`);
    return "";
  }
  if (!item.casualty || !hasView("note")) return NOWHERE;
  const number = context.number ?? said.split(":")[0];
  const about = { casualty: item.casualty, number, words: context.words ?? "", ...mending };
  const text = said.replace(/^[^:]{1,4}: /, "");
  keep(draftName({ view: "note", kind: "note.added/1", context: about }), { text, _at: hour(Date.parse(item.happened_at)) });
  openView("note", about);
  tell(`Mending “${said}”: this note takes its place.`);
  return "";
}
