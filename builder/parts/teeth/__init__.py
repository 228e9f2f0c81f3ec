"""Tooth forms, one file each, and how two toothed parts meet: `mesh` sets them in phase, `contact` solves their touch."""

from __future__ import annotations

from builder.parts.teeth.cycloidal import Cycloidal
from builder.parts.teeth.involute import Involute
from builder.parts.teeth.ratchet import Ratchet

TEETH = {"cycloidal": Cycloidal, "involute": Involute, "ratchet": Ratchet}

MESH_FORMS = {"cycloidal": Cycloidal, "involute": Involute}
"""Those that mesh: they keep `gear.MeshForm`."""
