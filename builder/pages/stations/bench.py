"""At the bench: taking the movement down and putting it together, step by step, each with its cautions."""

from __future__ import annotations

from builder.drawing.diagrams.side_view import name_of
from builder.drawing.diagrams.taking_down import seen
from builder.going.piece import Piece
from builder.going.power import pivot_radius_mm
from builder.going.taking_down import LET_DOWN, Step, TakingDown, taking_down
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown
from builder.parts.clutch import SlottedPinion, SnappedPinion
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight

PLANS = ("dial", "front", "back")


def context(shown: Shown, wording: Wording) -> Context | None:
    """None for a movement without plates."""
    work = taking_down(shown.going)
    if work is None or "taking-down" not in shown.plates:
        return None
    say = wording.say
    down = [_step(work, wording, n, step) for n, step in enumerate(work.steps, 1)]
    return {
        "title": say("taking_down.page.title", name=shown.going.name),
        "lede": say("taking_down.page.lede", steps=len(work.steps)),
        "section": shown.plate("taking-down"),
        "plans": [
            {"seen": name, **shown.plate(f"taking-down-{name}")} for name in PLANS if f"taking-down-{name}" in shown.plates
        ],
        "steps": down,
        "estimated": bool(work.laid.supposed),
    }


def _step(work: TakingDown, wording: Wording, n: int, step: Step) -> Context:
    key, facts = _key(work, step), _facts(work, wording, step)
    base = f"taking_down.steps.{key}"
    held = [_name(work, wording, name) for name in step.freed_by]

    def optional(what: str) -> str | None:
        return wording.say(f"{base}.{what}", **facts) if f"{base}.{what}" in wording else None

    down, up = (wording.say(f"{base}.{way}", **facts) for way in ("down", "up"))
    down, up = _first_large(down), _first_large(up)
    take = wording.say(f"{base}.take", **facts)
    cautions = [wording.say(f"taking_down.cautions.{name}", **told) for name, told in _cautions(work, step)]
    return {
        "n": n,
        "down": down,
        "up": up,
        "take": take,
        "put": wording.say(f"{base}.put", **facts),
        "oil": optional("oil"),
        "dry": optional("dry"),
        "freed": wording.say("taking_down.page.freed", parts=_listed(wording, held)) if held else None,
        "cautions": cautions,
        "on_return": [wording.say(f"taking_down.cautions.{name}") for name in _on_return(step)],
        "says": wording.say("taking_down.page.says", n=n, title=down, text=" ".join([*cautions, take])),
        "seen": seen(work, step),
        "parts": " ".join(_parts(step)),
    }


def _parts(step: Step) -> tuple[str, ...]:
    """What drawings mark at a step."""
    return ("mainspring", "ratchet-wheel") if step.id == LET_DOWN else step.parts or tuple(piece.id for piece in step.pieces)


def _first_large(text: str) -> str:
    return text[:1].upper() + text[1:]


def _listed(wording: Wording, names: list[str]) -> str:
    joined = wording.say("taking_down.parts.joined")
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + joined + names[-1]


def _name(work: TakingDown, wording: Wording, piece: str) -> str:
    """A piece in words, in the middle of a sentence."""
    if piece in {arbor.id for arbor in work.laid.movement.arbors}:
        title = work.laid.train[piece].title.lower()
        return title if isinstance(work.laid.movement.source, GoingBarrel) and piece == _source(work) else f"{title} arbor"
    return name_of(work.laid, wording, "plate-screws" if piece == "pillar-pins" and work.laid.style == "watch" else piece).lower()


def _source(work: TakingDown) -> str:
    return work.laid.movement.source.arbor


