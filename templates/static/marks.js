/* Marks a part in every drawing of the page, and its row in the tables: by pointer, by focus, by a tap that stays. A row of figures
   marks the parts that its data-marks names. Where none is marked so, the parts stay marked that a text has named by an event
   "marks" (detail: their names). */
addEventListener("load", () => {
  "use strict";
  const all = (selector) => [...document.querySelectorAll(selector)];
  const rows = all("tr[data-part],tr[data-marks]");
  let pinned, told = [];
  const named = ({ target }) => ((own) => own?.marks || own?.part)(target.closest?.("[data-part],[data-marks]")?.dataset);
  function mark(name = pinned) {
    const names = name ? name.split(" ") : told;
    for (const node of all("[data-part]")) node.classList.toggle("marked", names.includes(node.dataset.part));
    for (const holder of all(".plate,table")) holder.classList.toggle("marking", !!holder.querySelector(".marked"));
  }
  function pin(name) {
    pinned = name === pinned ? undefined : name;
    mark();
  }
  rows.forEach((row) => (row.tabIndex = -rows.includes(row.previousElementSibling)));
  addEventListener("marks", ({ detail }) => {
    told = detail;
    pin(pinned);
  });
  document.addEventListener("pointerover", (event) => event.pointerType !== "touch" && mark(named(event)));
  document.addEventListener("focusin", (event) => mark(named(event)));
  document.addEventListener("focusout", () => mark());
  document.addEventListener("click", (event) => event.target.closest(".controls") || pin(named(event)));
  document.addEventListener("keydown", (event) => {
    const { key, target } = event, next = target[{ ArrowDown: "nextElementSibling", ArrowUp: "previousElementSibling" }[key]];
    if (key === "Escape") pin();
    if (!rows.includes(target)) return;
    if (key === "Enter") pin(named(event));
    if (!rows.includes(next)) return;
    event.preventDefault();
    target.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  });
});
