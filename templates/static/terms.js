/* Finds words in the glossary: an entry stays in sight if it holds all that is typed, in its name, its other names or its text. */
(() => {
  "use strict";
  const form = document.querySelector(".search"), box = form.querySelector("input"), status = form.querySelector("[role=status]");
  const plain = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replace(/\s+/g, " ");
  const entries = [...document.querySelectorAll(".entry")].map((node) => [node, plain(node.textContent)]);

  function find() {
    const words = plain(box.value).split(" ").filter(Boolean);
    let count = 0;
    for (const [node, text] of entries) {
      node.hidden = !words.every((word) => text.includes(word));
      count += !node.hidden;
    }
    for (const section of document.querySelectorAll(".letter")) section.hidden = !section.querySelector(".entry:not([hidden])");
    const { found, none } = status.dataset;
    status.textContent = words.length ? (count ? found.replace("{count}", count) : none) : "";
  }

  // A word that is linked to is seen, whatever was sought before.
  addEventListener("hashchange", () => {
    if (!document.getElementById(location.hash.slice(1))?.closest("[hidden]")) return;
    box.value = "";
    find();
    document.getElementById(location.hash.slice(1)).scrollIntoView();
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  box.addEventListener("input", find);
  form.hidden = false;
  if (box.value) find();  // what the browser has kept of an earlier visit
})();
