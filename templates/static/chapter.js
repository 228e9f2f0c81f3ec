/* Lets the text of a chapter lead its drawing. Each step says in data-show what is to be seen: parts marked, a moment or a span of
   time, speed, state of winding, construction lines. The step that is being read leads; its heading shows it again when pressed.
   A reader who stops the drawing has it stand from then on, until it is started again. */
addEventListener("load", () => {
  "use strict";
  const chapter = document.querySelector(".chapter"), { drawing } = chapter.dataset, player = window.betweenPlates;
  const steps = [...chapter.querySelectorAll(".step")], lines = chapter.querySelector(".lines");
  let now, pressedAt, asked = player.running(drawing), wanted = asked;

  function show(step) {
    now = step;
    for (const each of steps) {
      const link = each.querySelector("a");
      if (each === step) link.setAttribute("aria-current", "step");
      else link.removeAttribute("aria-current");
    }
    const what = JSON.parse(step.dataset.show), running = player.running(drawing);
    if (running !== asked) wanted = running;
    if (!wanted) {
      what.stand = true;
      if (what.to) what.from = (what.from + what.to) / 2;  // where it stands, it shows the middle of what happens
    }
    if (what.stand) delete what.to;
    player.play(drawing, what);
    asked = player.running(drawing);
    if (lines) lines.checked = !!what.lines;
    dispatchEvent(new CustomEvent("marks", { detail: what.mark || [] }));
  }

  // The line of reading sinks as the page is scrolled, so that the first and the last step have their turn too. A step that
  // was pressed leads until the page is scrolled on by a line or two.
  function read() {
    if (Math.abs(scrollY - pressedAt) < 50) return;
    const height = document.documentElement.scrollHeight - innerHeight;
    const line = innerHeight * (0.3 + 0.4 * (height > 0 ? scrollY / height : 0));
    const step = steps.filter((each) => each.getBoundingClientRect().top < line).pop() || steps[0];
    if (step !== now) show(step);
  }

  chapter.addEventListener("click", (event) => {
    const step = event.target.closest(".step h2 a")?.closest(".step");
    if (!step) return;
    event.preventDefault();
    pressedAt = scrollY;
    show(step);
  });
  addEventListener("scroll", read, { passive: true });
  addEventListener("resize", read);
  read();
});
