"""The questions of a mainspring: its strip and what it lies in. Whoever has not had it out leaves them all."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from builder.ground.faults import Refused
from builder.parts.source import SOURCES
from builder.parts.source.barrel import Barrel
from builder.parts.source.chained import Line
from builder.parts.source.spring import Spring
from builder.starter.answers import chosen, kinds, measured, plainly
from builder.starter.conversation import Talk
from builder.starter.howto import HOW

Data = dict[str, Any]


def mainspring(talk: Talk, source: Data) -> Data:
    """The keys of [source] that they come to, besides those that it has; none where the strip was not measured."""
    kind = source["kind"]

    def size(name: str, text: str, of: Any, needed: bool = True, last: Callable[[float], Data] | None = None) -> float | None:
        def fits(value: float) -> str | None:
            return _misfit({**source, **last(value)}) if last else None

        table = {Spring: "spring.", Barrel: "barrel.", Line: "line."}.get(of, "")
        return talk.ask(measured(f"{table}{name}", text, HOW[f"source.{table}{name}"], of, name, "mm", fits, needed=needed))

    thickness = size("thickness_mm", "Mainspring: thickness of the strip?", Spring, needed=False)
    if thickness is None:
        return {}
    strip = {"thickness_mm": thickness, "height_mm": size("height_mm", "Mainspring: height of the strip?", Spring)}
    strip["length_mm"] = size("length_mm", "Mainspring: length of the strip?", Spring)
    made: Data = {"spring": strip}
    if kind == "open_spring":
        made["arbor_diameter_mm"] = size("arbor_diameter_mm", "The arbor where the spring lies on it: diameter?", SOURCES[kind])
        made["room_diameter_mm"] = size(
            "room_diameter_mm",
            "How wide can the spring open?",
            SOURCES[kind],
            last=lambda room: made | {"room_diameter_mm": room},
        )
        return made
    arbor = size("arbor_diameter_mm", "The barrel's arbor where the spring lies on it: diameter?", Barrel)
    made["barrel"] = {"arbor_diameter_mm": arbor}
    made["barrel"]["inside_diameter_mm"] = size(
        "inside_diameter_mm", "The barrel: diameter inside?", Barrel,
        last=lambda inside: made | {"barrel": {"arbor_diameter_mm": arbor, "inside_diameter_mm": inside}},
    )  # fmt: skip
    return made | (_cone(talk, size, made) if kind == "fusee" else {})


def _cone(talk: Talk, size: Callable[..., float | None], made: Data) -> Data:
    """The fusee's ends and its line, which the torque hangs on; nothing where they were not measured."""
    line: Data = {"kind": talk.ask(chosen("line", "What pulls the fusee round?", "", kinds(Line, "kind")))}
    thickness = size("thickness_mm", "How thick is it, from the groove's floor outwards?", Line, needed=False)
    if thickness is None:
        return {}
    line["thickness_mm"] = thickness
    end = size(
        "large_diameter_mm", "The fusee's large end: diameter at the groove's floor?", SOURCES["fusee"], needed=False,
        last=lambda large: made | {"line": line, "large_diameter_mm": large},
    )  # fmt: skip
    if end is None:
        return {}
    cone: Data = {"line": line, "large_diameter_mm": end}
    other = size(
        "small_diameter_mm", "Its small end: diameter at the groove's floor?", SOURCES["fusee"], needed=False,
        last=lambda small: made | cone | {"small_diameter_mm": small},
    )  # fmt: skip
    return cone if other is None else cone | {"small_diameter_mm": other}


def _misfit(source: Data) -> str | None:
    """Why these sizes cannot be together, or None."""
    try:
        found = SOURCES[source["kind"]].model_validate(source)
        if broken := found.complaints():
            raise Refused(broken)
    except Refused as refused:
        return plainly(refused, say_what=True)
    return None
