"""What tells one part of a movement from another: its count, its arbor, what it meets."""

from __future__ import annotations

from builder.drawing.table import Row
from builder.going.plan import Toothing
from builder.lessons.question import Subject

SWINGING = ("pallets", "balance")
DRIVING = ("drum", "fusee", "barrel")
"""What a train's drawing shows besides wheels and pinions. (A going barrel is a wheel.)"""


def described(subject: Subject, part: str) -> str:
    """A sentence that names the part by what it does, with its count."""
    if part in (*SWINGING, *DRIVING):
        return subject.say(f"parts.{part}")
    if part == "escape-wheel":
        train = subject.going.train
        return subject.say("parts.escape_wheel", teeth=train.escape_teeth, beats=train.beats_per_tooth)
    toothing = toothed(subject, part)
    noun = subject.wording.say(f"parts.{toothing.noun}")
    facts = {"count": f"{toothing.gear.teeth} {noun}", "arbor": subject.arbor(toothing.arbor)}
    drives, driven = (mates(subject, toothing, way) for way in ("drives", "driven"))
    key = "both" if drives and driven else "drives" if drives else "driven"
    key = f"work_{key}" if subject.going.train[toothing.arbor].role == "motion work" else key
    return subject.say(f"parts.{key}", drives=_listed(subject, drives), driven=_listed(subject, driven), **facts)


def toothed(subject: Subject, part: str) -> Toothing:
    """The wheel or pinion of that id."""
    return next(t for t in subject.going.plan.toothings if t.id == part)


def mates(subject: Subject, toothing: Toothing, way: str) -> list[Toothing]:
    """What a wheel or pinion drives, or what it is driven by."""
    own, plan, found = (toothing.arbor, toothing.part), subject.going.plan, []
    for pair in subject.going.train.pairs:
        driver, driven = (pair.driver, pair.driver_part), (pair.driven, pair.driven_part)
        if way == "drives" and own == driver:
            found.append(plan.of(*driven))
        elif way == "driven" and own == driven:
            found.append(plan.of(*driver))
    return found


def alike(subject: Subject, row: Row, rows: tuple[Row, ...]) -> list[Row]:
    """The other parts of a drawing, most easily confused first: two of its own sort with the next numbers, what it meets or
    shares its arbor with, then the rest by number."""
    near = sorted((other for other in rows if other is not row), key=lambda other: abs(other.number - row.number))
    same = [other for other in near if _sort(subject, other.part) == _sort(subject, row.part)][:2]
    own = next((t for t in subject.going.plan.toothings if t.id == row.part), None)
    meets = {mate.id for way in ("drives", "driven") for mate in mates(subject, own, way)} if own else set()
    return sorted((other for other in near), key=lambda other: (other not in same, other.part not in meets))


def _sort(subject: Subject, part: str) -> str:
    """wheel, pinion, what rocks and swings, or what drives."""
    if part in (*SWINGING, *DRIVING):
        return "swings" if part in SWINGING else "drives"
    return "wheel" if part == "escape-wheel" or toothed(subject, part).wheel else "pinion"


def _listed(subject: Subject, toothings: list[Toothing]) -> str:
    return subject.say("words.and").join(f"{subject.say('words.the')}{t.title.lower()}" for t in toothings)
