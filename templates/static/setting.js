/* Turns the hands by hand: by pointer, keys, buttons or a time typed in. What hangs on the friction follows, each group by its
   own ratio; the train belongs to the player and is only read. Minutes throughout, counted from 12 o'clock. */
addEventListener("load", () => {
  "use strict";
  for (const panel of document.querySelectorAll("[data-sets]")) {
    const { sets, hours, ahead, behind, instep, refused } = panel.dataset, round = hours * 60;
    const svg = document.querySelector(`[data-drawing=${sets}] svg`), grip = svg.querySelector(".grip");
    const ratio = (text) => text.split("/").reduce((a, b) => a / b);
    const groups = [...svg.querySelectorAll("[data-turn]")].map((node) => [node, ratio(node.dataset.turn)]);
    const own = grip.closest("[data-turn]"), pace = 6 * ratio(own.dataset.turn);  // degrees a minute of the hand held
    const status = panel.querySelector("[role=status]"), typed = panel.querySelector("input");
    let set = 0, held = null, goal = 0, aim = 0, last = 0;

    const train = () => betweenPlates.time(sets) / 60;
    const two = (n) => `${Math.floor(n)}`.padStart(2, 0);
    const wrap = (n, whole) => n - whole * Math.round(n / whole);

    function turn(minutes) {
      set += minutes;
      if (Math.abs(set) < 1e-6) set = 0;
      for (const [node, each] of groups) node.setAttribute("transform", `rotate(${(set * 6 * each) % 360})`);
      for (const out of document.querySelectorAll(`[data-of=${sets}]`)) {
        const by = set * 6 * ratio(out.dataset.ratio);
        out.textContent = `${by < -0.05 ? "\u2212" : by > 0.05 ? "+" : ""}${Math.abs(by).toFixed(1)}°`;
      }
      const shows = Math.round((((train() + set) % round) + round) % round) % round, away = Math.round(Math.abs(set));
      const amount = `${away < 60 ? "" : `${Math.floor(away / 60)}\u202fh `}${away % 60}\u202fmin`;
      const hour = Math.floor(shows / 60) || (hours - 12 ? 0 : 12);
      typed.value = `${hour}:${two(shows % 60)}`;
      typed.removeAttribute("aria-invalid");
      status.textContent = (away ? (set > 0 ? ahead : behind) : instep).replace("{time}", amount);
      grip.setAttribute("aria-valuenow", shows);
      grip.setAttribute("aria-valuetext", typed.value);
    }

    // Where the pointer is, seen from the hand's centre, in degrees.
    function pointed({ clientX, clientY }) {
      const { e, f } = own.parentNode.getScreenCTM();
      return (Math.atan2(clientY - f, clientX - e) * 180) / Math.PI;
    }

    // How the hand stands on the screen, in degrees.
    function stands() {
      const { a, b } = grip.getScreenCTM();
      return (Math.atan2(b, a) * 180) / Math.PI;
    }

    // By the time that it has, and then by its place: within a beat the train does not go evenly.
    function keep() {
      turn(goal - train() - set);
      turn(wrap(aim - stands(), 360) / pace);
    }

    // A hand that is held stays with the finger while the train goes on: the friction slips.
    function hold() {
      if (held === null) return;
      keep();
      setTimeout(requestAnimationFrame, 0, hold);  // asked for after the player has asked, so that its time is that of the frame
    }

    const letGo = () => (held = null);
    grip.addEventListener("pointerdown", (event) => {
      if (event.button) return;
      event.preventDefault();
      grip.focus({ preventScroll: true });
      grip.setPointerCapture((held = event.pointerId));
      goal = train() + set;
      aim = stands();
      last = pointed(event);
      hold();
    });
    // touch-action in a style sheet does not reach a shape within a drawing in every browser: the page would scroll instead.
    grip.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    grip.addEventListener("pointermove", (event) => {
      if (held !== event.pointerId) return;
      const at = pointed(event), by = wrap(at - last, 360);
      goal += by / pace;
      aim += by;
      last = at;
      keep();
    });
    grip.addEventListener("pointerup", letGo);
    grip.addEventListener("lostpointercapture", letGo);
    grip.addEventListener("click", (event) => event.stopPropagation());
    grip.addEventListener("keydown", (event) => {
      const by = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 5, PageDown: -5, Home: -set }[event.key];
      if (by === undefined) return;
      event.preventDefault();
      turn(by);
    });
    panel.addEventListener("click", ({ target }) => {
      const { by } = target.closest("button")?.dataset || {};
      if (by) turn(by === "0" ? -set : +by);
    });
    // 10:15, 10.15 or, from a keyboard of figures alone, 1015.
    typed.addEventListener("change", () => {
      const [, h, m, n] = typed.value.match(/^\s*(\d\d?)(?:\D(\d\d?)|(\d\d))\s*$/) || [], minutes = +(m || n);
      if (h <= 24 && minutes < 60) return turn(wrap(h * 60 + minutes - train() - set, round));
      typed.setAttribute("aria-invalid", true);
      status.textContent = refused.replace("{time}", grip.getAttribute("aria-valuetext"));
    });
    // The train has gone on since; what was refused stays to be mended.
    for (const field of [grip, typed]) field.addEventListener("focus", () => field.ariaInvalid || turn(0));

    for (const [name, value] of Object.entries({
      tabindex: 0, role: "slider", "aria-label": panel.dataset.hand, "aria-valuemin": 0, "aria-valuemax": round,
    })) grip.setAttribute(name, value);
    panel.hidden = false;
    turn(0);
  }
});
