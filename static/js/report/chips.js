// Word chips: choosing words instead of typing them.
//
// Starts from: <div data-chips-for="words"> with buttons (data-chip, else their text); each toggles its word in the
// input of that name in the same form, as a comma-separated list; with data-chips-one a chip replaces what was there.
// data-chips-from="<id>" makes the buttons of the words in that list, again whenever the board sends a newer one.
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
  document.addEventListener("holdfast:patched", make);
  make();
}

function make() {
  for (const chips of document.querySelectorAll("[data-chips-from]")) {
    const words = [...(document.getElementById(chips.dataset.chipsFrom)?.children ?? [])].map((one) => one.textContent);
    const present = [...chips.children].map(wordOf);
    if (words.length === present.length && words.every((word, at) => word === present[at])) continue;
    chips.replaceChildren(...words.map(chip));
  }
  paint(document);
}

function chip(word) {
  const button = document.createElement("button");
  button.textContent = word;
  return button;
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
