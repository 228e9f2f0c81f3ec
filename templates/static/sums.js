/* The closed sums of the bench, live. The page brings each sum's plan and the very formulas that it shows; here they are evaluated,
   line by line, as they stand there: nothing is shown that was not computed so. builder/bench/live.py says what a plan is. */
(() => {
  "use strict";
  const { PI, sqrt, cbrt, sin, cos, tan, atan, atan2, hypot, abs, min, max, floor, round, log10 } = Math;
  const { names, sums, look, words, both, thin } = JSON.parse(document.getElementById("sums-data").textContent);
  const RAD = PI / 180, POWERS = { "²": 2, "³": 3, "⁴": 4, "⁶": 6 };
  const FUNCTIONS = { "√": sqrt, "∛": cbrt, sin, tan, arctan: (x) => atan(x) / RAD };
  const need = (fine) => { if (!fine) throw need; };
  const told = (x) => x !== undefined;
  const named = (template) => [...template.matchAll(/\{(\w+)\}/g)].map((found) => found[1]);

  /* What a formula comes to: sums of products of factors. */
  function evaluate(template, known) {
    const tokens = template.match(/\{\w+\}|[\d.]+|[a-z]+|\S/g);
    const has = (...signs) => signs.includes(tokens[0]) && tokens.shift();
    const inside = () => { const x = total(); tokens.shift(); return x; };
    function total() {
      let x = term(), sign;
      while ((sign = has("+", "−"))) x += sign === "+" ? term() : -term();
      return x;
    }
    function term() {
      let x = factor(), sign;
      while ((sign = has("×", "/"))) x = sign === "×" ? x * factor() : x / factor();
      return x;
    }
    function factor() {
      const token = tokens.shift();
      let x = token === "−" ? -factor() : token === "(" ? inside() : token === "|" ? abs(inside()) : token === "π" ? PI
        : FUNCTIONS[token] ? (tokens.shift(), FUNCTIONS[token](inside())) : token[0] === "{" ? known[token.slice(1, -1)] : +token;
      if (POWERS[tokens[0]]) x **= POWERS[tokens.shift()];
      return has("°") ? x * RAD : x;
    }
    return total();
  }

  /* Period of a pendulum over that of its smallest swing, by the mean of arithmetic and geometric mean. */
  function swing(rad) {
    let a = 1, b = cos(rad / 2);
    for (let k = 0; k < 6; k++) [a, b] = [(a + b) / 2, sqrt(a * b)];
    return 1 / a;
  }

  /* Height of teeth above the pitch circle in modules: 0.95 of where the epicycloid comes to a point. */
  function pointed(teeth, mate, thick = PI / 2) {
    const R = teeth / 2, rho = mate / 4;
    let low = 0, high = PI * rho / R, x, y;
    for (let k = 0; k < 60; k++) {
      const v = (low + high) / 2;
      x = R + rho - rho * cos(v * R / rho);
      y = -rho * sin(v * R / rho);
      if (v + atan2(y, x) < thick / teeth) low = v; else high = v;
    }
    return 0.95 * (hypot(x, y) - R);
  }
  const either = (teeth, mate) => min(both.find(([most]) => teeth <= most)[1], pointed(teeth, mate, 1.41));
  function leaf(leaves) {
    const thick = leaves > 10 ? 1.25 : 1.05;
    return thick * (leaves < 8 ? 0.855 / 1.05 : leaves < 10 ? 0.67 / 1.05 : 0.5);
  }
  const undercut = (teeth, mate) =>
    (mate / 2 + 1) ** 2 > (mate / 2 * cos(20 * RAD)) ** 2 + ((teeth + mate) / 2 * sin(20 * RAD)) ** 2;
  function addendum(driver, driven, which, form) {
    if (form === "involute") need(!undercut(driver, driven) && !undercut(driven, driver));
    if (form === "involute") return 1;
    if (driver < max(16, 2 * driven)) return which ? either(driven, driver) : either(driver, driven);
    return which ? leaf(driven) : pointed(driver, driven);
  }

  /* A number as it is typed: 7.5, 15/2 or 7 1/2. */
  function number(text) {
    return text.replace("−", "-").split(/\s+/).reduce((all, one) => {
      need(/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?(\/\d+)?$/i.test(one));
      const [over, under = 1] = one.split("/");
      return all + over / under;
    }, 0);
  }
  /* What a box holds, within its bounds. */
  function held(text, { words, least, most, above, below, whole }) {
    if (words) return need(words.includes(text)), +text || text;
    const x = number(text);
    need(isFinite(x) && !(x < least || x > most || x <= above || x >= below || (whole && x % 1)));
    return x;
  }

  function step(v, lines, { name, by, when = [], unless = [], exact, let: hidden, value, look: from, swing: of, teeth, ways, most, told: field, with: other, above }, formulas) {
    const complete = (way) => way.every((each) => each[0] === "-" ? !told(v[each.slice(1)]) : told(v[each]));
    if (ways) {
      const count = ways.filter(complete).length;
      return need(count > 0 && !(count > most));
    }
    if (field) return need(!told(v[field]) || told(v[other]));
    if (above) return need(!complete(named(above)) || evaluate(above, v) > 0);
    if (told(v[name]) || unless.some((each) => told(v[each])) || !when.every((each) => v[each])) return;
    if (teeth && by) by += "_" + v.form;
    const template = hidden || (value || from || of || teeth ? "" : formulas[by][0]);
    if (of && !told(v[of]) || from && !told(v[from[1]]) || !complete(named(template))) return;
    let x = value;
    if (from) x = look[from[0]][v[from[1]]];
    else if (of) x = swing(v[of]);
    else if (teeth) {
      const [one, mate, which] = teeth, drives = which === "drives" ? v[which] === "yes" : 1, pair = [v[one], v[mate]];
      x = addendum(...(drives ? pair : pair.reverse()), which === "drives" ? !drives : which, v.form);
    } else if (!told(x)) x = evaluate(template, v);
    need(isFinite(x));
    v[name] = x;
    if (by) lines.push([name, x, by, exact]);
  }
  /* {v, lines: [[name, value, name of its formula]]}, or nothing where the numbers cannot be. */
  function work(sum, texts) {
    const v = {}, lines = [], { fields, plan, formulas } = sums[sum];
    try {
      for (const [name, { usual, needed, ...bounds }] of Object.entries(fields)) {
        const text = texts[name]?.trim() || usual;
        need(told(text) || !needed);
        if (told(text)) v[name] = held(text, bounds);
      }
      for (const each of plan) step(v, lines, each, formulas);
      return { v, lines };
    } catch (slip) {
      if (slip !== need) throw slip;
    }
  }

  // ---- figures as a person writes them
  function grouped(text) {
    const [whole, rest] = text.replace("-", "").split(".");
    return (text < 0 ? "−" : "") + (whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, thin) : whole) + (rest ? "." + rest : "");
  }
  function figure(x, digits) {
    const near = +x.toPrecision(digits);
    return x ? grouped(near.toFixed(max(0, digits - 1 - floor(log10(abs(near)))))) : "0";
  }
  const bare = (text) => text.includes(".") ? text.replace(/\.?0+$/, "") : text;
  function mixed(x) { // 7 1/2, where it is a fraction that one would write
    for (let under = 1; under < 100; under++) {
      const over = round(abs(x) * under), whole = floor(over / under), rest = over % under;
      if (abs(abs(x) * under - over) < 1e-9 * max(1, over))
        return (x < 0 ? "−" : "") + [whole || !rest ? grouped(`${whole}`) : "", rest ? `${rest}/${under}` : ""].join(" ").trim();
    }
    return figure(x, max(4, `${floor(abs(x))}`.length + 1));
  }
  function result(name, x, exact) {
    const [, sign, digits, fractions, signed] = names[name];
    let text = !exact ? figure(x, digits) : fractions ? mixed(x) : bare(figure(x, digits));
    if (signed) {
      text = x.toFixed(abs(x) < 1 ? 3 : abs(x) < 100 ? 2 : 1);
      text = (text > 0 ? "+" : "") + grouped(+text ? text : text.replace("-", ""));
    }
    return sign ? text + (sign === "°" ? "" : thin) + sign : text;
  }
  function put(x, typed) {
    if (told(typed)) return /^[-−]|\//.test(typed) ? `(${typed.trim().replace("-", "−").replace(" ", " + ")})` : typed.trim();
    const text = bare(figure(x, 8));
    return x < 0 ? `(${text})` : text;
  }

  // ---- the page
  function show(section) {
    const sum = section.dataset.sum, texts = {}, list = section.querySelector(".working");
    for (const box of section.querySelectorAll("[name]")) if (box.value.trim()) texts[box.name] = box.value;
    const found = work(sum, texts);
    section.querySelector("[role=status]").textContent = found ? "" : words.impossible;
    list.hidden = !found;
    if (found) list.replaceChildren(...found.lines.map(([name, x, by, exact]) => {
      const [template, inWords, source] = sums[sum].formulas[by], row = document.createElement("li");
      const say = (where, sort, text) => where.appendChild(Object.assign(document.createElement(sort), { textContent: text }));
      say(row, "p", names[name][0]).className = "what";
      say(row, "p", result(name, x, exact)).className = "result";
      const formula = say(row, "p", inWords);
      formula.className = "by";
      if (source) say(formula, "small", source);
      if (named(template)[0]) say(row, "p", "= " + template.replace(/\{(\w+)\}/g, (_, key) => put(found.v[key], texts[key]))).className = "put";
      return row;
    }));
  }
  for (const section of document.querySelectorAll("[data-sum]")) {
    section.addEventListener("input", () => show(section));
    section.querySelector(".ask").hidden = false;
  }
  window.benchSums = { work };
})();
