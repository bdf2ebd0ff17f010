// Starts from: [data-print], a button that opens the browser's print dialog. Emits nothing.

export function startPrint() {
  document.addEventListener("click", (event) => {
    if (event.target.closest("[data-print]")) window.print();
  });
}
