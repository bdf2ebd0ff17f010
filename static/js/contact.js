// What the board heard of a device, in words. Pure.
//
// `contact` is {heard, live, waiting, removed}: when it was last heard (RFC 3339, null for never since the board started),
// whether it holds a live stream, how many reports were only on it then.

import { dayHour } from "./time/format.js";

/** Somebody with casualties in their hands who was not heard for so long is told to the lead. Design choice, after the
 *  field guide's "out of reach for more than 5 minutes". */
export const QUIET_AFTER = 5 * 60_000;

/** "here now", "last heard 14:02, 2 not sent then". */
export function contactWords({ heard, live, waiting, removed }, now) {
  const unsent = waiting > 0 ? `, ${waiting} not sent ${live ? "yet" : "then"}` : "";
  if (removed) return `removed${unsent}`;
  if (live) return `here now${unsent}`;
  return heard ? `last heard ${dayHour(Date.parse(heard), now)}${unsent}` : "not heard since the board started";
}

/** "Ben was last heard 14:02, 2 not sent then, and has 4, 7"; "" for everybody else. */
export function quietWords(contact, { name, has }, now) {
  if (!has || contact.live) return "";
  const since = contact.heard ? Date.parse(contact.heard) : -Infinity;
  if (!contact.removed && now - since < QUIET_AFTER) return "";
  return `${name}: ${contactWords(contact, now)}, and has ${has}`;
}
