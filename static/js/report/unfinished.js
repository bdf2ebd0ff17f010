// What a form says of itself when it is filled in again later: since when it was left, and for which moment it stands.
//
// offerMoment puts the moment first among the choices of when, in words and chosen; a tap on "now" is then a choice. tellOf
// puts a line above the form with "Go on" and "Start empty". Both go with quiet(form). Emits nothing.

const NOTE = "[data-unfinished]";
const MOMENT = "[data-when-moment]";

/** Offers a moment (ms) as the time of the report, chosen; `words` say it. Nothing where a form does not ask when. */
export function offerMoment(form, moment, words) {
  const place = form.querySelector(".picks--when");
  if (!place) return;
  const choice = document.createElement("label");
  choice.dataset.whenMoment = "";
  const input = document.createElement("input");
  Object.assign(input, { type: "radio", name: "_ago", value: new Date(moment).toISOString() });
  const span = document.createElement("span");
  span.textContent = words;
  choice.append(input, span);
  const legend = place.querySelector("legend");
  if (legend) legend.after(choice);
  else place.prepend(choice);
  input.checked = true;
}

/** Whether this form offers such a moment: then what is chosen there holds, "now" too. */
export const offersMoment = (form) => form.querySelector(MOMENT) !== null;

/** Says that a form was left unfinished; `empty` starts it anew. */
export function tellOf(form, words, empty) {
  const note = document.createElement("div");
  note.dataset.unfinished = "";
  note.className = "unfinished";
  note.setAttribute("role", "status");
  const line = document.createElement("p");
  line.textContent = words;
  note.append(line, button("Go on", () => note.remove()), button("Start empty", empty));
  form.prepend(note);
}

/** Takes both away. */
export function quiet(form) {
  for (const part of form.querySelectorAll(`${NOTE}, ${MOMENT}`)) part.remove();
}

function button(words, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "button button--small";
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}
