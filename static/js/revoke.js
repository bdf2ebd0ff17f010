// Removing a device: rare and hard on the one it hits, so it takes a second tap.
//
// Starts from: [data-revoke="<device>"] on a button. Says what became of it in the button itself. Emits nothing.

const ARMED_FOR = 5_000;

export function startRevoke() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-revoke]");
    if (!button || button.disabled) return;
    if (button.dataset.armed === undefined) return arm(button);
    revoke(button);
  });
}

function arm(button) {
  const words = button.textContent;
  button.dataset.armed = "";
  button.textContent = "Tap again to remove";
  setTimeout(() => {
    if (button.disabled) return;
    delete button.dataset.armed;
    button.textContent = words;
  }, ARMED_FOR);
}

async function revoke(button) {
  button.disabled = true;
  try {
    const answer = await fetch(`/devices/${button.dataset.revoke}/revocation`, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Holdfast": "1" },
      body: "{}",
    });
    button.textContent = answer.ok ? "Removed" : "Not removed: try again";
    button.disabled = answer.ok;
  } catch {
    button.textContent = "Not removed: no network";
    button.disabled = false;
  }
}
