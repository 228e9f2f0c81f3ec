"""The least torque on the escape wheel that keeps a clock going."""

from __future__ import annotations

import numpy as np

from builder.going.periods import Fails, Periods
from builder.going.phase_plane import Works
from builder.ground.roots import least


def least_torque_nmm(works: Works, top: float, least_rad: float) -> float:
    """The least torque at the escape wheel, N·mm, that keeps a clock going once it swings; to about 1e-3.

    `works` drive it to the amplitude `top` (rad) in its steady beat, and below `least_rad` no tooth is let off.

    For an amplitude, the torque whose period gives back what is lost; the least of these over all amplitudes that unlock,
    up to the present one. Neglected: that a clock must also be started, and that oil and torque are never even.
    """
    terms = works.terms

    def needed_nm(amplitude: float) -> float:
        torque = works.torque_nm * terms.energy_j(amplitude) / terms.energy_j(top)
        before: tuple[float, float] | None = None
        for _ in range(12):
            trial = Periods(Works(terms, works.course, torque, works.wheel_kg_m2))
            try:
                gained, up, down = trial.run(amplitude)
            except Fails:
                return np.inf
            lost = up.lost_j + down.lost_j
            if before is not None and gained != before[1]:  # what is gained goes almost straight with the torque
                better = torque - gained * (torque - before[0]) / (gained - before[1])
            elif gained > -lost:
                better = torque * lost / (lost + gained)
            else:
                better = 1.5 * torque
            if not better > 0.0:
                return np.inf
            if abs(better - torque) < 1e-4 * torque:
                return better
            before, torque = (torque, gained), better
        return torque

    low = 1.002 * least_rad
    if low >= top:
        return 1e3 * works.torque_nm
    amplitudes = low * (top / low) ** np.linspace(0.0, 1.0, 7)
    torques = [needed_nm(float(a)) for a in amplitudes]
    best = int(np.argmin(torques))
    if 0 < best < len(amplitudes) - 1:
        return 1e3 * least(needed_nm, float(amplitudes[best - 1]), float(amplitudes[best + 1]), tolerance=0.02)[1]
    return 1e3 * min(min(torques), works.torque_nm)
