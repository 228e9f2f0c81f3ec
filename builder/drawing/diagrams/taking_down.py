"""Taking a movement down, step by step: in section, and in plan as it lies on the bench; parts leave and come back."""

from __future__ import annotations

from typing import Literal

from builder.drawing import figures
from builder.drawing.diagrams.side_view import axes, edges, side_of
from builder.drawing.path import View, number
from builder.drawing.plan_pieces import layers
from builder.drawing.sheet import Figure, Sheet
from builder.drawing.side import Side
from builder.drawing.table import Plate
from builder.going.going import Going
from builder.going.piece import Piece
from builder.going.taking_down import Step, TakingDown, taking_down
from builder.ground.wording import Wording

AWAY_PX = 64.0
"""How far a part has moved off when its step is shown."""
PLAN_PX = 700.0
"""The longer side of a plan."""

Seen = Literal["dial", "front", "back"]
"""What one looks at: the dial, the front plate and what is under it, or the back plate and what is under it."""


def seen(work: TakingDown, step: Step) -> Seen:
    """Which plan shows a step."""
    if step.stage in ("power", "pendulum", "hands", "dial"):
        return "dial"
    return "front" if step.stage == "motion work" else work.laid.loose


def side(going: Going, wording: Wording) -> Plate | None:
    """In section; None for a movement without plates. Without script an address that ends in a step's name shows that step."""
    work = taking_down(going)
    if work is None:
        return None
    view = side_of(work.laid, work.pieces)
    left, right = edges(view, work.pieces)
    top, bottom = view.view.y(view.high_mm), view.view.y(view.low_mm)
    stack = [axes(view, left, right), Figure(None, None, inner=tuple(view.figures(work.pieces.stays)))]
    stack += [*_apart(work, view), *_leaving(work, view)]
    return _plate(wording, "taking-down", going, len(work.steps), (left - AWAY_PX, top, right + AWAY_PX, bottom), stack)


def dial(going: Going, wording: Wording) -> Plate | None:
    """The dial and its hands from the front; None where there is neither."""
    work = taking_down(going)
    if work is None or not any(piece.stage in ("hands", "dial") for piece in work.pieces.off):
        return None
    radius = going.movement.dial.diameter_mm / 2 if going.movement.dial else 30.0
    x, y = work.laid.dial_at
    view = View(PLAN_PX / 2 / radius)
    pieces = [piece for piece in work.pieces.off if piece.stage in ("hands", "dial")]
    return _plan(work, wording, "dial", view, pieces, (x - radius, y - radius, x + radius, y + radius))


def front(going: Going, wording: Wording) -> Plate | None:
    """From the front, the dial off; None where nothing leaves to the front."""
    work = taking_down(going)
    if work is None:
        return None
    loose = work.laid.loose == "front"
    stages = {"motion work", "outside", *(("balance", "pallets", "plate", "train") if loose else ())}
    pieces = [piece for piece in work.pieces.off if piece.stage in stages and (loose or piece.way == "front")]
    return _plan(work, wording, "front", _near(work, back=False), [work.pieces.stays, *pieces]) if pieces else None


def back(going: Going, wording: Wording) -> Plate | None:
    """From the back, for a movement whose train comes out there."""
    work = taking_down(going)
    if work is None or work.laid.loose != "back":
        return None
    before = ("power", "pendulum", "hands", "dial", "motion work")
    pieces = [piece for piece in work.pieces.off if piece.stage not in before]
    return _plan(work, wording, "back", _near(work, back=True), [work.pieces.stays, *pieces])


def _near(work: TakingDown, back: bool) -> View:
    plates = work.laid.plates
    return View(PLAN_PX / max(plates.width_mm, plates.height_mm or plates.width_mm), back)


