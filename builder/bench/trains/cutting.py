"""What a wheel or pinion must be cut to: module and diameters, from the counts and whatever of the mesh can be measured."""

from __future__ import annotations

from dataclasses import dataclass

from builder.going.sizes import AGREE
from builder.ground.faults import Refused
from builder.parts.teeth import MESH_FORMS


@dataclass(frozen=True)
class Measured:
    """What can be measured of one mesh, mm; None where it cannot."""

    distance_mm: float | None = None
    """From centre to centre of the two pivot holes."""
    driver_mm: float | None = None
    """Over the tips of the driver that remains."""
    driven_mm: float | None = None
    """Over the tips of the driven that remains."""

    @property
    def anything(self) -> bool:
        return not (self.distance_mm is None and self.driver_mm is None and self.driven_mm is None)


@dataclass(frozen=True)
class Cut:
    """A mesh of two counts brought to the measures, mm."""

    module_mm: float
    distance_mm: float
    driver_mm: float
    """Over the tips, to be cut or as it should be found."""
    driven_mm: float
    misfit: float | None
    """Largest part by which another measure's module differs from this one; None where one measure alone tells."""

    @property
    def fits(self) -> bool | None:
        """Whether all measures agree as well as worn parts can (2 %, common practice, no source); None where only one tells."""
        return None if self.misfit is None else self.misfit <= AGREE


def cut(form: str, driver: int, driven: int, measured: Measured) -> Cut | None:
    """The mesh at size: the plates' centre distance decides, else the first diameter. None where nothing was measured, or
    where such counts cannot be cut in that form.
    """
    if not measured.anything:
        return None
    try:
        unit = MESH_FORMS[form]().pair(driver, driven, 1.0)
    except Refused:
        return None
    tips = 2 * unit.driver.tip_mm, 2 * unit.driven.tip_mm
    modules = []
    if measured.distance_mm is not None:
        modules.append(2 * measured.distance_mm / (driver + driven))
    for diameter, tip in ((measured.driver_mm, tips[0]), (measured.driven_mm, tips[1])):
        if diameter is not None:
            modules.append(diameter / tip)
    module = modules[0]
    misfit = max((abs(other / module - 1) for other in modules[1:]), default=None)
    return Cut(module, module * (driver + driven) / 2, module * tips[0], module * tips[1], misfit)
