"""Every drawing: slug → (going, wording) → plate, or None where the movement has nothing of the kind."""

from __future__ import annotations

from collections.abc import Callable

from builder.drawing.diagrams import motion_work, train_line, train_plan
from builder.drawing.table import Plate
from builder.going.going import Going
from builder.ground.wording import Wording

DIAGRAMS: dict[str, Callable[[Going, Wording], Plate | None]] = {
    "train-front": train_plan.front,
    "train-back": train_plan.back,
    "train-line": train_line.draw,
    "motion-work": motion_work.draw,
}