def _plan(
    work: TakingDown,
    wording: Wording,
    name: Seen,
    view: View,
    pieces: list[Piece],
    corners_mm: tuple[float, float, float, float] | None = None,
) -> Plate:
    if corners_mm is None:
        plates = work.laid.plates
        (x, y), w, h = plates.centre_mm, plates.width_mm / 2, (plates.height_mm or plates.width_mm) / 2
        corners_mm = (x - w, y - h, x + w, y + h)
    steps = _numbers(work)
    stack, beyond = [], [(0.0, 0.0)]
    for _, owner, figure in layers(work.laid, pieces, view):
        n, piece = steps.get(owner), next(each for each in pieces if each.id == owner)
        away = (0.0, 0.0)
        if piece.way == "aside":
            away = figures.px_at(View(AWAY_PX, view.back), piece.direction)
        beyond.append(away)
        stack.append(Figure(None, None, inner=(figure,), classes="piece" if n else "", data=_data(n, away) if n else ()))
    ends = [figures.px_at(view, corner) for corner in (corners_mm[:2], corners_mm[2:])]
    xs, ys = sorted(end[0] for end in ends), sorted(end[1] for end in ends)
    dx, dy = ([step[k] for step in beyond] for k in (0, 1))  # room for what leaves sideways
    box = (xs[0] + min(dx), ys[0] + min(dy), xs[1] + max(dx), ys[1] + max(dy))
    return _plate(wording, f"taking-down-{name}", work.laid.going, len(work.steps), box, stack)


def _plate(
    wording: Wording, slug: str, going: Going, steps: int, edges_px: tuple[float, float, float, float], stack: list[Figure]
) -> Plate:
    left, top, right, bottom = edges_px
    key = slug.replace("-", "_")
    sheet = Sheet(
        slug,
        wording.say(f"taking_down.drawings.{key}.title", name=going.name),
        wording.say(f"taking_down.drawings.{key}.desc", steps=steps),
        (left - 16, top - 16, right - left + 32, bottom - top + 32),
        tuple(stack),
        classes="stepped",
    )
    return Plate(sheet, (), ())


def _numbers(work: TakingDown) -> dict[str, int]:
    """The step at which each piece of the movement leaves."""
    return {piece.id: n for n, step in enumerate(work.steps, 1) for piece in step.pieces if step.stage != "apart"}


def _data(step: int, away: tuple[float, float], since: int | None = None) -> tuple[tuple[str, str], ...]:
    """For the script: leaves at this step, by so many px, and (where it only then comes to the bench) is shown after a step."""
    said = (("step", str(step)), ("away", f"{number(away[0])} {number(away[1])}"))
    return said if since is None else (*said, ("since", str(since)))


def _away(piece: Piece) -> tuple[float, float]:
    """Which way a piece leaves the section, px: its front is at the left, the line runs upwards."""
    along = {"front": (-AWAY_PX, 0.0), "back": (AWAY_PX, 0.0), "aside": (0.0, -AWAY_PX), "down": (0.0, AWAY_PX)}
    return along[piece.way]


def _leaving(work: TakingDown, view: Side) -> list[Figure]:
    """The steps from the last to the first, each after the mark of its name: a mark that is pointed at hides what follows."""
    made = []
    for n, step in sorted(enumerate(work.steps, 1), key=lambda each: -each[0]):
        if step.stage == "apart":
            continue
        made.append(Figure(None, None, mark=f"step-{n}", classes="step-mark"))
        drawn = tuple(figure for piece in step.pieces for figure in view.figures(piece))
        if drawn:
            made.append(Figure(None, None, inner=drawn, classes="piece", data=_data(n, _away(step.pieces[0]))))
    return made


def _apart(work: TakingDown, view: Side) -> list[Figure]:
    """What is taken apart once it is out, shown by itself in its old place: the parts as they leave, then what is left."""
    made, rests = [], []
    last = len(work.steps) + 1
    since: dict[str, int] = {}
    for n, step in enumerate(work.steps, 1):
        if step.stage != "apart":
            continue
        (piece,) = step.pieces
        whole = work.pieces[piece.of or ""]
        if whole.id not in since:
            since[whole.id] = n - 1
            gone = {solid.part for each in work.pieces.apart if each.of == whole.id for solid in each.solids}
            rest = Piece(whole.id, tuple(s for s in whole.solids if s.part not in gone), whole.way, whole.stage)
            rests.append((rest, n - 1))
        made.append(Figure(None, None, mark=f"step-{n}", classes="step-mark apart"))
        drawn = tuple(view.figures(piece))
        made.append(Figure(None, None, inner=drawn, classes="piece later", data=_data(n, _away(piece), since[whole.id])))
    for rest, start in rests:
        drawn = tuple(view.figures(rest))
        made.append(Figure(None, None, inner=drawn, classes="piece later", data=_data(last, (0.0, 0.0), start)))
    return made
