// What this page is: its board, its device and the journal position it shows.
//
// Starts from: <body data-board data-seq data-epoch data-forms data-view data-device data-role data-name data-now data-rate data-build>.
// Emits nothing. Every other module asks here instead of reading the body itself.

const data = () => document.body.dataset;

export const page = {
  get board() { return data().board ?? ""; },
  get device() { return data().device ?? ""; },
  get role() { return data().role ?? ""; },
  /** Whether this device runs the incident: the lead's, or a deputy's. */
  get leads() { return this.role === "lead" || this.role === "deputy"; },
  get name() { return data().name ?? ""; },
  get build() { return data().build ?? ""; },
  /** The journal position at which the times and systems in this page's forms last changed. */
  get forms() { return Number(data().forms) || 0; },
  /** The live views this page shows, e.g. ["board"]; empty for a page that is not live. */
  get views() { return (data().view ?? "").split(/[\s,]+/).filter(Boolean); },
  /** Whether this page is about something that does not change by itself: it hears the board, and follows nothing. */
  get standsStill() { return this.views.includes("pulse"); },
  /** Which machine's board `seq` is a position of, or null. */
  get epoch() { return data().epoch || null; },
  /** Board time in ms at which the server rendered this page, or NaN. */
  get renderedAt() { return Date.parse(data().now ?? ""); },
  /** Board seconds per real second. */
  get rate() { return Number(data().rate) || 1; },
  /** The journal position of what is on the screen now. */
  get seq() { return Number(data().seq) || 0; },
  set seq(seq) {
    if (Number.isSafeInteger(seq) && seq > this.seq) data().seq = String(seq);
  },
};

/** Names one open document among the tabs of this device. */
export const tabId = Array.from(crypto.getRandomValues(new Uint8Array(8)), (byte) => byte.toString(16).padStart(2, "0")).join("");

/** Asks to be told when this page comes back to the eye or the network comes back. */
export function onReturn(callback) {
  document.addEventListener("visibilitychange", () => { if (!document.hidden) callback(); });
  window.addEventListener("pageshow", (event) => { if (event.persisted) callback(); });
  window.addEventListener("online", () => callback());
}

/** Asks to be told when this page leaves the eye; a phone may stop it at any moment after that. */
export function onLeave(callback) {
  document.addEventListener("visibilitychange", () => { if (document.hidden) callback(); });
  window.addEventListener("pagehide", () => callback());
}

/** Speaks to the person, in words, through the polite live region [data-say]. */
export function say(words) {
  const place = document.querySelector("[data-say]");
  if (place) place.textContent = words;
}

/**
 * Tells the person, in sight and aloud, what went wrong or what they must know now: [data-told], until the next report or
 * the next words; nothing takes it away.
 */
export function tell(words) {
  for (const place of document.querySelectorAll("[data-told]")) {
    setText(place, words);
    place.hidden = words === "";
  }
}

let outOfSight = false;
globalThis.document?.addEventListener("visibilitychange", () => { outOfSight ||= document.hidden; });

/** Whether this page was out of sight at any time since this was last asked. */
export function wasAway() {
  const was = outOfSight || document.hidden;
  outOfSight = document.hidden;
  return was;
}

/** What a person is told where a question to the board came to nothing. */
export const NO_NETWORK = "No network. Nothing is lost; tap again.";

/** Sets text only when it differs, so that screen readers and layout are left in peace. */
export function setText(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}
