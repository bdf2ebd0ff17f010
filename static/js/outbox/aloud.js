// What is only on this phone, for when the board is gone: as plain text to read aloud or copy, and as codes of the same
// text for another phone's camera. Needs no network.
//
// Starts from: <dialog data-outbox-list> with the buttons [data-outbox-as-text] and [data-outbox-as-code],
// <textarea data-outbox-text>, and [data-outbox-code] holding [data-code-picture], [data-code-part], [data-code-next].
// Emits nothing.

import { page, setText } from "../page.js";
import { picture } from "../qr/picture.js";
import { aloud, pieces } from "./words.js";

/** How much text goes into one code, in bytes: a denser one is hard to scan off a wet screen (common practice). */
const IN_ONE = 180;

export function startAloud(outbox, clock) {
  const dialog = document.querySelector("dialog[data-outbox-list]");
  const part = (name) => dialog.querySelector(`[data-${name}]`);
  let at = 0;

  const lines = () => aloud({
    items: outbox.items,
    newer: outbox.newer,
    incident: document.querySelector(".top__name")?.firstChild?.textContent.trim() ?? "",
    name: page.name,
    now: clock.now(),
  });

  // There is no clipboard on plain HTTP: a text that is already selected can be copied, or read aloud by radio.
  const showText = () => {
    const text = part("outbox-text");
    text.hidden = false;
    text.value = lines().join("\n");
    text.rows = Math.min(14, text.value.split("\n").length + 1);
    text.focus({ preventScroll: true });
    text.scrollIntoView({ block: "end" });
    text.select();
  };

  const showCode = (step) => {
    const texts = pieces(lines(), IN_ONE);
    at = (at + step) % texts.length;
    part("outbox-code").hidden = false;
    part("code-picture").replaceChildren(picture(texts[at], `Code ${at + 1} of ${texts.length} with the reports as text`));
    setText(part("code-part"), texts.length > 1 ? `Code ${at + 1} of ${texts.length}` : "One code holds it all");
    part("code-next").hidden = texts.length === 1;
    part("outbox-code").scrollIntoView({ block: "end" });
  };

  dialog.addEventListener("click", ({ target }) => {
    if (target.closest("[data-outbox-as-text]")) showText();
    if (target.closest("[data-outbox-as-code]")) {
      at = 0;
      showCode(0);
    }
    if (target.closest("[data-code-next]")) showCode(1);
  });
  // What was read aloud an hour ago is no longer what is here.
  dialog.addEventListener("close", () => {
    part("outbox-text").hidden = true;
    part("outbox-code").hidden = true;
  });
  document.addEventListener("holdfast:outbox", () => {
    const text = part("outbox-text");
    if (!text.hidden) text.value = lines().join("\n");
    if (!part("outbox-code").hidden) showCode(0);
  });
}
