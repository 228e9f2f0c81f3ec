/* Takes a drawing apart and puts it together, part by part. A group leaves at its data-step, by data-away px; unless it is to be
   kept in sight it is gone after that; data-since brings one to the bench only then. What each step says is in the list beside it. */
(() => {
  "use strict";
  const calm = matchMedia("(prefers-reduced-motion: reduce)"), all = (selector, root = document) => [...root.querySelectorAll(selector)];
  for (const box of all("[data-steps]")) {
    const { drawing, steps, first } = box.dataset, find = (selector) => box.querySelector(selector);
    const groups = all("[data-step]", box), items = all(`[data-of=${drawing}]`), slider = find(".at"), said = find(".said");
    let at, frame;

    function show(to) {
      at = Math.min(steps, Math.max(0, to));
      const now = Math.ceil(at), here = items.filter((item) => +item.dataset.at === now), [item] = here;
      for (const group of groups) {
        const { step, away, since = -1, keep } = group.dataset, share = Math.min(1, Math.max(0, at - step + 1));
        group.setAttribute("transform", `translate(${away.split(" ").map((px) => px * share)})`);
        group.classList.toggle("gone", keep === undefined && (at > step || at <= since));
        group.classList.toggle("leaving", share > 0 && keep === undefined);
        group.classList.toggle("home", share < 1);
      }
      const parts = item?.dataset.parts?.split(" ") || [];
      for (const part of all("[data-part]", box)) part.classList.toggle("leaving", parts.includes(part.dataset.part));
      for (const view of all("[data-seen]", box)) view.hidden = view.dataset.seen !== (item?.dataset.seen || box.dataset.seen);
      for (const other of items) here.includes(other) ? other.setAttribute("aria-current", "step") : other.removeAttribute("aria-current");
      slider.value = at;
      const text = item?.dataset.says || (now ? box.dataset.apart : box.dataset.together);
      if (said.textContent !== text) said.textContent = text;
      slider.setAttribute("aria-valuetext", text);
      for (const key of all("[data-go]", box)) key.setAttribute("aria-disabled", /back|first/.test(key.dataset.go) ? !at : at >= steps);
    }

    function go(to) {
      cancelAnimationFrame(frame);
      const from = at, start = performance.now();
      if (calm.matches || Math.abs(to - from) > 1) return show(to);
      const move = (time) => {
        const share = Math.min(1, Math.max(0, (time - start) / 350));
        show(from + (to - from) * share);
        if (share < 1) frame = requestAnimationFrame(move);
      };
      frame = requestAnimationFrame(move);
    }

    const ways = { back: () => Math.ceil(at) - 1, on: () => Math.floor(at) + 1, first: () => 0, last: () => +steps };
    box.addEventListener("click", ({ target }) => {
      const way = target.closest("[data-go]")?.dataset.go;
      if (way) go(ways[way]());
    });
    slider.addEventListener("input", () => show(+slider.value));
    slider.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: "back", ArrowDown: "back", ArrowRight: "on", ArrowUp: "on" }[event.key];
      if (!way) return;
      event.preventDefault();
      go(ways[way]());
    });
    for (const item of items) item.querySelector("a[href^='#']")?.addEventListener("click", (event) => {
      event.preventDefault();
      go(+item.dataset.at);
      box.scrollIntoView({ block: "nearest" });
    });
    for (const bar of all(".stepping", box)) bar.hidden = false;
    box.classList.add("stepped-by-hand");
    const wanted = items.find((item) => item.querySelector("a")?.hash === (location.hash || "#"));
    show(wanted ? +wanted.dataset.at : +first);
  }
})();
