/* Between a page and the learning platform that runs it (ADL, The SCORM Run-Time Environment 1.2, 2001). Where no platform is
   found, the page is as it was. A self-test reports every answer, and the best of the papers as the score; a lesson reports what
   has been on the screen. What was done is committed at once, so that nothing is lost if the window is shut. */
"use strict";
{
  const all = (selector, root = document) => [...root.querySelectorAll(selector)], began = performance.now();

  /* ---- the platform: in a frame above, or in the window that opened this one or a frame above that ---- */

  function above(from) {
    try {
      for (let at = from; ; at = at.parent) {
        if (at.API) return at.API;
        if (at === at.parent) return;
      }
    } catch {
      return;  // a frame of another site
    }
  }

  const api = above(window) || (opener && above(opener)) || (top !== window && above(top.opener || window));
  const get = (name) => String(api.LMSGetValue(name) ?? "");
  let counts, ended;

  function set(name, value) {
    if (counts) api.LMSSetValue(name, String(value));
  }

  // HHHH:MM:SS.SS
  function span(ms) {
    const two = (number) => String(Math.floor(number)).padStart(2, "0");
    return `${two(ms / 3600000).padStart(4, "0")}:${two(ms / 60000 % 60)}:${two(ms / 1000 % 60)}.${two(ms / 10 % 100)}`;
  }

  const save = (data) => {
    set("cmi.suspend_data", data);
    if (counts) api.LMSCommit("");
  };

  /* ---- a self-test: what was kept is "print;paper;how far;record" ---- */

  const letter = (index) => String.fromCharCode(97 + index);

  function tests(test) {
    const questions = all(".question", test), kept = {}, choices = {};
    // Records of other questions than these are of no use.
    const print = questions.reduce((sum, { id }) => [...id].reduce((s, sign) => (s * 31 + sign.charCodeAt()) >>> 0, sum), 7);
    const [mark, number, come, record] = get("cmi.suspend_data").split(";"), known = +mark === print;
    let paper = known ? +number : 0, far = known ? come : "", given = +get("cmi.interactions._count") || 0, asked = began;
    questions.forEach(({ id }, n) => {
      if (known && record[n] > -1) kept[id] = +record[n];
    });
    for (const question of questions) choices[question.id] = all(".answers li", question).map((item) => item.textContent);
    const keep = () => save([print, paper, far, questions.map(({ id }) => kept[id] ?? "-").join("")].join(";"));

    function answered({ question: { id, dataset }, chosen, right, good, paper: current, at, repeating }) {
      const about = `cmi.interactions.${given}.`, marked = dataset.form === "mark";
      const said = (texts) => texts.map((text) => (marked ? text : letter(choices[id].indexOf(text)))).join();
      set(`${about}id`, id);
      set(`${about}type`, { mark: "fill-in", order: "sequencing" }[dataset.form] || "choice");
      set(`${about}time`, new Date().toTimeString().slice(0, 8));
      set(`${about}correct_responses.0.pattern`, said(right));
      set(`${about}weighting`, 1);
      set(`${about}student_response`, said(chosen));
      set(`${about}result`, good ? "correct" : "wrong");
      set(`${about}latency`, span(performance.now() - asked));
      given++;
      if (!repeating) {
        far = (paper === current ? far.slice(0, at) : "") + +good;
        paper = current;
      }
      keep();
    }

    function finished({ right, of, repeating }) {
      if (repeating) return;
      const score = Math.max(Math.round(10000 * right / of) / 100, +get("cmi.core.score.raw") || 0);
      const mastery = parseFloat(get("cmi.student_data.mastery_score"));
      set("cmi.core.score.min", 0);
      set("cmi.core.score.max", 100);
      set("cmi.core.score.raw", score);
      set("cmi.core.lesson_status", isNaN(mastery) ? "completed" : score >= mastery ? "passed" : "failed");
      keep();
    }

    window.paperKeeper = { kept, left: known && paper && { paper, far }, asked: () => (asked = performance.now()), answered, finished };
  }

  /* ---- a lesson: what was kept is a sign for each section, 1 where it was on the screen and its end was come to ---- */

  function reads(sections) {
    const seen = get("cmi.suspend_data").padEnd(sections.length, "0").slice(0, sections.length).split(""), met = new Set();
    let at = get("cmi.core.lesson_location");

    function read() {
      let more = false;
      sections.forEach((section, n) => {
        const { top, bottom } = section.getBoundingClientRect();
        if (top < innerHeight / 2) at = section.id;
        if (top < innerHeight && bottom > 0) met.add(n);
        if (seen[n] === "1" || !met.has(n) || bottom > innerHeight + 2) return;
        seen[n] = "1";
        more = true;
      });
      if (!more) return;
      set("cmi.core.lesson_location", at);
      if (!seen.includes("0")) set("cmi.core.lesson_status", "completed");
      save(seen.join(""));
    }

    addEventListener("pagehide", () => ended || set("cmi.core.lesson_location", at), { capture: true });
    addEventListener("load", function start() {
      if (all("[data-packed] > .note").length) return;  // it grows yet, and is loaded once more
      removeEventListener("load", start);
      document.getElementById(at)?.scrollIntoView();
      addEventListener("scroll", read, { passive: true });
      addEventListener("resize", read);
      read();
    });
  }

  function end() {
    if (ended) return;
    set("cmi.core.session_time", span(performance.now() - began));
    set("cmi.core.exit", "suspend");
    ended = true;
    api.LMSFinish("");
  }

  if (api && String(api.LMSInitialize("")) === "true") {
    counts = !/^(browse|review)$/.test(get("cmi.core.lesson_mode"));
    if (/^(not attempted)?$/.test(get("cmi.core.lesson_status"))) set("cmi.core.lesson_status", "incomplete");
    const test = document.querySelector(".self-test");
    if (test) tests(test);
    else reads(all(".station"));
    addEventListener("pagehide", end);
    addEventListener("pageshow", ({ persisted }) => persisted && location.reload());
  }
}
