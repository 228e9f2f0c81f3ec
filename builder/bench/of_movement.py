"""Sums worked with one movement's own figures: what was missing is asked for, what is known is put in as it would be measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from builder.bench import MOVEMENT_SUMS, work
from builder.bench.trains.notation import Pairs, notation
from builder.bench.working.lines import Working
from builder.bench.working.units import Value
from builder.going.going import Going
from builder.going.sizes import Sized
from builder.going.steady import Running
from builder.ground.constants import GRAVITY_STANDARD_M_S2
from builder.ground.faults import Refused
from builder.parts.motion_work import CANNON, HOUR, MINUTE, MinuteAndHour
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.rating import simple_length_m
from builder.parts.source import Fusee, GoingBarrel, Weight
from builder.parts.source.spring import Spring

OTHER_STRIP = 1.1
"""How much thicker the other mainspring is: a tenth, as a replacement easily is."""


@dataclass(frozen=True)
class Worked:
    """One sum, asked and answered."""

    key: str
    """Names its heading in the wording."""
    name: str
    """The sum, as the command has it."""
    texts: Mapping[str, str]
    working: Working
    parts: tuple[str, ...] = ()
    """Titles of the parts that it is about."""
    own: Mapping[str, Value] = field(default_factory=dict)
    """Cells of the row that is the movement's own."""


def worked(going: Going) -> list[Worked]:
    """Every sum that this movement has the figures for, trains first; what cannot be asked of it is left out."""
    found = []
    for key, name, texts, parts, own in (*_missing(going), *_teeth(going), *_source(going), *_oscillator(going)):
        try:
            working = work(name, texts, going if name in MOVEMENT_SUMS else None)
        except Refused:
            continue
        found.append(Worked(key, name, texts, working, parts, own))
    return found


Asked = tuple[str, str, dict[str, str], tuple[str, ...], dict[str, Value]]
"""(heading, sum, as it is asked, titles of the parts that it is about, cells of the row that is the movement's own)."""


def _plain(value: float | Fraction) -> str:
    return str(value) if isinstance(value, Fraction) else f"{value:.6g}"


def _minute(going: Going) -> int | None:
    """Number of the arbor on the power path that turns once an hour; None where none carries the minute hand."""
    work_on = going.movement.motion_work
    carriers = [work_on.on if arbor == CANNON and work_on else arbor for shows, arbor in going.train.hands if shows == "minutes"]
    return next((going.train.path.index(arbor) + 1 for arbor in carriers if arbor in going.train.path), None)


def _speeds(going: Going) -> dict[str, str]:
    """What tells the speed of the train: the minute hand where there is one, and the beat."""
    train = going.train
    told = {"escape_teeth": str(train.escape_teeth), "beats_per_hour": _plain(train.beats_per_hour)}
    if train.beats_per_tooth != 2:
        told["beats_per_tooth"] = str(train.beats_per_tooth)
    minute = _minute(going)
    return told | ({"minute_arbor": str(minute)} if minute else {"first_hours": _plain(train[train.path[0]].hours_per_turn)})


def _without(going: Going, holes: set[tuple[int, int]]) -> str:
    pairs: Pairs = tuple((pair.driver_count, pair.driven_count) for pair in going.train.path_pairs)
    return notation(tuple(tuple(None if (k, s) in holes else mesh[s] for s in (0, 1)) for k, mesh in enumerate(pairs)))  # type: ignore[misc]


def _mesh(going: Going, k: int) -> Sized:
    pair = going.train.path_pairs[k]
    return next(one for one in going.plan.sized if one.pair == pair)


def _part(going: Going, k: int, side: int) -> str:
    pair = going.train.path_pairs[k]
    return going.plan.of(*((pair.driver, pair.driver_part), (pair.driven, pair.driven_part))[side]).title


