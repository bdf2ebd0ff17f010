// What a person was in the middle of, carried over when the element they were in is replaced by a newer one.
//
// Keeps which <details id> are open, what was typed into named fields, where the focus was and where the page stood.
// No state between calls; emits nothing.

const FOCUSABLE = "a[href], button, input, select, textarea, summary, [tabindex]";

/** Replaces `old` by `fresh`, carrying over open details, typed text and focus. */
export function replaceKeeping(old, fresh) {
  for (const details of [old, ...old.querySelectorAll("details[id]")]) {
    const twin = details.id && (details.id === fresh.id ? fresh : fresh.querySelector(`#${CSS.escape(details.id)}`));
    if (twin && "open" in details) twin.open = details.open;
  }
  for (const field of old.querySelectorAll("input[name], textarea[name], select[name]")) carryField(field, fresh);
  const focused = old.contains(document.activeElement) ? document.activeElement : null;
  const path = focused && pathTo(focused, old);
  old.replaceWith(fresh);
  if (focused) find(path, fresh)?.focus({ preventScroll: true });
}

/** Runs `change` with what stands in the upper part of the screen held where it is. */
export function holdingView(change) {
  const anchor = document.elementFromPoint(innerWidth / 2, innerHeight / 3)?.closest("[id]");
  const top = anchor?.getBoundingClientRect().top;
  change();
  const now = anchor && document.getElementById(anchor.id);
  // At the very top the top is what the person looks at: let news come in there.
  if (now && scrollY > 0) scrollBy(0, now.getBoundingClientRect().top - top);
}

function carryField(field, fresh) {
  const ticked = field.type === "checkbox" || field.type === "radio";
  const value = ticked ? `[value="${CSS.escape(field.value)}"]` : "";
  const twin = fresh.querySelector(`[name="${CSS.escape(field.name)}"]${value}`);
  if (!twin || twin.type !== field.type) return;
  if (ticked) {
    if (field.checked !== field.defaultChecked) twin.checked = field.checked;
    return;
  }
  if (field.value !== field.defaultValue) twin.value = field.value;
}

function pathTo(focused, root) {
  return { id: focused.id, at: [root, ...root.querySelectorAll(FOCUSABLE)].indexOf(focused) };
}

function find({ id, at }, root) {
  const same = id && (root.id === id ? root : root.querySelector(`#${CSS.escape(id)}`));
  return same || [root, ...root.querySelectorAll(FOCUSABLE)][at];
}
