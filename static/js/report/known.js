// What this page knows somebody by: their number, words and place, from the board's own list or from what this phone said.
//
// Starts from: [data-known="<casualty>"] with data-number, data-words, data-where (live parts, in every page that reports).
// Emits nothing.

/** {number, words, where} of a casualty; empty strings for what nobody said. `items` are this phone's own reports. */
export function knownOf(casualty, items = []) {
  const shown = [...document.querySelectorAll("[data-known]")].find((one) => one.dataset.known === casualty)?.dataset;
  const mine = items.filter((item) => item.casualty === casualty);
  return {
    number: shown?.number ?? "",
    words: shown?.words ?? lastOf(mine, "words"),
    where: lastOf(mine.filter((item) => item.seq === null), "place") || (shown?.where ?? lastOf(mine, "place")),
  };
}

function lastOf(items, field) {
  const told = items.filter(({ fact }) => /^casualty\.(registered|moved|described)\//.test(fact.kind) && fact[field]);
  return told.at(-1)?.fact[field] ?? "";
}
