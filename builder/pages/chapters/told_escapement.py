"""What a chapter may name of the escapement: its angles, and how long each thing lasts in a period."""

from __future__ import annotations

from types import SimpleNamespace

from builder.going.going import Going
from builder.ground.wording import Wording
from builder.ground.words import THIN, figure, whole_and_part
from builder.pages.chapters.moments import Span, spans
from builder.pages.chapters.told_power import running
from builder.parts.escapement import DetachedLever, Working
from builder.parts.escapement.action import PalletReport
from builder.parts.escapement.counted import Counted


def escapement(going: Going, wording: Wording) -> SimpleNamespace:
    """Angles are the means of both pallets; `spans` is in order of time, from the entry pallet on, and empty where it stops."""
    made, train = going.movement.escapement, going.train
    named = spans(going, going.windings[0]) if going.windings else {}
    names = SimpleNamespace(
        kind=made.kind,
        name=made.name if isinstance(made, Counted) else wording.say(f"pages.escapements.{made.kind}"),
        teeth=train.escape_teeth,
        a_tooth=f"{figure(360 / train.escape_teeth, 3).rstrip('0').rstrip('.')}°",
        half_tooth=f"{figure(180 / train.escape_teeth, 3).rstrip('0').rstrip('.')}°",
        turns_wheel_takes=whole_and_part(train[train.path[-1]].hours_per_turn * 3600),
        spans={name: _span(span, wording) for name, span in named.items()},
        impulse=_total(named, "impulse"),
        free=_total(named, "free"),
        resting=_total(named, "locking"),
        drop_ms=_ms(sum(span.ms for span in named.values() if span.phase.key == "drop") / 2),
        solved=False,
        detached=isinstance(made, DetachedLever),
    )
    if isinstance(made, Working):
        beat = running(going)
        action = beat.works.course.action if beat is not None else made.action()
        names.solved = True
        both = (action.entry, action.exit)
        for angle in ("lock", "lift", "draw", "run"):
            setattr(names, angle, _mean(both, f"{angle}_deg"))
        names.drop, names.recoil = _mean(both, "drop_wheel_deg"), _mean(both, "recoil_wheel_deg")
    return names


def _mean(both: tuple[PalletReport, PalletReport], angle: str) -> str | None:
    value = sum(float(getattr(report, angle)) for report in both) / 2
    return f"{figure(value, 2)}°" if value > 1e-9 else None


def _span(span: Span, wording: Wording) -> SimpleNamespace:
    key = span.phase.name
    return SimpleNamespace(
        name=wording.say(f"drawings.phases.{key}"),
        means=wording.say(f"drawings.phase_meaning.{span.phase.key}"),
        key=span.phase.key,
        pallet=span.phase.pallet,
        lasts=_ms(span.ms),
    )


def _total(named: dict[str, Span], key: str) -> str | None:
    share = sum(span.share for span in named.values() if span.phase.key == key)
    return f"{figure(100 * share, 2)}{THIN}%" if share else None


def _ms(ms: float) -> str:
    return f"{figure(ms, 2)}{THIN}ms"
