"""At the bench: taking the movement down and putting it together, step by step, each with its cautions."""

from __future__ import annotations

from builder.drawing.diagrams.side_view import name_of
from builder.drawing.diagrams.taking_down import seen
from builder.going.taking_down import LET_DOWN, Step, TakingDown, held_by, taking_down
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages import bench_said
from builder.pages.bench_said import Facts, Said
from builder.pages.shown import Context, Shown
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.source.going_barrel import GoingBarrel

PLANS = ("dial", "front", "back")


def context(shown: Shown, wording: Wording) -> Context | None:
    """None for a movement without plates."""
    work = taking_down(shown.going)
    if work is None or "taking-down" not in shown.plates:
        return None
    say, drawn = wording.say, _drawn(shown)
    return {
        "title": say("taking_down.page.title", name=shown.going.name),
        "lede": say("taking_down.page.lede", steps=len(work.steps)),
        "begins": say(f"taking_down.page.{begins}") if (begins := _begins(work)) else None,
        "section": shown.plate("taking-down"),
        "plans": [
            {"seen": name, **shown.plate(f"taking-down-{name}")} for name in PLANS if f"taking-down-{name}" in shown.plates
        ],
        "steps": [_step(work, wording, drawn, n, step) for n, step in enumerate(work.steps, 1)],
        "estimated": bool(work.laid.supposed),
    }


def _drawn(shown: Shown) -> set[int]:
    """Steps at which something leaves a drawing."""
    figures = [figure for slug, plate in shown.plates.items() if slug.startswith("taking-down") for figure in plate.sheet.figures]
    return {int(dict(figure.data)["step"]) for figure in figures if figure.data}


def _begins(work: TakingDown) -> str | None:
    """Where the movement is at the first step. A pendulum comes off in the case: its own step says so."""
    if isinstance(work.laid.movement.oscillator, Pendulum):
        return None
    return "out_of_case_keyless" if work.laid.movement.keyless else "out_of_case"


def _step(work: TakingDown, wording: Wording, drawn: set[int], n: int, step: Step) -> Context:
    facts = _facts(work, wording, step)
    base = f"taking_down.steps.{bench_said.key(work, step)}"

    def optional(what: str) -> str | None:
        return wording.say(f"{base}.{what}", **facts) if f"{base}.{what}" in wording else None

    def all_of(what: str, besides: Said) -> str:
        more = [wording.say(f"taking_down.more.{name}", **told) for name, told in besides]
        return " ".join([wording.say(f"{base}.{what}", **facts), *more])

    take_more, put_more = bench_said.besides(work, step)
    down, up = (words.capital(wording.say(f"{base}.{way}", **facts)) for way in ("down", "up"))
    take = all_of("take", take_more)
    cautions = [wording.say(f"taking_down.cautions.{name}", **told) for name, told in bench_said.cautions(work, step)]
    held = [_name(work, wording, name) for name in _held(work, step)]
    return {
        "n": n,
        "down": down,
        "up": up,
        "take": take,
        "put": all_of("put", put_more),
        "oil": optional("oil"),
        "dry": optional("dry"),
        "freed": wording.say("taking_down.page.freed", parts=_listed(wording, held)) if held else None,
        "cautions": cautions,
        "on_return": [wording.say(f"taking_down.cautions.{name}") for name in bench_said.on_return(step)],
        "says": wording.say("taking_down.page.says", n=n, title=down, text=" ".join([*cautions, take])),
        "drawn": step.id == LET_DOWN or n in drawn,
        "seen": seen(work, step),
        "parts": " ".join(_parts(step)),
    }


def _held(work: TakingDown, step: Step) -> list[str]:
    """What held a step, without the weight and pendulum that leave first of all by rule alone."""
    by_rule = {piece.id for piece in work.pieces.off if piece.stage in ("power", "pendulum")}
    held = {name for piece in step.pieces for name in held_by(piece, [work.pieces[each] for each in step.freed_by])}
    return [name for name in step.freed_by if name in held or name not in by_rule]


def _parts(step: Step) -> tuple[str, ...]:
    """What drawings mark at a step."""
    return ("mainspring", "ratchet-wheel") if step.id == LET_DOWN else step.parts or tuple(piece.id for piece in step.pieces)


def _listed(wording: Wording, names: list[str]) -> str:
    joined = wording.say("taking_down.parts.joined")
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + joined + names[-1]


def _name(work: TakingDown, wording: Wording, piece: str) -> str:
    """A piece in words, in the middle of a sentence."""
    laid = work.laid
    if piece in {arbor.id for arbor in laid.movement.arbors}:
        title = laid.train[piece].title.lower()
        return (
            title if isinstance(laid.movement.source, GoingBarrel) and piece == laid.movement.source.arbor else f"{title} arbor"
        )
    named = {"pillar-pins": "plate-screws" if laid.style == "watch" else piece, "chain": bench_said.line(work)}
    return name_of(laid, wording, named.get(piece, piece)).lower()


def _facts(work: TakingDown, wording: Wording, step: Step) -> Facts:
    """Names and figures that the sentences of a step may want."""
    if not step.pieces:
        return {}
    piece = step.pieces[0]
    arbors = work.laid.heights.endshake_mm
    title = work.laid.train[piece.id].title.lower() if piece.id in arbors else piece.id
    parts = [part for part in piece.parts if not part.endswith("-arbor")]
    named = [name_of(work.laid, wording, part).lower() for part in parts]
    return {
        "name": title,
        "names": _listed(wording, [_name(work, wording, each.id) for each in step.pieces]),
        "parts": _listed(wording, named) if named else "",
        "endshake": words.figure(arbors[piece.id], 2) if piece.id in arbors else "",
    }
