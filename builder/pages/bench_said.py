"""What is said at a step of the bench: which sentences, which cautions, and what some movements want said besides."""

from __future__ import annotations

from builder.going.power import pivot_radius_mm
from builder.going.shafts import clutch_solids
from builder.going.taking_down import LET_DOWN, Step, TakingDown
from builder.ground import words
from builder.parts.clutch import SlottedPinion, SnappedPinion
from builder.parts.escapement import DetachedLever
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight

Facts = dict[str, str]
Said = list[tuple[str, Facts]]
"""Entries of the wording, each with its figures."""


def key(work: TakingDown, step: Step) -> str:
    """Which entry of the wording tells a step."""
    laid, source = work.laid, work.laid.movement.source
    if step.id == LET_DOWN:
        return "let_down_keyless" if laid.movement.keyless is not None else f"let_down_{source.kind}"
    if len(step.pieces) > 1:
        return "together"
    (piece,) = step.pieces
    if piece.stage == "apart":
        open_spring = piece.id == "mainspring" and isinstance(source, OpenSpring)
        return "mainspring-open" if open_spring else "great-wheel" if piece.id.endswith("-wheel") else piece.id
    if piece.id == source.arbor:
        return "barrel" if isinstance(source, GoingBarrel) else "source"
    if piece.id == laid.train.path[-1]:
        return "escape"
    if piece.id in laid.heights.endshake_mm:
        return "arbor-washer" if piece.id == laid.cannon_on and clutch_solids(laid) else "arbor"
    return _of_its_kind(work, piece.id, piece.way == "aside")


def _of_its_kind(work: TakingDown, piece: str, aside: bool) -> str:
    """What is told otherwise from movement to movement."""
    laid = work.laid
    there = {each.id for each in work.pieces.off}
    both = {"minute-hand", "hour-hand"} <= there
    kinds = {
        "pallets": "pallets" if aside else "pallets-lever",
        "pillar-pins": "pillar-screws" if laid.style == "watch" else piece,
        "cannon-pinion": "cannon-pinion-fast" if isinstance(laid.clutch, SnappedPinion | SlottedPinion) else piece,
        "hour-wheel": piece if laid.cannon_on else "hour-wheel-post",
        "hour-hand": piece if both else "hour-hand-alone",
        "minute-hand": piece if both else "minute-hand-alone",
        "balance": _balance(work),
        "chain": line(work),
    }
    return kinds.get(piece, piece)


def _balance(work: TakingDown) -> str:
    escapement = work.laid.movement.escapement
    lever = isinstance(escapement, DetachedLever)
    return "balance" if lever else "balance-cylinder" if escapement.kind == "cylinder" else "balance-plain"


def line(work: TakingDown) -> str:
    """What a fusee pulls: a chain, or a line of gut or steel."""
    source = work.laid.movement.source
    return "line" if isinstance(source, Fusee) and source.line and source.line.kind != "chain" else "chain"


def first_wheel(work: TakingDown) -> str:
    """The wheel by which the power enters the train, as it is called in a sentence."""
    arbor = work.laid.movement.source.arbor
    own = [t.title for t in work.laid.plan.toothings if t.arbor == arbor]
    return (own[0] if own else work.laid.train[arbor].title).lower()


def cautions(work: TakingDown, step: Step) -> Said:
    """What can hurt hands or the movement at a step."""
    laid, source = work.laid, work.laid.movement.source
    stored = source.stored
    found: Said = []
    pieces = {piece.id: piece for piece in step.pieces}
    if step.id == LET_DOWN:
        found.append(("energy", {"energy": words.figure(stored.energy_j, 2)}) if stored else ("energy_unknown", {}))
    if "weight" in pieces and isinstance(source, Weight):
        told = {"mass": f"{source.mass_kg:g}", "energy": words.figure(stored.energy_j, 2)} if stored else {}
        found.append(("weight", told) if stored else ("weight_unknown", {}))
    if "pendulum" in pieces and isinstance(laid.movement.oscillator, Pendulum):
        found.append(("bob", {"mass": words.figure(laid.movement.oscillator.bob.mass_g / 1000, 2)}))
    if "dial" in pieces:
        found.append(("lume", {}))
    if _first(work, step, "balance-cock", "balance-screw", "balance"):
        found.append(("hairspring", {}))
    if "chain" in pieces and line(work) == "chain":
        found.append(("chain", {}))
    if _first(work, step, "pallets", "pillar-pins"):
        found.append(("no_power", {"wheel": first_wheel(work)}))
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


def _first(work: TakingDown, step: Step, *names: str) -> bool:
    """Whether this is the first step with a piece of those names."""
    return next((each for each in work.steps if any(piece.id in names for piece in each.pieces)), None) is step


def _pivots(work: TakingDown) -> Facts:
    """How many pivots stand in the loose plate, and the finest of them."""
    laid = work.laid
    finest = min(2 * pivot_radius_mm(laid.movement, laid.plan, arbor.id) for arbor in laid.movement.arbors)
    held = [piece for piece in work.pieces.off if piece.stage == "train" and piece.solids]
    return {"pivots": str(len(held)), "diameter": words.figure(finest, 2)}


def on_return(step: Step) -> list[str]:
    """Cautions that belong to putting together."""
    if step.id == LET_DOWN:
        return ["wind_first"]
    return ["feed"] if step.stage == "plate" and step.id != "pillar-pins" else []


def besides(work: TakingDown, step: Step) -> tuple[Said, Said]:
    """What is said after a step's own sentence, taking down and putting together."""
    oscillator = work.laid.movement.oscillator
    names = {piece.id for piece in step.pieces}
    take: Said = []
    put: Said = []
    if "pendulum" in names:
        take.append(("case_take", {}))
        put.append(("case_put", {}))
    if (
        isinstance(oscillator, Balance)
        and oscillator.hairspring.regulator_mm
        and _first(work, step, "balance-cock", "balance-screw")
    ):
        take.append(("regulator_take", {}))
        put.append(("regulator_put", {}))
    if "pillar-pins" in names:
        put += _tried(work)
    if step is work.steps[0] and (beat := _beat(work)):  # the last of putting together: now it goes
        put.append((beat, {}))
    return take, put


def _tried(work: TakingDown) -> Said:
    """The train without its pallets, or the lever under a little power, before oil and hands are spent on what is not free."""
    pallets = next((piece for piece in work.pieces.off if piece.id == "pallets"), None)
    if pallets is None:
        return []
    told = {"wheel": first_wheel(work)}
    if pallets.stage == "pallets":
        return [("run_free", told)]
    return [("lever_snaps", told)] if isinstance(work.laid.movement.escapement, DetachedLever) else []


def _beat(work: TakingDown) -> str | None:
    """How its being in beat is seen."""
    oscillator = work.laid.movement.oscillator
    if isinstance(oscillator, Pendulum):
        return "beat_pendulum"
    if not isinstance(oscillator, Balance):
        return None
    return {"balance": "beat_lever", "balance-cylinder": "beat_cylinder"}.get(_balance(work), "beat_balance")
