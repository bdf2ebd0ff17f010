// Taking warnings off the screens once the lead has seen to them.
//
// Starts from: [data-warnings-seen], a button; says in it what became of it. Emits nothing.

export function startWarnings() {
  const button = document.querySelector("[data-warnings-seen]");
  button.addEventListener("click", async () => {
    button.disabled = true;
    try {
      const headers = { "Content-Type": "application/json", "X-Holdfast": "1" };
      const answer = await fetch("/warnings/seen", { method: "POST", headers, body: "{}" });
      button.textContent = answer.ok ? "Off the screens" : "Not done: try again";
      button.disabled = answer.ok;
    } catch {
      button.textContent = "Not done: no network";
      button.disabled = false;
    }
  });
}
