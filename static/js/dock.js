// Tells the styles how high the dock at the foot of the screen is, so that what stays in sight stays above it.
//
// Starts from: .dock. Sets --dock on the page's root, in px; without it the styles fall back to one row.

export function startDock() {
  const dock = document.querySelector(".dock");
  new ResizeObserver(() => document.documentElement.style.setProperty("--dock", `${dock.offsetHeight}px`)).observe(dock);
}
