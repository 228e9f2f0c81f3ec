/* Asks the questions of the page one by one: a paper of some of them, chosen and mixed by its number, so that the same number
   makes the same paper in every browser. What was answered is kept where the browser allows it, and what was missed can be
   asked again. The questions stand in the page as a list with their answers; nothing here knows clockwork. A script that comes
   before can keep the record in the browser's place, as `paperKeeper`: it is told what is asked, answered and finished. */
"use strict";
{
  const test = document.querySelector(".self-test"), find = (selector, root = test) => root.querySelector(selector);
  const all = (selector, root = test) => [...root.querySelectorAll(selector)];
  const said = JSON.parse(find(".said").textContent), list = find(".questions"), questions = all(".question");
  const form = find(".paper"), number = find("input[type=number]"), progress = find(".progress"), verdict = find(".verdict");
  const onward = find(".onward"), next = find(".next"), result = find(".result"), again = find(".again"), another = find(".another");
  const put = (text, facts) => text.replace(/{(\w+)}/g, (_, name) => facts[name]);
  const made = (tag, textContent, className = "") => Object.assign(document.createElement(tag), { textContent, className });
  let seed = 1, repeating, paper = [], at, right, missed, order, done, picked, kept = {}, keeps = true;

  /* ---- a record of each question's last answer: 1 right, 0 missed ---- */

  const place = `self-test ${test.dataset.slug}`, keeper = window.paperKeeper || {};
  try {
    kept = keeper.kept || JSON.parse(localStorage.getItem(place)) || {};
  } catch {
    keeps = false;  // some browsers keep nothing from disk, in a frame, or at the reader's wish
  }

  function record(question, good) {
    kept[question.id] = +good;
    if (!keeper.kept) try {
      localStorage.setItem(place, JSON.stringify(kept));
    } catch {
      keeps = false;
    }
  }

  /* ---- a paper ---- */

  // Whole numbers below n, alike in every browser: s becomes a s + c modulo 2^32, and its high bits are used (factors from
  // D. E. Knuth, The Art of Computer Programming, vol. 2, 3.3.4, and vol. 3, 6.4).
  function numbers(start) {
    let s = Math.imul(start, 2654435761) >>> 0;
    return (n) => Math.floor((s = (Math.imul(s, 1664525) + 1013904223) >>> 0) / 4294967296 * n);
  }

  function mixed(items, below) {
    const pile = [...items], drawn = [];
    while (pile.length) drawn.push(...pile.splice(below(pile.length), 1));
    return drawn;
  }

  // Kind by kind in turn, so that a paper has something of each.
  function chosen(from, length) {
    const below = numbers(seed), kinds = new Map(), taken = [];
    for (const question of mixed(from, below)) {
      const { kind } = question.dataset;
      kinds.set(kind, [...(kinds.get(kind) || []), question]);
    }
    while (taken.length < Math.min(length, from.length)) {
      for (const own of kinds.values()) if (own.length) taken.push(own.pop());
    }
    return taken.slice(0, length);
  }

  // `far` says how far it has come: a sign for each question that was answered, 1 right, 0 missed.
  function begin(from, length = +test.dataset.length, far = "") {
    paper = chosen(from, length);
    missed = paper.filter((_, i) => far[i] === "0");
    [at, right, repeating] = [far.length, far.length - missed.length, from !== questions];
    list.append(...paper, ...questions.filter((each) => !paper.includes(each)));  // printed, it is this paper
    for (const each of questions) each.classList.toggle("chosen", paper.includes(each));
    result.hidden = true;
    if (at < paper.length) ask();
    else finish();
  }

  function open() {
    const { paper: left, far } = keeper.left || {};
    delete keeper.left;
    number.value = seed = left || +((location.hash + location.search).match(/paper=(\d{1,5})/)?.[1] || 1);
    begin(questions, undefined, far);
  }

  /* ---- a question ---- */

  const whys = (question) => all("dt", question).map((term) => [term.textContent, term.nextElementSibling.textContent]);
  const key = (drawing) => all(`.numbers[data-drawing=${drawing}] dt`);
  const mark = (names = "") => dispatchEvent(new CustomEvent("marks", { detail: names.split(" ") }));

  function ask() {
    const question = paper[at], { drawing, marks, form: kind } = question.dataset, answers = find(".answers", question);
    [order, done, picked] = [whys(question), false, []];
    for (const each of questions) each.classList.toggle("now", each === question);
    for (const figure of all("[data-drawing].plate")) figure.classList.toggle("aside", figure.dataset.drawing !== drawing);
    progress.textContent = put(repeating ? said.progress_missed : said.progress, { at: at + 1, of: paper.length });
    verdict.replaceChildren();
    onward.hidden = true;
    const parts = kind === "mark" && key(drawing), below = numbers(seed * 1000 + questions.indexOf(question));
    const texts = parts ? parts.map((term) => term.textContent) : mixed(order.map(([text]) => text).sort(), below);
    answers.replaceChildren(...texts.map((text, i) => {
      const item = made("li"), button = Object.assign(made("button", text, "key"), { type: "button", value: text });
      if (parts) button.dataset.part = parts[i].dataset.of;
      if (kind === "order") button.setAttribute("aria-pressed", false);
      item.append(button);
      return item;
    }));
    mark(marks);
    keeper.asked?.();
  }

  function press(button) {
    const question = paper[at], { form: kind, drawing } = question.dataset;
    if (done || !button) return;
    if (kind !== "order") return judge(button.value === order[0][0], button, kind === "mark"
      ? key(drawing).find((term) => term.textContent === button.value).nextElementSibling.textContent
      : order.find(([text]) => text === button.value)[1]);
    // Steps are taken in their order; one that is pressed again is taken back, with those after it.
    picked = picked.includes(button) ? picked.slice(0, picked.indexOf(button)) : [...picked, button];
    for (const each of all("button", question)) {
      const nth = picked.indexOf(each) + 1;
      each.setAttribute("aria-pressed", !!nth);
      each.textContent = nth ? `${nth}. ${each.value}` : each.value;
    }
    if (picked.length < order.length) return;
    const slip = picked.findIndex((each, i) => each.value !== order[i][0]);
    judge(slip < 0, picked[slip], slip < 0 ? "" : put(said.misplaced, { chosen: picked[slip].value, right: order[slip][0] }));
  }

  function judge(good, button, why) {
    const question = paper[at], ordered = question.dataset.form === "order";
    done = true;
    right += good;
    if (!good) missed.push(question);
    record(question, good);
    const texts = order.map(([text]) => text), chosen = ordered ? picked.map(({ value }) => value) : [button.value];
    keeper.answered?.({ question, chosen, right: ordered ? texts : [texts[0]], good, paper: seed, at, repeating });
    for (const each of all("button", question)) {
      each.setAttribute("aria-disabled", true);
      if (ordered ? good : each.value === order[0][0]) each.classList.add("right");
    }
    if (!good) button.classList.add("wrong");
    verdict.append(made("p", good ? said.right : said.wrong, "judged"));
    if (!good && why) verdict.append(made("p", why));
    if (ordered) {
      const steps = made("ol");
      steps.append(...order.map(([step, what]) => made("li", `${step}. ${what}`)));
      verdict.append(steps);
    } else verdict.append(made("p", (good ? "" : `${put(said.right_is, { answer: order[0][0] })} `) + order[0][1]));
    mark(question.dataset.shows || question.dataset.marks);
    next.textContent = at + 1 < paper.length ? said.next : said.finish;
    onward.hidden = false;
    next.focus();
  }

  function finish() {
    for (const each of questions) each.classList.remove("now");
    const answered = questions.filter((each) => each.id in kept), before = answered.filter((each) => !kept[each.id]);
    progress.textContent = "";
    verdict.replaceChildren();
    onward.hidden = true;
    result.hidden = false;
    find(".score").textContent = put(said.result, { right, of: paper.length });
    find(".missed").replaceChildren(...missed.map((each) => made("li", find(".ask", each).textContent)));
    find(".record").textContent = put(said.record, { seen: answered.length, of: questions.length, right: answered.length - before.length })
      + (keeps ? "" : ` ${said.not_kept}`);
    again.hidden = !before.length;
    again.onclick = () => go(before, before.length);
    keeper.finished?.({ right, of: paper.length, repeating });
    mark();
    result.focus();
  }

  function go(...what) {
    begin(...what);
    read();
  }

  function read() {
    const text = find(".ask", paper[at]);
    text.tabIndex = -1;
    find(".drawings").scrollIntoView({ block: "nearest" });
    text.focus();
  }

  next.addEventListener("click", () => {
    at++;
    if (at === paper.length) return finish();
    ask();
    read();
  });
  another.addEventListener("click", () => (location.hash = `paper=${seed + 1}`));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (+number.value === seed) go(questions);
    else location.hash = `paper=${+number.value}`;
  });
  list.addEventListener("click", ({ target }) => press(target.closest(".now button")));
  list.addEventListener("keydown", ({ key: pressed, target }) => {
    if (target.closest(".now") && pressed > 0) press(all(".now button")[pressed - 1]);
  });
  // In the drawing a part is marked by pressing it; while a part is to be named, it tells nothing.
  for (const sheet of all(".sheet")) {
    const marking = () => paper[at]?.dataset.form === "mark";
    sheet.addEventListener("click", (event) => {
      const part = event.target.closest("[data-part]")?.dataset.part;
      event.stopPropagation();
      if (marking() && part) press(find(`.now [data-part="${part}"]`));
    });
    sheet.addEventListener("pointerover", (event) => marking() || done || event.stopPropagation());
  }
  test.classList.add("led");
  form.hidden = false;
  addEventListener("load", open);
  addEventListener("hashchange", () => {
    open();
    read();
  });
}
