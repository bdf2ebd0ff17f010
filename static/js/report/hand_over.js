// Handing over all casualties at once: one report for each, so that each can be undone or handed back by itself.
//
// Starts from: [data-hand-over="<device>"] with data-hand-over-name; whom this helper has is read from [data-mine="<id>"]
// with data-mine-number. Goes home afterwards. Emits nothing; appends to the outbox.

import { handsDown } from "../hands.js";
import { page, say } from "../page.js";
import { goHome } from "./views.js";

export function startHandOver(reporter) {
  leaveOutSelf();
  document.addEventListener("holdfast:patched", leaveOutSelf);
  let busy = false;
  document.addEventListener("click", async (event) => {
    const button = event.target.closest("[data-hand-over]");
    if (!button || busy || handsDown() >= 2) return;
    busy = true;
    try {
      await handOver(reporter, button.dataset.handOver, button.dataset.handOverName);
    } finally {
      busy = false;
    }
  });
}

// The list is one for everybody: whoever looks at it is left out here.
function leaveOutSelf() {
  for (const button of document.querySelectorAll("[data-hand-over]")) button.hidden = button.dataset.handOver === page.device;
}

async function handOver(reporter, helper, name) {
  const mine = [...document.querySelectorAll("[data-mine]")];
  for (const { dataset } of mine) {
    const about = { casualty: dataset.mine };
    const fact = { kind: "casualty.taken/1", helper };
    const item = await reporter.append({ about, fact, casualty: dataset.mine, said: `${dataset.mineNumber}: given to ${name}` });
    if (!item) return;
  }
  say(`${mine.length} handed to ${name}`);
  goHome();
}
