// What a draft of a form is called among the values this device keeps. No state; emits nothing.

import { page } from "../page.js";
import { contextOf } from "./views.js";

/** The name of the draft of a form of this kind, in this view, about what the context says. */
export function draftName({ view, kind, context, about = "" }) {
  const { casualty, wound, kit, mends } = context;
  return `draft/${page.board}/${view}/${kind}/${mends ?? wound ?? casualty ?? kit ?? about}`;
}

/** The same for a form on this page. */
export function nameOf(form) {
  return draftName({ view: viewOf(form), kind: form.dataset.kind, context: contextOf(form), about: form.dataset.about });
}

/** In which view an element stands; "page" when in none. */
export const viewOf = (element) => element.closest("[data-view-name]")?.dataset.viewName ?? "page";
