/* A drawing in a page of its own, by itself or in a frame on someone else's page.

   Options come with the address (after ? or #) or with the file; a page that frames this one may send messages to it, and is
   told its height. Whoever sends, and whatever is sent: words and numbers are compared with what is known here, nothing else. */
addEventListener("load", () => {
  "use strict";
  const root = document.documentElement, find = (selector) => document.querySelector(selector);
  const figure = find(".plate"), name = figure.dataset.drawing, player = betweenPlates;
  const parts = new Set([...document.querySelectorAll("[data-part]")].map((node) => node.dataset.part));
  const moves = find("[data-do=run]");
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  let marked = null;

  function seconds(text) {
    const steps = text.split(":").map((step) => (step ? +step : NaN));
    return steps.length > 1 ? steps.concat(0).slice(0, 3).reduce((sum, step) => sum * 60 + step, 0) : steps[0];
  }

  const acts = {
    play: () => moves && player.run(name, true),
    pause: () => moves && player.run(name, false),
    time: (to) => Number.isFinite(to) && Math.abs(to) < 1e9 && player.time(name, to),
    speed: (to) => Number.isFinite(to) && to > 0 && moves && player.speed(name, to),
    winding: (to) => typeof to === "string" && player.choose(name, to.replace("-", " ")),
    labels: (to) => figure.classList.toggle("unlabelled", to === false),
    lines(to) {
      if (find(".lines")) find(".lines").checked = to === true;
    },
    mark(to) {
      marked = parts.has(to) ? to : null;
      dispatchEvent(new CustomEvent("marks", { detail: marked ? [marked] : [] }));
    },
  };

  // What an address leaves out is as the drawing has it; an address that changes starts afresh.
  function obey(change) {
    const given = [root.dataset.options || "", location.search.slice(1), location.hash.slice(1)].join("&");
    const option = Object.fromEntries(new URLSearchParams(given));
    const states = find("[data-choose=state]"), table = find(".told");
    const still = option.start === "still" || calm.matches;
    acts.mark(option.mark);
    acts.labels(option.labels !== "off");
    acts.lines(option.lines === "on");
    if (states) acts.winding(option.winding || states.value);
    acts.speed(+(option.speed || figure.dataset.speed));
    if (table) table.open = option.table !== "off";
    if (option.time) acts.time(seconds(option.time));
    if (still) acts.pause();
    else if (change || option.time) acts.play();
  }

  function tell() {
    const time = moves && player.time(name), running = !!moves && player.running(name);
    const height = Math.ceil(root.getBoundingClientRect().height);
    parent.postMessage({ betweenPlates: "state", drawing: root.dataset.drawing, height, running, time, marked }, "*");
  }

  addEventListener("hashchange", obey);
  obey();
  if (parent === window) return;
  root.classList.add("framed");
  addEventListener("message", ({ source, data }) => {
    if (source !== parent || !Object.keys(acts).includes(data?.betweenPlates)) return;
    acts[data.betweenPlates](data.to);
    tell();
  });
  new ResizeObserver(tell).observe(root);
});
