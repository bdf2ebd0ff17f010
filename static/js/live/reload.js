// Loading the page anew by itself, and never in a circle: a cached page may name an older board. Emits nothing.

import { keep, recall } from "../kept.js";

const AGAIN = 30_000;

/** Loads the page anew and gives true; false, and nothing, when it did so lately. */
export function reloaded() {
  const ago = Date.now() - recall("reloaded", 0);
  // A time ahead of now is left from before the phone's clock was set back.
  if (ago >= 0 && ago < AGAIN) return false;
  keep("reloaded", Date.now());
  location.reload();
  return true;
}
