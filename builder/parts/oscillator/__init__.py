"""What keeps the time: each kind a model of its own, listed here."""

from __future__ import annotations

from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.counted import Counted
from builder.parts.oscillator.pendulum import Pendulum

Oscillator = Pendulum | Balance | Counted

OSCILLATORS: dict[str, type[Oscillator]] = {"pendulum": Pendulum, "balance": Balance, "counted": Counted}
