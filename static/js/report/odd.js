// Odd numbers are asked about, never refused: "220? keep or change".
//
// Starts from: inputs with data-odd-below and data-odd-above in a form with [data-form-odd], [data-form-odd-words],
// [data-form-keep] and [data-form-change]. Emits nothing; holds the form's submit back until the person has said.

export function startOdd() {
  // Before the form's own report is made.
  document.addEventListener("submit", (event) => ask(event), { capture: true });
  document.addEventListener("click", (event) => {
    const form = event.target.closest("form");
    if (event.target.closest("[data-form-keep]")) keepAll(form);
    if (event.target.closest("[data-form-change]")) change(form);
  });
  document.addEventListener("holdfast:form", ({ target }) => {
    hide(target);
    for (const input of target.elements ?? []) delete input.dataset.oddKept;
  });
}

const isOdd = (input) => {
  const { oddBelow, oddAbove, oddKept } = input.dataset;
  if (oddBelow === undefined || input.value.trim() === "" || oddKept === input.value) return false;
  const number = Number(input.value.replace(",", "."));
  return Number.isFinite(number) && (number < Number(oddBelow) || number > Number(oddAbove));
};

const oddOnes = (form) => [...form.elements].filter(isOdd);

function ask(event) {
  const form = event.target;
  const place = form.querySelector("[data-form-odd]");
  const odd = place ? oddOnes(form) : [];
  if (!place) return;
  place.hidden = odd.length === 0;
  if (odd.length === 0) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  const words = odd.map((input) => `${input.dataset.words} ${input.value} ${input.dataset.unit ?? ""}?`);
  form.querySelector("[data-form-odd-words]").textContent = words.join(" ");
  place.querySelector("[data-form-keep]").focus();
}

function keepAll(form) {
  for (const input of oddOnes(form)) input.dataset.oddKept = input.value;
  hide(form);
  form.requestSubmit();
}

function change(form) {
  oddOnes(form)[0]?.focus();
  hide(form);
}

function hide(form) {
  const place = form.querySelector?.("[data-form-odd]");
  if (place) place.hidden = true;
}
