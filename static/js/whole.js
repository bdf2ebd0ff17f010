// Whether the page came whole: over a bad link a script can get lost, and without it the buttons do nothing.
//
// Starts from: itself, in the head, before the other scripts; no imports and no exports. Where a script did not come it loads
// the page again, a few times, each time later; then it says so. Hears "holdfast:started", by which app.js tells that it
// runs, and marks the page with data-started. What was sent off from a form before that is kept from the address bar and
// sent then. Emits nothing.
{
  const TRIES = 5;
  const FIRST_WAIT = 500;
  const KEY = "holdfast/loads";
  let isStarted = false;
  let early = null;
  let isComing = false;

  const tries = () => {
    try {
      return Number(sessionStorage.getItem(KEY) ?? 0);
    } catch {
      return TRIES;
    }
  };
  const remember = (count) => {
    try {
      sessionStorage.setItem(KEY, String(count));
      return true;
    } catch {
      return false;
    }
  };

  const again = () => {
    if (isComing || isStarted) return;
    isComing = true;
    const count = tries();
    if (count < TRIES && remember(count + 1)) return setTimeout(() => location.reload(), FIRST_WAIT * 2 ** count);
    const line = document.createElement("p");
    line.className = "error";
    line.setAttribute("role", "alert");
    line.textContent = "This page did not load whole. Look whether this device is on the board's Wi-Fi, then load it again.";
    const show = () => document.body.prepend(line);
    if (document.body) show();
    else document.addEventListener("DOMContentLoaded", show);
  };

  // A script that does not come says so on its element alone.
  document.addEventListener("error", ({ target }) => {
    if (target instanceof HTMLScriptElement) again();
  }, true);
  document.addEventListener("submit", (event) => {
    if (isStarted) return;
    event.preventDefault();
    early = event.target;
  }, true);
  document.addEventListener("holdfast:started", () => {
    isStarted = true;
    document.documentElement.dataset.started = "";
    remember(0);
    early?.requestSubmit();
  });
}
