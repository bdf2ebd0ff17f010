// Keeps a sorted container sorted with as few moves as possible, and counts what moved.
//
// Works on <… data-sort> containers by their children's data-order (compared as strings; the server pads numbers).
// Children without data-order stay in front. No state; emits nothing.

/** Sorts one container's children; gives how many of `changed` (ids) now stand nearer the top. */
export function sortChildren(container, changed = new Set()) {
  const before = [...container.children];
  const after = [...before].sort((a, b) => compare(a.dataset.order ?? "", b.dataset.order ?? ""));
  const focused = container.contains(document.activeElement) ? document.activeElement : null;
  let place = container.firstElementChild;
  for (const child of after) {
    if (child === place) place = place.nextElementSibling;
    else container.insertBefore(child, place);
  }
  // Moving an element takes the focus from what is inside it.
  if (focused && document.activeElement !== focused) focused.focus({ preventScroll: true });
  return after.filter((child, at) => changed.has(child.id) && at < before.indexOf(child)).length;
}

function compare(a, b) {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