def _missing(going: Going) -> Iterator[Asked]:
    train = going.train
    start = (_minute(going) or 1) - 1
    if len(train.path_pairs) <= start:
        return
    wheel = min(start + 1, len(train.path_pairs) - 1)
    size = _mesh(going, wheel)
    texts = {"train": _without(going, {(wheel, 0)})} | _speeds(going)
    texts |= {
        "distance_mm": f"{wheel + 1}={size.distance_mm:.2f}",
        "driven_mm": f"{wheel + 1}={2 * size.gears.driven.tip_mm:.2f}",
    }
    own: dict[str, Value] = {f"driver.{wheel + 1}": size.pair.driver_count}
    yield "missing_one", "missing", texts, (_part(going, wheel, 0),), own
    size = _mesh(going, start)
    texts = (
        {"train": _without(going, {(start, 0), (start, 1)})}
        | _speeds(going)
        | {"distance_mm": f"{start + 1}={size.distance_mm:.2f}"}
    )
    own = {f"driver.{start + 1}": size.pair.driver_count, f"driven.{start + 2}": size.pair.driven_count}
    yield "missing_mesh", "missing", texts, (_part(going, start, 0), _part(going, start, 1)), own
    if start and going.movement.source.turns is not None and train.going_hours is not None and train.source_turns is not None:
        texts = {"train": _without(going, {(0, 0)}), "minute_arbor": str(start + 1), "turns": _plain(train.source_turns)}
        texts |= {"going_hours": _plain(train.going_hours)}
        yield "missing_great", "missing", texts, (_part(going, 0, 0),), {"driver.1": train.path_pairs[0].driver_count}
    motion = going.movement.motion_work
    if isinstance(motion, MinuteAndHour):
        hole = ((motion.cannon_leaves, motion.minute_wheel_teeth), (motion.minute_pinion_leaves, None))
        texts = {"train": notation(hole), "minute_arbor": "1", "hour_arbor": "3", "dial_hours": str(motion.dial_hours)}
        second = next(one for one in going.plan.sized if (one.pair.driver, one.pair.driven) == (MINUTE, HOUR))
        texts |= {"distance_mm": f"2={second.distance_mm:.2f}", "driver_mm": f"2={2 * second.gears.driver.tip_mm:.2f}"}
        yield "missing_dial", "missing", texts, (going.plan.of(HOUR, "wheel").title,), {"driven.3": motion.hour_wheel_teeth}


def _teeth(going: Going) -> Iterator[Asked]:
    start = (_minute(going) or 1) - 1
    if len(going.train.path_pairs) <= start:
        return
    size = _mesh(going, start)
    counts = {"wheel_teeth": str(size.pair.driver_count), "pinion_leaves": str(size.pair.driven_count), "form": size.form}
    tips = {"wheel_mm": f"{2 * size.gears.driver.tip_mm:.2f}", "pinion_mm": f"{2 * size.gears.driven.tip_mm:.2f}"}
    parts = (_part(going, start, 0), _part(going, start, 1))
    yield "pair", "pair", counts | tips | {"distance_mm": f"{size.distance_mm:.2f}"}, parts, {}
    friction = f"{going.movement.friction.teeth:g}"
    yield "depth", "depth", counts | {"module_mm": _plain(size.module_mm), "friction": friction}, parts, {}


def _strip(spring: Spring) -> dict[str, str]:
    sizes = {name: _plain(getattr(spring, name)) for name in ("thickness_mm", "length_mm", "height_mm")}
    return sizes | {"material": spring.material, "set": _plain(spring.set_part)}


