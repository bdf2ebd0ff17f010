// Word chips: choosing words instead of typing them.
//
// Starts from: <div data-chips-for="words"> with buttons (data-chip, else their text); each toggles its word in the
// input of that name in the same form, as a comma-separated list; with data-chips-one a chip replaces what was there.
// aria-pressed tells which are in.
// Emits the input's own "input" event.

const words = (input) => input.value.split(",").map((word) => word.trim()).filter(Boolean);
const wordOf = (button) => button.dataset.chip ?? button.textContent.trim();
const inputOf = (chips) => chips.closest("form")?.elements.namedItem(chips.dataset.chipsFor);

export function startChips() {
  document.addEventListener("click", (event) => {
    const chips = event.target.closest("[data-chips-for]");
    const button = chips && event.target.closest("button");
    const input = button && inputOf(chips);
    if (!input) return;
    const word = wordOf(button);
    const present = words(input);
    const kept = chips.dataset.chipsOne === undefined ? present.filter((other) => other !== word) : [];
    const next = present.includes(word) ? kept : [...kept, word];
    input.value = next.join(", ");
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
  for (const type of ["input", "holdfast:form"]) {
    document.addEventListener(type, (event) => paint(event.target.form ?? event.target));
  }
  paint(document);
}

function paint(root) {
  for (const chips of root.querySelectorAll?.("[data-chips-for]") ?? []) {
    const input = inputOf(chips);
    const present = input ? words(input) : [];
    for (const button of chips.querySelectorAll("button")) {
      button.type = "button";
      button.setAttribute("aria-pressed", String(present.includes(wordOf(button))));
    }
  }
}
