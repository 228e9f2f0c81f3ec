"""The questions of a balance and its hairspring. Whoever cannot take it out leaves them all."""

from __future__ import annotations

from typing import Any

from builder.ground.faults import Refused
from builder.parts.oscillator.balance import Balance, Hairspring, Rim, Screws
from builder.starter.answers import counted, measured, plainly
from builder.starter.conversation import Talk
from builder.starter.howto import HOW

Data = dict[str, Any]


def balance(talk: Talk, beats_per_hour: float) -> Data | None:
    """[oscillator] from rim, screws and hairspring, whose thickness follows from the beat; None where nothing was measured."""
    over = talk.ask(
        measured("balance over", "Balance: diameter over the rim?", HOW["oscillator.diameter_mm"], Balance, "diameter_mm", "mm")
    )
    if over is None:
        return None
    rim: Data = {}
    for key, text in (
        ("width_mm", "Rim: how wide, seen from above?"),
        ("height_mm", "Rim: how high, seen from the side?"),
        ("arm_width_mm", "Arms: how wide is one?"),
    ):
        rim[key] = talk.ask(measured(f"rim {key}", text, HOW["oscillator.rim"], Rim, key, "mm", needed=True))
    made: Data = {"kind": "balance", "diameter_mm": over, "rim": rim}
    count = talk.ask(counted("screws", "Screws on the rim: how many?", HOW["oscillator.screws"], Screws, "count", needed=False))
    if count is not None:
        mass = talk.ask(
            measured("screw mass", "One screw: its mass?", HOW["oscillator.screws"], Screws, "mass_mg", "mg", needed=True)
        )
        made["screws"] = {"count": count, "mass_mg": mass}
    how = HOW["oscillator.hairspring"]
    height = talk.ask(measured("hairspring", "Hairspring: height of the strip?", how, Hairspring, "height_mm", "mm", needed=True))

    def swings(length: float) -> str | None:
        try:
            hairspring = {"height_mm": height, "length_mm": length}
            Balance.model_validate({**made, "hairspring": hairspring}).sprung(beats_per_hour)
        except Refused as refused:
            return plainly(refused, say_what=True)
        return None

    text = "Hairspring: length, from collet to pins?"
    length = talk.ask(measured("hairspring length", text, how, Hairspring, "length_mm", "mm", swings, needed=True))
    return made | {"hairspring": {"height_mm": height, "length_mm": length}}
