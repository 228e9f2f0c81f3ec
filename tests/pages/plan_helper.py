"""The lesson plan of a movement as a teacher has it, and what is not in order in it."""

from __future__ import annotations

import re
from itertools import pairwise

from tests.pages.chapters_helper import CHAPTERS, plain, sentences

LONGEST = 27
"""Words in a sentence: 25, as in the chapters, and two of lead-in (“How to meet it:”)."""


def lessons(page: str) -> dict[str, str]:
    """Chapter → the HTML of its lesson."""
    found = re.findall(
        r'<section class="lesson-plan">\s*<h2 id="(\w+)">(.*?)(?=<section class="lesson-plan">|</main>)', page, re.DOTALL
    )
    return dict(found)


def faults(files: dict[str, bytes], slug: str) -> list[str]:
    """What is not in order in a movement's plan."""
    made, found = lessons(files[f"{slug}/lesson-plan.html"].decode()), []
    if list(made) != list(CHAPTERS):
        found.append(f"{slug}: lessons {list(made)}")
    for chapter, html in made.items():
        where = f"{slug}: {chapter}"
        steps = re.findall(r'id="(step-\d+)"', files[f"{slug}/learn-{chapter}.html"].decode())
        if re.findall(rf'href="learn-{chapter}\.html#(step-\d+)"', html) != steps:
            found.append(f"{where}: not every step once, in order")
        clock = [(int(a), int(b)) for a, b in re.findall(r"</span>(\d+)–(\d+)</p>", html)]
        if clock[0][0] != 0 or any(a[1] != b[0] or a[0] >= a[1] for a, b in pairwise(clock)):
            found.append(f"{where}: the clock of the lesson has a gap")
        if html.count("<ul>") < 2 or "<ol>" in html or re.search(r"\b(None|Undefined)\b|\{\{|\{%|  of ", html):
            found.append(f"{where}: a part is missing, or something was left in the text")
        asks = html.count('class="asking"')
        if asks < 3 or 'class="caution"' not in html:
            found.append(f"{where}: {asks} questions and mistakes")
        prose = plain(re.sub(r'<ul>.*?</ul>|<span class="unseen">.*?</span>', "", html, flags=re.DOTALL))
        long = [each for each in sentences(prose) if len(re.findall(r"[^\W\d_][\w'’-]*|\d[\d\s./]*", each)) > LONGEST]
        found += [f"{where}: too long: {sentence}" for sentence in long]
    return found
