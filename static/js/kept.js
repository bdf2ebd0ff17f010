// Small values kept on this device in localStorage, each under its own name.
//
// Pure shell around localStorage that never throws: private windows and full disks are ordinary here.

const PREFIX = "holdfast/";

/** The kept value, or `otherwise` when there is none or it cannot be read. */
export function recall(name, otherwise = null) {
  try {
    const text = localStorage.getItem(PREFIX + name);
    return text === null ? otherwise : JSON.parse(text);
  } catch {
    return otherwise;
  }
}

/** Keeps a value; says whether that worked. */
export function keep(name, value) {
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}

export function forget(name) {
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // Nothing was kept, so nothing is left behind.
  }
}
