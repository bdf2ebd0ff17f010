// A turn that one tab of this device holds at a time, kept as a timestamp in localStorage.
//
// There are no Web Locks on plain HTTP. localStorage is not a lock: two tabs may, rarely, both believe they hold
// the lease for a moment. Whoever uses it must be right all the same (a resend is recognised by its id, a part
// applied twice changes nothing); the lease only saves work. Emits nothing.

import { forget, keep, recall } from "./kept.js";

export class TabLease {
  #name;
  #holder;
  #lasts;

  /** `lasts`: ms after which a holder that went silent loses the lease. */
  constructor(name, holder, lasts) {
    this.#name = `lease/${name}`;
    this.#holder = holder;
    this.#lasts = lasts;
  }

  /** Takes or renews the lease; false while another tab holds it. Without localStorage every tab holds its own. */
  take(now = Date.now()) {
    const held = recall(this.#name);
    const foreign = held && held.holder !== this.#holder;
    // A lease from the future is left over from before the phone's clock was set back.
    if (foreign && held.until > now && held.until <= now + this.#lasts) return false;
    keep(this.#name, { holder: this.#holder, until: now + this.#lasts });
    return true;
  }

  release() {
    if (recall(this.#name)?.holder === this.#holder) forget(this.#name);
  }
}
