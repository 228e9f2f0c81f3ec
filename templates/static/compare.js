/* Shows two movements of the table side by side: their drawings in one plate a row, so that one clock runs both, and their
   columns. Which two is said in the address after #. The drawings come as scripts, since a page from disk can fetch nothing else. */
addEventListener("load", () => {
  "use strict";
  const form = document.querySelector(".choose"), [left, right] = form.querySelectorAll("select"), player = window.betweenPlates;
  const rows = [...document.querySelectorAll("[data-row]")], slugs = [...left.options].map((option) => option.value);
  const absent = document.querySelector(".absent"), arrived = {}, waiting = {};
  let pair = [];

  window.compared = ({ slug, drawings }) => waiting[slug](drawings);
  const drawings = (slug) => (arrived[slug] ||= new Promise((resolve) => {
    waiting[slug] = resolve;
    document.head.append(Object.assign(document.createElement("script"), { src: `${slug}/compared.js` }));
  }));

  function half(svg, slug) {
    const made = document.createElement("div"), name = document.createElement("p");
    name.textContent = [...left.options].find((option) => option.value === slug).text;
    if (svg) made.innerHTML = svg;
    else made.append(Object.assign(absent.cloneNode(true), { hidden: false }));
    made.prepend(name);
    return made;
  }

  // A new plate in the place of the one before, at the same moment and as it ran.
  function fill(row, both) {
    const kind = row.dataset.row, old = row.querySelector("figure"), name = old?.dataset.drawing;
    row.hidden = !both.some((each) => each[kind]);
    if (row.hidden) return old?.remove();
    const plate = row.querySelector("template").content.querySelector("figure").cloneNode(true);
    const then = old && [player.time(name), player.running(name), player.speed(name)];
    plate.querySelector(".sheet").replaceChildren(...both.map((each, i) => half(each[kind], pair[i])));
    plate.dataset.drawing = `${kind} ${pair.join(" ")}`;
    if (old) old.replaceWith(plate);
    else row.append(plate);
    player.add(plate);
    if (!then) return;
    player.time(plate.dataset.drawing, then[0]);
    player.speed(plate.dataset.drawing, then[2]);
    player.run(plate.dataset.drawing, then[1]);
  }

  async function show(chosen) {
    pair = chosen;
    [left.value, right.value] = pair;
    history.replaceState(null, "", `#${pair.join("&")}`);
    for (const line of document.querySelectorAll(".compared tr")) {
      const cells = [...line.querySelectorAll("[data-of]")];
      for (const cell of cells) cell.hidden = !pair.includes(cell.dataset.of);
      for (const slug of pair) line.append(...cells.filter((cell) => cell.dataset.of === slug));
      for (const group of line.querySelectorAll(".group")) group.colSpan = 3;
    }
    const both = await Promise.all(pair.map(drawings));
    if (pair === chosen) for (const row of rows) fill(row, both);
  }

  // From the address; what is missing there or not known is filled up from the shelf.
  function read() {
    const asked = location.hash.slice(1).split("&").filter((slug) => slugs.includes(slug));
    show([...new Set([...asked, ...slugs])].slice(0, 2));
  }

  // A movement is not compared with itself: chosen twice, the two change places.
  form.addEventListener("change", ({ target }) => {
    const [one, other] = [left.value, right.value];
    show(one !== other ? [one, other] : target === left ? [one, pair[0]] : [pair[1], other]);
  });
  addEventListener("hashchange", read);
  document.documentElement.classList.add("comparing");
  form.hidden = false;
  read();
});
