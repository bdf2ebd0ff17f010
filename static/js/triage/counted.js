// A count taken with the thumb goes into the field it was taken for, with its window.
//
// Starts from: [data-counted-into="breaths"] around a counter, in a form with breaths_per_minute, breaths_counted.count
// and breaths_counted.seconds. A number changed by hand afterwards is no longer the counted one. Emits the input's "input".

export function startCounted() {
  document.addEventListener("holdfast:counted", ({ target, detail }) => {
    const place = target.closest("[data-counted-into]");
    if (!place) return;
    const into = place.dataset.countedInto;
    const { elements } = place.closest("form");
    const number = elements[`${into}_per_minute`];
    number.value = String(detail.perMinute);
    number.dispatchEvent(new Event("input", { bubbles: true }));
    elements[`${into}_counted.count`].value = String(detail.count);
    elements[`${into}_counted.seconds`].value = String(detail.seconds);
    place.closest("details").open = false;
  });
  document.addEventListener("input", ({ target }) => {
    const into = /^(breaths|pulse)_per_minute$/.exec(target.name ?? "")?.[1];
    if (!into || !target.form?.elements[`${into}_counted.count`]) return;
    for (const part of ["count", "seconds"]) target.form.elements[`${into}_counted.${part}`].value = "";
  });
}
