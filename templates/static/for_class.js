/* The catalogue of drawings: what is chosen shows in the frame, and stands in the lines to copy. */
(() => {
  "use strict";
  const find = (selector) => document.querySelector(selector);
  const form = find(".options"), frame = find(".sight iframe"), text = find("#snippet"), said = find(".said");
  const { drawings, base, none, copied, by_hand } = JSON.parse(find("script.choices").textContent);
  const field = form.elements, off = ["labels", "table"];
  let height = frame.height, shown = field.drawing.value;

  const escaped = (words) => words.replace(/[&"<]/g, (sign) => `&#${sign.charCodeAt()};`);
  const now = () => drawings[field.drawing.value];

  // What differs from the drawing as it is: two of the ticks take something away, the others add.
  function options() {
    const told = new URLSearchParams();
    for (const { name, value, type, checked, disabled, options: all } of field) {
      if (disabled || name === "drawing") continue;
      if (type === "checkbox" ? checked !== off.includes(name) : value !== all[0].value) told.set(name, value);
    }
    return `${told}` && `#${told}`;
  }

  function show() {
    const file = `${shown}.html`, told = options();
    const home = base || (location.protocol.startsWith("http") ? new URL("embed/", location.href).href : "");
    text.value = `<iframe src="${escaped(home + file + told)}" title="${escaped(now().title)}" width="100%" height="${height}" loading="lazy" sandbox="allow-scripts allow-popups" style="border:0"></iframe>`;
    said.value = "";
    return new URL(`embed/${file}${told}`, location.href).href;
  }

  // What a drawing cannot do is not offered.
  function offer() {
    const { parts, moves, varies, lines, title } = now();
    field.mark.replaceChildren(...[["", none], ...parts].map(([value, name]) => new Option(name, value)));
    const there = { mark: parts.length, speed: moves, winding: varies, lines, table: parts.length, start: moves };
    for (const [name, can] of Object.entries(there)) {
      if (!field[name]) continue;
      field[name].disabled = !can;
      find(`[data-choice=${name}]`).hidden = !can;
    }
    frame.title = title;
    find(".whole").href = `embed/${shown}.html`;
  }

  form.addEventListener("change", ({ target }) => {
    if (target === field.drawing) {
      shown = target.value;
      offer();
    }
    frame.contentWindow.location.replace(show());
  });
  addEventListener("message", ({ source, data }) => {
    if (source !== frame.contentWindow || !(data?.height > 0) || !data.drawing?.endsWith(`/${shown}`)) return;
    frame.height = height = Math.ceil(data.height);
    show();
  });
  find(".copy").addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(text.value);
      said.value = copied;
    } catch {
      text.select();
      said.value = by_hand;
    }
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  form.reset();
  form.hidden = find(".copy").hidden = false;
  offer();
  show();
})();
