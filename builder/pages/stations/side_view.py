"""The movement from the side, and the stack on the arbor that carries the hands."""

from __future__ import annotations

from builder.drawing.unrolled import unrolled
from builder.going.axes import Laid
from builder.going.pieces import pieces
from builder.ground import words
from builder.ground.faults import sentences
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown


def context(shown: Shown, wording: Wording) -> Context | None:
    """None for a movement without plates."""
    plates = shown.going.movement.plates
    if plates is None or "side-view" not in shown.plates:
        return None
    going, say = shown.going, wording.say
    heights = going.elevation
    laid = Laid(going, plates)
    raised = unrolled(laid, pieces(laid)).raised
    between = "between" if "between" in heights.measured else "between_estimated"
    told = [
        say(
            f"side.page.{between}",
            between=f"{heights.between_mm:g}" if between == "between" else words.figure(heights.between_mm, 3),
        ),
        say("side.page.endshake"),
    ]
    if raised > 1:
        told.append(say("side.view.raised", times=raised))
    if laid.supposed:
        told.append(say("side.page.estimated"))
    stack = shown.plate("stack") if "stack" in shown.plates else None
    return {
        "title": say("side.view.title", name=going.name),
        "lede": say("side.page.lede"),
        "view": shown.plate("side-view"),
        "sentences": told,
        "findings": sentences(heights.findings),
        "stack": stack,
        "stack_steps": sum(bool(figure.data) for figure in stack["sheet"].figures) if stack else 0,
    }
