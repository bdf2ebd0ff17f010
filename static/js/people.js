// Who is here, who was last heard when, and who has gone quiet with casualties in their hands: for the lead.
//
// Starts from: [data-person="<device>"] with data-name, data-has ("4, 7") and [data-person-heard]; [data-gone-quiet] lists
// who has gone quiet. Listens to the document event "holdfast:people" with what the board says of each device: {device,
// heard, live, waiting, removed}. Emits nothing.

import { setText } from "./page.js";
import { contactWords, quietWords } from "./contact.js";
import { onTick } from "./time/tick.js";

export function startPeople(clock) {
  let contacts = [];
  const paint = () => {
    const known = new Map(contacts.map((contact) => [contact.device, contact]));
    const quiet = [];
    for (const person of document.querySelectorAll("[data-person]")) {
      const contact = known.get(person.dataset.person);
      if (!contact) continue;
      setText(person.querySelector("[data-person-heard]"), contactWords(contact, clock.now()));
      const words = quietWords(contact, person.dataset, clock.now());
      if (words) quiet.push(words);
    }
    for (const list of document.querySelectorAll("[data-gone-quiet]")) show(list, quiet);
  };
  document.addEventListener("holdfast:people", ({ detail }) => {
    contacts = detail;
    paint();
  });
  document.addEventListener("holdfast:patched", paint);
  onTick(paint);
}

function show(list, lines) {
  list.hidden = lines.length === 0;
  if ([...list.children].map((line) => line.textContent).join("\n") === lines.join("\n")) return;
  list.replaceChildren(...lines.map((words) => {
    const line = document.createElement("li");
    line.textContent = words;
    return line;
  }));
}
