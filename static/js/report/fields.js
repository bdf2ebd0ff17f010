// Reads a form's inputs into plain field values for build.js, and puts drafts back into them. Emits nothing.
//
// Attributes read per input: name, type, value, checked, min, max, required; data-type="int|bool|json", data-scale="10",
// data-words (the field's name in a message), data-ask (what to say when it is missing), data-whole (see build.js).

/** A choice and what is written beside it may answer the same field: their drafts are kept apart. */
const isPick = (input) => input.type === "checkbox" || input.type === "radio";
const keyOf = (input) => (isPick(input) ? input.name : `${input.name}=`);

const named = (form) => [...form.elements].filter((input) => input.name && !input.disabled);

/** All named inputs as plain values. A required radio group with no choice is told on its first member. */
export function readFields(form) {
  const inputs = named(form);
  const chosen = new Set(inputs.filter((input) => input.type === "radio" && input.checked).map((input) => input.name));
  const told = new Set();
  return inputs.map((input) => {
    const { name, value, type, checked, min, max, dataset } = input;
    const first = !told.has(name);
    told.add(name);
    const unset = type === "radio" && input.required && first && !chosen.has(name) && "unset";
    return {
      name, value, type, checked, min, max,
      hidden: type === "hidden",
      required: type === "radio" ? unset : input.required,
      as: dataset.type,
      scale: dataset.scale,
      words: dataset.words,
      ask: dataset.ask,
      whole: dataset.whole,
      was: input.defaultValue,
    };
  });
}

const isThePages = ({ dataset, value }) => dataset.noneLeft !== undefined && value === "0";

/** What was filled in so far, as something to keep; null when nothing was. */
export function readDraft(form) {
  const draft = {};
  for (const input of named(form)) {
    // How long ago is no value: it is kept as the moment it meant (draft.js). What the page set itself is nobody's (left.js).
    if (input.type === "hidden" || input.name === "_ago" || isThePages(input)) continue;
    const key = keyOf(input);
    if (isPick(input)) {
      if (input.checked !== input.defaultChecked) draft[key] = { ...draft[key], [input.value]: input.checked };
    } else if (input.value !== (input.defaultValue ?? "")) {
      draft[key] = input.value;
    }
  }
  return Object.keys(draft).length > 0 ? draft : null;
}

/** Puts a kept draft back. */
export function writeDraft(form, draft) {
  for (const input of named(form)) {
    const kept = draft[keyOf(input)];
    if (kept === undefined) continue;
    if (isPick(input)) {
      if (kept[input.value] !== undefined) input.checked = kept[input.value];
    } else {
      input.value = kept;
    }
  }
}
