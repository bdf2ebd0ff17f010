// A number with keys instead of a keyboard.
//
// Starts from: <div data-stepper> with buttons data-step="-1", data-step="1" (or -5, 5 …) around one <input>; the
// input's min and max hold. An empty field starts from data-start, else from min, else from 0.
// data-unset marks a stepper nobody has touched. Each key is named after what it counts: "Blankets: one less". Emits the input's own "input" event.

export function startStepper() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-stepper] [data-step]");
    if (!button) return;
    event.preventDefault();
    const stepper = button.closest("[data-stepper]");
    const input = stepper.querySelector("input");
    input.value = String(stepped(input, stepper.dataset.start, Number(button.dataset.step)));
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
  for (const type of ["input", "holdfast:form"]) {
    document.addEventListener(type, (event) => paint(event.target.form ?? event.target));
  }
  paint(document);
  name();
  document.addEventListener("holdfast:patched", name);
}

// Seven keys that are all called "less" tell nobody who cannot see them which is which.
function name() {
  for (const stepper of document.querySelectorAll("[data-stepper]:not([data-named])")) {
    stepper.dataset.named = "";
    const subject = subjectOf(stepper.querySelector("label"));
    for (const key of stepper.querySelectorAll("[data-step]")) key.setAttribute("aria-label", `${subject}: ${key.getAttribute("aria-label")}`);
  }
}

/** What a label says by itself, without what stands small beside it and changes ("3 left"). */
export function subjectOf(label) {
  const own = [...(label?.childNodes ?? [])].filter(({ nodeType }) => nodeType === 3);
  return own.map(({ textContent }) => textContent).join(" ").replace(/\s+/g, " ").trim();
}

function stepped(input, empty, step) {
  const start = input.value.trim() === "" ? Number(empty ?? (input.min || 0)) : Number(input.value);
  const next = Math.round(((Number.isFinite(start) ? start : 0) + step) * 10) / 10;
  const low = input.min === "" ? -Infinity : Number(input.min);
  const high = input.max === "" ? Infinity : Number(input.max);
  return Math.min(high, Math.max(low, next));
}

function paint(root) {
  for (const stepper of root.querySelectorAll?.("[data-stepper]") ?? []) {
    stepper.toggleAttribute("data-unset", stepper.querySelector("input")?.value === "");
  }
}
