// The body as a figure of buttons: one tap ticks the place and the side in the list of the same form.
//
// Starts from: [data-outline] in a form with radios named region and side; buttons [data-outline-region] with
// data-outline-side in [data-outline-figure="front|back"]; [data-outline-turn] turns the figure. The list is the truth:
// the figure shows what is ticked there, however it got ticked. Emits the radios' own "change" event.

const TURN = { front: "Turn to the back", back: "Turn to the front" };

export function startOutline() {
  document.addEventListener("click", (event) => {
    const place = event.target.closest("[data-outline-region]");
    if (place) return tick(place);
    const turn = event.target.closest("[data-outline-turn]");
    if (turn) turnOver(turn.closest("[data-outline]"), turn);
  });
  for (const type of ["change", "holdfast:form"]) {
    document.addEventListener(type, (event) => paint(event.target.closest?.("form")));
  }
}

function tick(place) {
  const form = place.closest("form");
  for (const [name, value] of [["region", place.dataset.outlineRegion], ["side", place.dataset.outlineSide]]) {
    const radio = [...form.elements].find((input) => input.name === name && input.value === value);
    if (!radio) continue;
    radio.checked = true;
    radio.dispatchEvent(new Event("change", { bubbles: true }));
  }
}

function turnOver(outline, button) {
  let shown = "front";
  for (const figure of outline.querySelectorAll("[data-outline-figure]")) {
    figure.hidden = !figure.hidden;
    if (!figure.hidden) shown = figure.dataset.outlineFigure;
  }
  button.textContent = TURN[shown];
}

function paint(form) {
  if (!form?.querySelector("[data-outline]")) return;
  const chosen = (name) => [...form.elements].find((input) => input.name === name && input.checked);
  const region = chosen("region");
  const side = chosen("side");
  const fits = (place) => place.dataset.outlineRegion === region?.value && place.dataset.outlineSide === side?.value;
  for (const place of form.querySelectorAll("[data-outline-region]")) place.setAttribute("aria-pressed", String(fits(place)));
  const words = [region, side].filter(Boolean).map((input) => input.parentElement.textContent.trim());
  form.querySelector("[data-outline-side-words]").textContent = words.join(", ");
}
