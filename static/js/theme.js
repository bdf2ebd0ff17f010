// The look of the page: light, dark or night; remembered on this device, first taken from the device's own wish.
//
// Starts from: [data-theme-toggle] (its child [data-theme-word], if any, names the look). No imports and no exports,
// so that it may run in the head before anything is painted, as a classic script or as a module. Emits nothing.
{
  const LOOKS = ["light", "dark", "night"];
  const KEY = "holdfast/theme";
  const root = document.documentElement;

  const remembered = () => {
    try {
      return localStorage.getItem(KEY);
    } catch {
      return null;
    }
  };
  const show = (look) => {
    root.dataset.theme = look;
    for (const word of document.querySelectorAll("[data-theme-word]")) word.textContent = look;
  };
  const first = () => {
    if (LOOKS.includes(remembered())) return remembered();
    return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  };

  show(first());
  document.addEventListener("DOMContentLoaded", () => show(root.dataset.theme));
  document.addEventListener("click", (event) => {
    if (!event.target.closest?.("[data-theme-toggle]")) return;
    const next = LOOKS[(LOOKS.indexOf(root.dataset.theme) + 1) % LOOKS.length];
    show(next);
    try {
      localStorage.setItem(KEY, next);
    } catch {
      // The look holds for this page only.
    }
  });
}
