// Joining the board from a QR or by typing the code.
//
// Starts from: <form data-join-form> with inputs code, name and skill; [data-join-error] shows what went wrong.
// The code may come in the address after "#" (never sent to any server, and wiped from the address bar at once).
// Name and skill are remembered on this device. Whatever waits in the outbox stays. Emits nothing.

import { keep, recall } from "./kept.js";
import { setText } from "./page.js";

const TIMEOUT = 8_000;
const NO_ANSWER = "The board did not answer. Are you on its Wi-Fi? Please tap again.";

export function startJoin() {
  const form = document.querySelector("[data-join-form]");
  const { code, name, skill } = form.elements;
  const takeCode = () => {
    const fromAddress = codeIn(location.hash);
    if (fromAddress && code) code.value = fromAddress;
    if (location.hash) history.replaceState(history.state, "", location.pathname + location.search);
  };
  takeCode();
  // The poster scanned again while this page is open loads nothing anew.
  addEventListener("hashchange", takeCode);
  const known = recall("me", {});
  if (name && !name.value) name.value = known.name ?? "";
  // Where this comes late, what a person ticked meanwhile stands.
  const isUntouched = skill && [...skill].every((one) => one.checked === one.defaultChecked);
  if (isUntouched && known.skill) skill.value = known.skill;

  let busy = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    await join(form, { code: code?.value.trim() ?? "", name: name?.value.trim() ?? "", skill: skill?.value ?? "" });
    busy = false;
  });
}

/** The code after "#"; a broken address has none, and the person types it. */
export function codeIn(hash) {
  try {
    return decodeURIComponent(hash.slice(1));
  } catch {
    return "";
  }
}

async function join(form, wanted) {
  keep("me", { name: wanted.name, skill: wanted.skill });
  tell(form, "");
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), TIMEOUT);
  try {
    const answer = await fetch("/join", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: JSON.stringify(wanted),
      redirect: "manual",
      signal: abort.signal,
    });
    const body = await answer.json();
    if (answer.ok && isOwnPath(body.next)) return location.assign(body.next);
    tell(form, body.detail ?? body.title ?? NO_ANSWER);
  } catch {
    tell(form, NO_ANSWER);
  } finally {
    clearTimeout(timer);
  }
}

/** Only a path of this board is followed. */
function isOwnPath(next) {
  return typeof next === "string" && next.startsWith("/") && !next.startsWith("//") && !next.startsWith("/\\");
}

function tell(form, words) {
  for (const place of form.querySelectorAll("[data-join-error]")) {
    setText(place, words);
    place.hidden = words === "";
  }
}
