"""A drive that has lost force: part of its torque, an amount all along, or its last turns."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from builder.parts.source.drive import J_PER_NMM_TURN, Array, Drive, Law

STEPS = 64
"""Of a turn count: the trapezium rule then gives the work of a curve cut off at nought to a thousandth."""


@dataclass(frozen=True)
class Less:
    """Another law's torque, `lost_turns` further wound, less an amount, times a part; never below nought."""

    whole: Law
    part: float
    less_nmm: float
    lost_turns: float

    def torque_nmm(self, turns: Array) -> Array:
        return self.part * np.maximum(self.whole.torque_nmm(turns + self.lost_turns) - self.less_nmm, 0.0)

    def work_j(self, turns: Array) -> Array:
        """By the trapezium rule, since the torque may be cut off at nought."""
        shares = np.linspace(0.0, 1.0, STEPS + 1)
        torques = self.torque_nmm(np.asarray(turns)[..., None] * shares)
        return np.asarray(J_PER_NMM_TURN * turns * np.trapezoid(torques, shares, axis=-1))


def tired(drive: Drive, part: float, less_nmm: float, lost_turns: float) -> Drive:
    """The drive as it is now. A spring that comes slack `lost_turns` early keeps its wound state: every turn that is left
    stands where it stood, and the last ones are gone."""
    if part == 1.0 and less_nmm == 0.0 and lost_turns == 0.0:
        return drive
    return replace(drive, turns=drive.turns - lost_turns, law=Less(drive.law, part, less_nmm, lost_turns))
