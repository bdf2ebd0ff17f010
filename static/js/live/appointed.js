// Taking up what the lead has made of this device since its page was loaded: a fresh session, then that role's page.
//
// Called by the link with each word of it. Whoever is in the middle of something is not interrupted: they are told, and
// load when they wish. Emits nothing.

import { atHome } from "../report/views.js";

/** Whether somebody is in the middle of something: in any view on top of the page, hands on a wound among them, or writing. */
export const isBusy = () => !atHome() || document.querySelector("[data-report-form]:focus-within, dialog[open]") !== null;

let asking = false;

/** Asks for a session in the role given to this device; `tell` says what a person must know. */
export async function takeUp(role, tell) {
  if (isBusy()) return tell(`The lead has made you ${role}. Load the page again when you are done.`);
  if (asking) return;
  asking = true;
  try {
    const answer = await fetch("/session/renewal", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: "{}",
      redirect: "manual",
    });
    const { next } = await answer.json();
    if (answer.ok && typeof next === "string" && /^\/[a-z]+$/.test(next)) location.assign(next);
  } catch {
    // Out of range: the next heartbeat says it again.
  } finally {
    asking = false;
  }
}
