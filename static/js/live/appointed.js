// Taking up what the lead has made of this device since its page was loaded: a fresh session, then that role's page.
//
// Called by the link with each word of it. Whoever is in the middle of something is not interrupted: the link asks
// `isBusy` first, and loads nothing else while `isTakingUp`. Emits nothing.

import { tell } from "../page.js";
import { atHome } from "../report/views.js";
import { goTo } from "./reload.js";

/** A board that has not answered by then is asked again at the next heartbeat. */
const ANSWERS_WITHIN = 10_000;
/** One that could not just now is asked again after so long: meanwhile the stream's other words are heeded. */
const AGAIN = 12_000;

/** Whether somebody is in the middle of something: in any view on top of the page, hands on a wound among them, or writing. */
export const isBusy = () => !atHome() || document.querySelector("[data-report-form]:focus-within, dialog[open]") !== null;

let asking = false;
let notBefore = -Infinity;

/** Whether a session is on its way: a page asked for meanwhile may come as who this phone was. */
export const isTakingUp = () => asking;

/** Whether it is worth asking: a board that said no says it again, and other words of the stream must not wait for it. */
export const mayTakeUp = () => performance.now() >= notBefore;

/** Asks for a session in the role given to this device, and goes to that role's page. */
export async function takeUp() {
  if (asking) return;
  asking = true;
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), ANSWERS_WITHIN);
  try {
    const answer = await fetch("/session/renewal", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: "{}",
      redirect: "manual",
      signal: abort.signal,
    });
    const { next, detail } = await answer.json();
    if (answer.status === 403) return refused(detail);
    if (!answer.ok) notBefore = performance.now() + AGAIN;
    // Somebody began something meanwhile: the stream says who this phone is now, and the link waits for them.
    if (answer.ok && /^\/[a-z]+$/.test(next) && !isBusy()) goTo(next);
  } catch {
    // Out of range: the next heartbeat says it again.
  } finally {
    clearTimeout(timer);
    asking = false;
  }
}

// Asking again changes nothing, and the lead believes there is a deputy.
function refused(why) {
  notBefore = Infinity;
  tell(`You are named deputy, and this device cannot be it: ${why}`);
}