def _source(going: Going) -> Iterator[Asked]:
    source, train = going.movement.source, going.train
    spring = None if isinstance(source, Weight) else source.spring
    if isinstance(source, GoingBarrel | Fusee) and spring and source.barrel:
        barrel = {"barrel_mm": _plain(source.barrel.inside_diameter_mm), "arbor_mm": _plain(source.barrel.arbor_diameter_mm)}
        yield "mainspring", "mainspring", barrel | _strip(spring), (), {}
    if isinstance(source, Fusee) and source.chained:
        chained = source.chained
        wound_on = chained.housed.preload_turns + chained.set_up_turns
        pull = chained.housed.pull_nmm_per_turn
        ends = {"wound_nmm": _plain(pull * (wound_on + chained.barrel_turns)), "down_nmm": _plain(pull * wound_on)}
        cone = {
            "large_mm": _plain(2 * chained.cone.large_mm),
            "turns": _plain(chained.cone.turns),
            "drum_mm": _plain(2 * chained.drum_mm),
        }
        yield "fusee", "fusee", ends | cone, (), {}
    if isinstance(source, Weight) and source.drum_diameter_mm and train.source_turns is not None:
        texts = {
            "great_hours": _plain(train[train.path[0]].hours_per_turn), "turns": _plain(train.source_turns),
            "drum_mm": _plain(source.drum_diameter_mm), "cord_mm": _plain(source.cord_mm or 0.0), "lines": str(source.lines),
            "beats_per_hour": _plain(train.beats_per_hour),
        }  # fmt: skip
        yield "weight_fall", "weight-fall", texts | ({"mass_kg": _plain(source.mass_kg)} if source.mass_kg else {}), (), {}
    if spring and going.beat is not None and source.measured is None:
        yield "other_spring", "other-spring", {"thickness_mm": f"{OTHER_STRIP * spring.thickness_mm:.3g}"}, (), {}


def _oscillator(going: Going) -> Iterator[Asked]:
    oscillator = going.movement.oscillator
    beats = _plain(going.train.beats_per_hour)
    swings = next((w.beat.amplitude_deg for w in going.windings[1:] if isinstance(w.beat, Running)), None)
    if isinstance(oscillator, Pendulum):
        yield "pendulum_length", "pendulum-length", {"beats_per_hour": beats}, (), {}
        if (nut := oscillator.rating_nut) is not None:
            texts = {"beats_per_hour": beats, "pitch_mm": _plain(nut.pitch_mm), "rate_s_per_day": "10"}
            yield "rating_nut", "rating-nut", texts | ({"divisions": str(nut.divisions)} if nut.divisions else {}), (), {}
        length = _plain(1e3 * simple_length_m(float(going.train.beat_s), GRAVITY_STANDARD_M_S2))
        mass = _plain(oscillator.rod.mass_kg() + oscillator.bob.mass_g / 1e3)
        yield "added_weight", "added-weight", {"pendulum_kg": mass, "length_mm": length, "rate_s_per_day": "1"}, (), {}
        if swings is not None and swings < 25:
            yield "circular_error", "circular-error", {"semi_arc_deg": f"{swings:.3g}", "to_deg": f"{1.1 * swings:.3g}"}, (), {}
        yield "warmth", "warmth", {"rod": oscillator.rod.material, "rise_c": "10", "length_mm": length}, (), {}
    if isinstance(oscillator, Balance) and going.beat is not None:
        spring = oscillator.hairspring
        inertia = _plain(1e10 * going.beat.terms.inertia_kg_m2)
        strip = (
            {"height_mm": _plain(spring.height_mm), "length_mm": _plain(spring.length_mm)}
            if spring.height_mm and spring.length_mm
            else {}
        )
        if spring.material not in ("steel", "bronze", "elinvar"):
            strip = {}
        made_of = {"material": spring.material} if strip else {}
        swing = {"amplitude_deg": f"{swings:.3g}"} if swings is not None else {}
        yield "hairspring", "hairspring", {"inertia_mg_cm2": inertia, "beats_per_hour": beats} | strip | made_of | swing, (), {}
        if spring.length_mm:
            yield "shorter_spring", "shorter-spring", {"length_mm": _plain(spring.length_mm), "rate_s_per_day": "30"}, (), {}
        if (screws := oscillator.screws) is not None:
            radius = screws.radius_mm if screws.radius_mm is not None else oscillator.diameter_mm / 2
            texts = {
                "inertia_mg_cm2": inertia,
                "mass_mg": _plain(screws.mass_mg),
                "radius_mm": _plain(radius),
                "rate_s_per_day": "30",
            }
            yield "timing_screws", "timing-screws", texts, (), {}
