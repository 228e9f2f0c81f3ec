"""Tooth forms, one file each, and how two toothed parts meet: `mesh` sets them in phase, `contact` solves their touch."""

from __future__ import annotations

from builder.parts.teeth.cycloidal import Cycloidal
from builder.parts.teeth.gear import MeshForm
from builder.parts.teeth.involute import Involute
from builder.parts.teeth.ratchet import Ratchet

TEETH = {"cycloidal": Cycloidal, "involute": Involute, "ratchet": Ratchet}

MESH_FORMS: dict[str, type[MeshForm]] = {"cycloidal": Cycloidal, "involute": Involute}
"""Those whose teeth mesh; each builds with its defaults."""
