// Whether the page came whole: over a bad link a script can get lost, and without it the buttons do nothing.
//
// Starts from: itself, in the head, before the other scripts; no imports and no exports, and no syntax newer than ES2015, so
// that a browser too old for the rest can still say so. Where the page has not started it loads it again, a few times, each
// time later, and says so when that did not help; out of range it says so at once and waits until the board answers, for the
// browser would put its own error page in the place of what can be read. Hears "holdfast:started", by which app.js tells
// that it runs, and marks the page with data-started; where not even this script came, the line .half in the page says so.
// What was sent off from a form before that is kept from the address bar and sent then. Emits nothing.
{
  const TRIES = 5;
  const FIRST_WAIT = 500;
  const ASK_AGAIN = 5000;
  /** What is not there by then hangs: a link that swallows packets tells of nothing. What came is kept and need not come again. */
  const STARTS_WITHIN = 15000;
  const KEY = "holdfast/loads";
  const LOST = "This page did not load whole. Look whether this device is on the board's Wi-Fi, then load it again.";
  const NO_HELP = LOST + " If that does not help, this browser may be too old for it: try another one.";
  let isStarted = false;
  let early = null;
  let isComing = false;
  let line = null;

  const tries = () => {
    try {
      return Number(sessionStorage.getItem(KEY) || 0);
    } catch (error) {
      return TRIES;
    }
  };
  const remember = (count) => {
    try {
      sessionStorage.setItem(KEY, String(count));
      return true;
    } catch (error) {
      return false;
    }
  };

  const show = () => {
    if (document.body && line) document.body.insertBefore(line, document.body.firstChild);
  };
  const say = (words) => {
    if (!line) {
      line = document.createElement("p");
      line.className = "error";
      line.setAttribute("role", "alert");
      if (!document.body) document.addEventListener("DOMContentLoaded", show);
    }
    if (line.textContent !== words) line.textContent = words;
    show();
  };

  const comeAgain = () => {
    if (isStarted) return;
    if (!window.fetch) return say(NO_HELP);
    const slow = setTimeout(() => say(LOST), ASK_AGAIN);
    const notThere = () => {
      clearTimeout(slow);
      say(LOST);
      setTimeout(comeAgain, ASK_AGAIN);
    };
    fetch(location.href, { cache: "no-store", credentials: "same-origin" }).then(() => {
      if (!isStarted) location.reload();
    }, notThere);
  };
  const again = () => {
    if (isComing || isStarted) return;
    isComing = true;
    const count = tries();
    if (count < TRIES && remember(count + 1)) setTimeout(comeAgain, FIRST_WAIT * Math.pow(2, count));
    else say(NO_HELP);
  };

  // A script that does not come says so on its element alone; one that cannot be read does not say so at all.
  document.addEventListener("error", (event) => {
    if (event.target instanceof HTMLScriptElement) again();
  }, true);
  window.addEventListener("load", again);
  setTimeout(again, STARTS_WITHIN);
  document.addEventListener("submit", (event) => {
    if (isStarted) return;
    event.preventDefault();
    early = event.target;
  }, true);
  document.addEventListener("holdfast:started", () => {
    isStarted = true;
    document.documentElement.setAttribute("data-started", "");
    remember(0);
    if (line) line.remove();
    if (early) early.requestSubmit();
  });
}
