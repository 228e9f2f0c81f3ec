/* Runs the drawings of a page.

   Every drawing moves by itself with SMIL. Once the page has loaded, this script reads those elements, takes them out, and
   evaluates them in double precision from then on: browsers keep SMIL time in single precision, which shows after some hours.
   Times are in ms since 12 o'clock, angles in degrees. Nothing here knows clockwork: what moves, and how, is in the drawing. */
(() => {
  "use strict";
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const NUMBER = /[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi;
  const DAY = 86400000;
  const REST = 1000;  // what is shown again and again stands so long at its end
  // What a screen shows calmly: turns, flashes and swings a second. A part that is faster stands, faint, until it is slower.
  const TURNS = 2, FLASHES = 3, SWINGS = 6;
  let plates = [], live = [], lead, used, before;

  /* ---- a motion: one <animate> or <animateTransform> ---- */

  const list = (text) => text.split(";").map((item) => item.trim());
  const ms = (text) => parseFloat(text) * (/[^m]s$/.test(text) ? 1000 : 1);

  // ms is the exact duration, as a fraction, where dur had to be rounded.
  function describe(motion, { values, keyTimes, dur, ms: exact }) {
    const texts = list(values), points = texts.map((text) => (text.match(NUMBER) || []).map(Number));
    const steps = texts.length - !motion.discrete;
    Object.assign(motion, { texts, points, index: 0, dur: exact ? +exact.split("/").reduce((a, b) => a / b) : ms(dur) });
    motion.times = keyTimes ? list(keyTimes).map(Number) : texts.map((_, i) => i / steps);
    motion.between = texts[0].split(NUMBER);
    motion.step = motion.sum ? points.at(-1) : [];

    const places = points.map((point, i) => point[0] ?? texts.indexOf(texts[i]));
    const turns = motion.kind === "rotate" ? Math.abs(places.at(-1) - places[0]) / 360 : 0;
    const ways = places.map((place, i) => i && Math.sign(place - places[i - 1])).filter(Boolean);
    const swings = ways.filter((way, i) => way !== ways.at(i - 1)).length / 2 || 1;
    motion.haste = (turns > 1e-9 ? turns / TURNS : swings / (motion.discrete ? FLASHES : SWINGS)) * 1000 / motion.dur;
    return motion;
  }

  function take(element) {
    const get = (name) => element.getAttribute(name), kind = get("type"), node = element.parentNode;
    element.remove();
    return describe({
      node, kind, id: element.id, name: get("attributeName"), begin: ms(get("begin") || "0s"),
      sum: get("accumulate") === "sum", discrete: get("calcMode") === "discrete",
    }, { values: get("values"), keyTimes: get("keyTimes"), dur: get("dur"), ms: get("data-ms") });
  }

  function place(motion, t) {
    const { kind, times, points, texts, discrete, step, between } = motion;
    const at = (t + motion.shift) / motion.dur, round = Math.floor(at), u = at - round;
    let i = times[motion.index] > u ? 0 : motion.index;
    while (times[i + 1] <= u) i++;
    motion.index = i;
    const share = discrete ? 0 : (u - times[i]) / (times[i + 1] - times[i]);
    const now = points[i].map((from, k) => from + (share && (points[i + 1][k] - from) * share) + round * (step[k] || 0));
    const text = !now.length ? texts[i]
      : kind ? `${kind}(${kind === "rotate" ? now[0] % 360 : now.join(" ")})`
      : between.map((piece, k) => piece + (k < now.length ? ` ${now[k].toFixed(3)}` : "")).join("");
    if (text !== motion.text) motion.node.setAttribute(motion.name, (motion.text = text));
  }

  /* ---- a plate: a figure with its drawings and its controls ---- */

  function plate(figure) {
    const data = figure.dataset, drawings = all("svg.drawing", figure), find = (selector) => figure.querySelector(selector);
    const json = (name, none) => JSON.parse(find(`script.${name}`)?.textContent || none);
    const key = (name) => find(`[data-do=${name}]`);
    const native_s = drawings[0]?.getCurrentTime() || 0;
    const motions = all("animate,animateTransform", figure).map(take), begin = motions[0]?.begin || 0;
    for (const motion of motions) motion.shift = begin - motion.begin;
    const words = json("words", '{"speeds":[[1,""]]}'), states = json("states", "{}"), { speeds } = words;
    const beat = +data.beatMs, span = data.scrubS * 1000;
    const slider = find(".scrub"), shown = find(".shown"), status = find(".state"), controls = find(".controls");
    const own = { figure, name: data.drawing, area: 0, running: motions.length > 0 && !calm.matches && !("waits" in data) };
    let t = (own.running ? native_s * 1000 : 0) - begin, goal = Infinity, again, rested = 0, following = false;
    const off = (i, to) => Math.abs(Math.log(speeds[i][0] / to));
    const nearest = (to) => speeds.reduce((best, _, i) => (off(i, to) < off(best, to) ? i : best), 0);
    let gear = nearest(data.speed || 1);

    const speed = () => (following ? 1 : speeds[gear][0]);
    const fast = (motion) => own.running && motion.haste * speed() > 1;

    function clock() {
      const long = span > DAY, whole = long ? span : ((data.hours || 12) / 24) * DAY;
      const s = ((t % whole) + whole) % whole / 1000, days = Math.floor(s / 86400);
      if (long) return `${days ? `${days} d ` : ""}${(Math.floor(s / 360) % 240 / 10).toFixed(1)} h`;
      const two = (n) => `${Math.floor(n)}`.padStart(2, 0);
      return `${Math.floor(s / 3600) || (data.hours ? 0 : 12)}:${two(s / 60 % 60)}:${two(s % 60)}${speed() < 1 ? `.${two(s % 1 * 100)}` : ""}`;
    }

    function show() {
      for (const motion of motions) {
        motion.node.classList.toggle("fast", fast(motion));
        if (!fast(motion)) place(motion, t);
      }
      if (shown && shown.textContent !== clock()) shown.textContent = clock();
      // The slider rests where it would only flicker.
      if (slider && (!own.running || speed() * 1000 < span)) slider.value = Math.round(1000 * (t / span - Math.floor(t / span)));
    }

    // Says in words what the plate does; called when that changes, never by the frame.
    function tell() {
      figure.classList.toggle("running", own.running);
      if (controls) {
        key("run").lastChild.textContent = own.running ? words.stop : words.run;
        key("follow")?.setAttribute("aria-pressed", following);
        key("slower").setAttribute("aria-disabled", !gear);
        key("faster").setAttribute("aria-disabled", gear === speeds.length - 1);
        slider?.setAttribute("aria-valuetext", clock());
        const stands = motions[0] && motions.every(({ texts }) => new Set(texts).size < 2);
        const does = stands ? "nothing" : !own.running ? "standing" : following ? "following" : "running";
        status.textContent = `${words[does].replace("{speed}", speeds[gear][1]).replace("{time}", clock())} ${motions.some(fast) ? words.fast : ""}`;
      }
      show();
      wake();
    }

    function run(yes, until = Infinity, from) {
      own.running = yes;
      goal = until;
      again = from;
      following = following && yes;
      used = own;
      tell();
    }

    function go(to) {
      t = to;
      run(false);
    }

    function shift(by) {
      gear = Math.min(speeds.length - 1, Math.max(0, gear + by));
      following = false;
      tell();
    }

    const acts = {
      run: () => run(!own.running),
      slower: () => shift(-1),
      faster: () => shift(1),
      back: () => go((Math.ceil(t / beat - 1e-6) - 1) * beat),
      // Forward, the beat is seen: the drawing runs to the next one and stops there.
      on() {
        const next = (Math.floor(t / beat + 1e-6) + 1) * beat;
        following = false;
        if (calm.matches) go(next);
        else run(true, next);
      },
      follow() {
        following = !following;
        run(following);
      },
    };

    own.advance = (passed) => {
      t = following ? timeOfDay() : t + passed * speed();
      if (t > goal) {
        if (again === undefined) return go(goal);
        t = (rested += passed) > REST ? again : goal;
        if (t < goal) rested = 0;
      }
      show();
    };
    own.run = run;
    own.speed = (to) => {
      if (to) shift(nearest(to) - gear);
      return speed();
    };
    // What a text asks for: from a moment on, or from one moment to another again and again; in s.
    own.play = ({ from, to = Infinity, speed: wanted, state, stand }) => {
      if (state) own.choose(state);
      if (from !== undefined) t = from * 1000;
      own.speed(wanted);
      run(!stand, to * 1000, to < Infinity ? t : undefined);
    };
    own.time = (to_s) => {
      if (to_s !== undefined) go(to_s * 1000);
      return t / 1000;
    };

    figure.addEventListener("click", ({ target }) => acts[target.closest("[data-do]")?.dataset.do]?.());
    slider?.addEventListener("input", () => go((Math.floor(t / span) + slider.value / 1000) * span));
    controls?.addEventListener("keydown", (event) => {
      const { key: pressed, target } = event;
      const act = pressed === " " ? target === slider && "run"
        : target.matches("input") || { ArrowLeft: "back", ArrowRight: "on", ArrowUp: "faster", ArrowDown: "slower" }[pressed];
      if (!acts[act] || !key(act)) return;
      event.preventDefault();
      acts[act]();
    });
    // The state of winding is one for all: every drawing of the page follows, and the next page opens in it.
    own.choose = (state) => {
      const ticks = all("[data-choose=state]", figure), tick = ticks.find((each) => each.value === state);
      if (!tick) return;
      tick.checked = true;
      for (const motion of motions) if (states[state]?.[motion.id]) describe(motion, states[state][motion.id]);
      for (const node of all("[data-state]", figure)) {
        node.removeAttribute("hidden");
        node.classList.toggle("off", node.dataset.state !== state);
      }
      tell();
    };
    figure.addEventListener("change", ({ target: { value, dataset } }) => {
      if (dataset.choose !== "state") return;
      for (const one of plates) one.choose(value);
      keep(value);
    });

    // Labels keep their size on screen: --unit is the drawing's length of one CSS pixel.
    new ResizeObserver(() => drawings.forEach((svg) => svg.style.setProperty("--unit", 1 / (svg.getScreenCTM()?.a || 1)))).observe(figure);
    for (const node of [figure, ...drawings]) node.classList.add("led");
    if (controls) controls.hidden = false;
    tell();
    return own;
  }

  function timeOfDay() {
    const now = new Date();
    return (now - now.getTimezoneOffset() * 60000) % DAY;  // a dial may have 24 hours
  }

  // Where the browser lets a page keep nothing (some do, from disk or in a frame), each page opens wound.
  function keep(state) {
    try {
      if (state) sessionStorage.setItem("winding", state);
      return sessionStorage.getItem("winding");
    } catch {
      return null;
    }
  }

  /* ---- the page: what is out of sight stands still; the plate in use, or else the one most in view, leads ---- */

  function frame(now) {
    const running = live.filter((one) => one.running);
    if (!running.length) return (before = 0);
    requestAnimationFrame(frame);
    for (const one of running) one.advance(Math.min(Math.max(now - before, 0), 250));
    before = now;
  }

  function wake() {
    lead = plates.includes(used) && used.area ? used : plates.reduce((most, one) => (one.area > (most?.area || 0) ? one : most), undefined);
    live = plates.filter((one) => one === lead || one.share > 0.5);
    if (before || !live.some((one) => one.running)) return;
    before = performance.now();
    requestAnimationFrame(frame);
  }

  addEventListener("load", () => {
    const watch = new IntersectionObserver((entries) => {
      for (const { target, intersectionRect: box, intersectionRatio: share } of entries) {
        Object.assign(plates.find((own) => own.figure === target) || {}, { area: box.width * box.height, share });
      }
      wake();
    }, { threshold: [0, 0.2, 0.4, 0.6, 0.8, 1] });
    // A plate may also come later, in the place of another.
    function add(figure) {
      plates = [...plates.filter((own) => own.figure.isConnected), plate(figure)];
      plates.at(-1).choose(keep());
      watch.observe(figure);
    }
    all(".plate[data-drawing]").forEach(add);
    calm.addEventListener("change", () => calm.matches && plates.forEach((one) => one.run(false)));
    const one = (name) => plates.find((own) => own.name === name);
    window.betweenPlates = Object.freeze({
      time: (name, to_s) => one(name).time(to_s),
      running: (name) => one(name).running,
      run: (name, yes) => one(name).run(yes),
      speed: (name, to) => one(name).speed(to),
      choose: (name, state) => one(name).choose(state),
      play: (name, what) => one(name).play(what),
      lead: () => lead?.name,
      add,
    });
  });
})();
