"""What can be wrong with a movement: each kind of finding is one file that holds its keys and what it changes."""

from __future__ import annotations

from builder.parts.finding.condition import SOUND, Condition
from builder.parts.finding.damaged_suspension import DamagedSuspension
from builder.parts.finding.found import Found, Seen
from builder.parts.finding.hand_friction import HandFriction
from builder.parts.finding.hurt_tooth import HurtTooth
from builder.parts.finding.magnetised import Magnetised
from builder.parts.finding.other import Other
from builder.parts.finding.out_of_beat import OutOfBeat
from builder.parts.finding.poor_oil import PoorOil
from builder.parts.finding.tired_mainspring import TiredMainspring
from builder.parts.finding.worn_hole import WornHole
from builder.parts.finding.worn_leaves import WornLeaves
from builder.parts.finding.worn_pallet import WornPallet
from builder.parts.finding.wrong_rating import WrongRating

__all__ = ["FINDINGS", "SOUND", "Condition", "Found", "Seen"]

FINDINGS: dict[str, type[Found]] = {
    "tired_mainspring": TiredMainspring,
    "poor_oil": PoorOil,
    "worn_hole": WornHole,
    "worn_pallet": WornPallet,
    "hurt_tooth": HurtTooth,
    "worn_leaves": WornLeaves,
    "out_of_beat": OutOfBeat,
    "hand_friction": HandFriction,
    "wrong_rating": WrongRating,
    "damaged_suspension": DamagedSuspension,
    "magnetised": Magnetised,
    "other": Other,
}
