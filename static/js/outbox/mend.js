// Mending a report that the board could not take: where it was said opens again, filled in as it was. What is said there
// goes as a new report, and the old one goes when that is safe.
//
// Works on items' `from` ({view, kind, context, draft}). What was said in a view that this page does not have, or by a
// button of the page itself, is offered as a note with its words. It stays a report of its own time, day included, until
// the person chooses another. Emits nothing.

import { keep } from "../kept.js";
import { tell } from "../page.js";
import { draftName } from "../report/draft.js";
import { hasView, openView } from "../report/views.js";

const HOLDS = "Its time holds unless you choose another.";
const NOWHERE = "It cannot be opened on this page. Open the page it was said on, or send it again.";

/** Opens the view to mend an item in; `when` is its time in words. Gives "" or why that cannot be done here. */
export function mend(item, said, when) {
  const { view, kind, context = {}, draft } = item.from ?? {};
  const mending = { mends: item.id, mended_at: item.happened_at };
  if (view && view !== "home" && hasView(view)) {
    const about = { ...context, ...mending };
    if (kind) keep(draftName({ view, kind, context: about }), asDraft(item, draft ?? {}));
    openView(view, about);
    tell(`Mending “${said}” of ${when}: what you send here takes its place. ${HOLDS}`);
    return "";
  }
  if (!item.casualty || !hasView("note")) return NOWHERE;
  const number = context.number ?? said.split(":")[0];
  const about = { casualty: item.casualty, number, words: context.words ?? "", ...mending };
  const text = said.replace(/^[^:]{1,4}: /, "");
  keep(draftName({ view: "note", kind: "note.added/1", context: about }), asDraft(item, { "text=": text }));
  openView("note", about);
  tell(`Mending “${said}” of ${when}: this note takes its place. ${HOLDS}`);
  return "";
}

/** Filled in as it was. The hour that was written, and "2 min ago", have become the item's own time. */
export function asDraft({ happened_at: at }, { "_at=": _at, _ago, ...fields }) {
  return { at: Date.parse(at), then: Date.parse(at), fields };
}