def _key(work: TakingDown, step: Step) -> str:
    """Which entry of the wording tells a step."""
    laid, source = work.laid, work.laid.movement.source
    if step.id == LET_DOWN:
        return f"let_down_{source.kind}"
    if len(step.pieces) > 1:
        return "together"
    (piece,) = step.pieces
    if piece.stage == "apart":
        open_spring = piece.id == "mainspring" and isinstance(source, OpenSpring)
        return "mainspring-open" if open_spring else "great-wheel" if piece.id.endswith("-wheel") else piece.id
    if piece.id == _source(work):
        return "barrel" if isinstance(source, GoingBarrel) else "source"
    if piece.id == laid.train.path[-1]:
        return "escape"
    if piece.id in laid.heights.endshake_mm:
        return "arbor"
    if piece.id == "pallets" and piece.way != "aside":
        return "pallets-lever"
    if piece.id == "pillar-pins" and laid.style == "watch":
        return "pillar-screws"
    if piece.id == "cannon-pinion" and isinstance(laid.clutch, SnappedPinion | SlottedPinion):
        return "cannon-pinion-fast"
    return piece.id


def _facts(work: TakingDown, wording: Wording, step: Step) -> dict[str, str]:
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


def _cautions(work: TakingDown, step: Step) -> list[tuple[str, dict[str, str]]]:
    """What can hurt hands or the movement at a step: (entry of the wording, its figures)."""
    laid, source = work.laid, work.laid.movement.source
    stored = source.stored
    found: list[tuple[str, dict[str, str]]] = []
    pieces = {piece.id: piece for piece in step.pieces}
    if step.id == LET_DOWN:
        told = {"energy": words.figure(stored.energy_j, 2)} if stored else {}
        found.append(("energy", told) if stored else ("energy_unknown", {}))
    if "weight" in pieces and isinstance(source, Weight):
        told = {"mass": f"{source.mass_kg:g}", "energy": words.figure(stored.energy_j, 2)} if stored else {}
        found.append(("weight", told) if stored else ("weight_unknown", {}))
    if "pendulum" in pieces and isinstance(laid.movement.oscillator, Pendulum):
        found.append(("bob", {"mass": words.figure(laid.movement.oscillator.bob.mass_g / 1000, 2)}))
    if "dial" in pieces:
        found.append(("lume", {}))
    if pieces.keys() & {"balance-cock", "balance-screw", "balance"} and _first(
        work, step, ("balance-cock", "balance-screw", "balance")
    ):
        found.append(("hairspring", {}))
    if "chain" in pieces:
        found.append(("chain", {}))
    if pieces.keys() & {"pallets", "pillar-pins"} and _first(work, step, ("pallets", "pillar-pins")):
        found.append(("no_power", {}))
    if "pillar-pins" in pieces and isinstance(source, OpenSpring) and stored and stored.kept_j:
        found.append(("kept_open", {"kept": words.figure(stored.kept_j, 2)}))
    if any(piece.stage == "plate" and piece.id != "pillar-pins" for piece in step.pieces):
        found.append(("pivots", _pivots(work)))
    if "cover" in pieces:
        found.append(("barrel", {}))
        if stored and stored.kept_j:
            found.append(("kept_barrel", {"kept": words.figure(stored.kept_j, 2)}))
    if "mainspring" in pieces and not isinstance(source, OpenSpring):
        found.append(("barrel_spring", {}))
    return found


def _first(work: TakingDown, step: Step, names: tuple[str, ...]) -> bool:
    """Whether this is the first step with a piece of those names."""
    return next(each for each in work.steps if any(piece.id in names for piece in each.pieces)) is step


def _pivots(work: TakingDown) -> dict[str, str]:
    """How many pivots stand in the loose plate, and the finest of them."""
    laid = work.laid
    arbors = [arbor.id for arbor in laid.movement.arbors]
    finest = min(2 * pivot_radius_mm(laid.movement, laid.plan, arbor) for arbor in arbors)
    held: list[Piece] = [piece for piece in work.pieces.off if piece.stage == "train" and piece.solids]
    return {"pivots": str(len(held)), "diameter": words.figure(finest, 2)}


def _on_return(step: Step) -> list[str]:
    """Cautions that belong to putting together."""
    if step.id in (LET_DOWN, "weight"):
        return ["wind_first"] if step.id == LET_DOWN else []
    return ["feed"] if step.stage == "plate" and step.id != "pillar-pins" else []
