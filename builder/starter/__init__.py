"""A new movement's file: a commented example to go on from, or written from the answers of someone at the bench."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import Any

from builder.going.going import Going, going
from builder.ground.faults import PlainlySaid, Refused
from builder.ground.part import SLUG
from builder.movement.model import Movement
from builder.starter.assumed import FINER, LEAST_MODULE_MM, completed
from builder.starter.conversation import Hear, Question, Say, Stopped, Talk, Unfit, held
from builder.starter.example import EXAMPLE
from builder.starter.layout import NoRoom, laid_out
from builder.starter.questions import Bench, bench_questions, turning_lines
from builder.starter.written import written

__all__ = ["CannotStart", "Stopped", "asked", "example", "slug_of", "start", "write"]

EXAMPLE_HEAD = (
    "A movement to start from. Put in what you count and measure, and delete what you do not know, as far as it may be left "
    "out: `check` says what does not fit. Lengths are in mm, angles in degrees."
)
LAID_OUT = ("meshes.direction_deg", "plates.width_mm", "plates.height_mm", "plates.centre_mm")
"""What no question asks for: it is found so that all has its place."""
ASKED_HEAD = "{name}: from the answers at the bench. Change what you like: `check` says what does not fit."


class CannotStart(PlainlySaid):
    """Why no file is begun, in plain words."""


def slug_of(text: str) -> str:
    """The name of a movement's folder. Raises argparse.ArgumentTypeError, which the parser turns into wrong use."""
    if not re.fullmatch(SLUG, text):
        said = "small letters a to z, figures and _, beginning with a letter, at most 40"
        raise argparse.ArgumentTypeError(f"'{text}' cannot name a folder: {said}")
    return text


def start(models: Path, slug: str) -> Path:
    """Where the new file will be. Raises CannotStart where the folder of models is missing or the movement is there already."""
    if not models.is_dir():
        raise CannotStart(f"There is no folder {models}. Name the folder of the movement files with --models.")
    folder = models / slug
    if folder.exists() or folder.is_symlink():
        raise CannotStart(f"{folder} is there already; nothing was changed. Choose another name.")
    return folder / "movement.toml"


def write(place: Path, text: str) -> None:
    """The folder and its file; neither of them if it cannot be written. Raises CannotStart."""
    try:
        place.parent.mkdir()
        try:
            place.write_text(text, "utf-8")
        except OSError:
            place.unlink(missing_ok=True)
            place.parent.rmdir()
            raise
    except OSError as error:
        raise CannotStart(f"{place} cannot be written: {error.strerror or error}. Nothing was changed.") from None


def example() -> str:
    """The commented example."""
    return written(EXAMPLE, EXAMPLE_HEAD)


def asked(slug: str, hear: Hear, say: Say) -> str:
    """The file's text from the answers to the bench's questions. Raises Stopped."""

    def script(talk: Talk) -> str:
        bench = bench_questions(talk)
        data, remarks = completed(bench)
        try:
            data, found = _standing(slug, data, remarks)
        except NoRoom:
            return talk.ask(
                _impossible("No layout was found in which every wheel clears every arbor. Measure the diameters again.")
            )
        except Refused as refused:
            return talk.ask(_impossible("\n".join(f"{c.value}: {c.allowed}. {c.advice}" for c in refused.complaints)))
        talk.remark("\n".join(_summary(bench, found, remarks)))
        talk.ask(Question("write", "Write this file?", _yes, allowed="yes, or back to change an answer, or stop."))
        return written(data, ASKED_HEAD.format(name=found.name), remarks)

    return held(Talk(hear, say), script)


def _standing(slug: str, data: dict[str, Any], remarks: dict[str, str]) -> tuple[dict[str, Any], Going]:
    """The data laid out, and running. Raises NoRoom, Refused.

    Where the gearing of the hands is in the way of an arbor and nobody measured it, it is taken finer until it is not.
    """
    while True:
        try:
            laid, _ = laid_out(data)
            laid["movement"] = {**laid["movement"], "assumed": [*remarks, *LAID_OUT]}
            return laid, going(slug, Movement.model_validate(laid))
        except Refused as refused:
            module = data.get("motion_work", {}).get("module_mm")
            only_hands = all(complaint.key[0] == "motion_work" for complaint in refused.complaints)
            if "motion_work.module_mm" not in remarks or not only_hands or module < 2 * LEAST_MODULE_MM:
                raise
            data = {**data, "motion_work": {**data["motion_work"], "module_mm": float(f"{FINER * module:.2g}")}}


def _impossible(why: str) -> Question[str]:
    def read(typed: str) -> str:
        raise Unfit("Type back, or back and a question's number, to change an answer; or stop.")

    return Question("impossible", "These answers do not make a movement:", read, why, "back, back and a number, or stop.")


def _yes(typed: str) -> bool:
    if typed.lower() not in ("yes", "y"):
        raise Unfit("Please answer yes, back or stop.")
    return True


def _summary(bench: Bench, found: Going, remarks: dict[str, str]) -> list[str]:
    """What was computed, and what was only assumed, in a few lines."""
    lines = [found.name, *turning_lines(found.train, bench.titles)]
    plates = found.movement.plates
    if plates and plates.height_mm:
        lines.append(f"   fits between plates of {plates.width_mm:g} by {plates.height_mm:g} mm")
    if remarks:
        lines.append(
            f"   {len(remarks)} size{'s' if len(remarks) > 1 else ''} not measured: the file says which, and what was assumed"
        )
    stops = [f"   as far as sizes are only assumed, {s.text}" if remarks else f"   {s.text}" for s in found.stops]
    said = dict.fromkeys(finding.text for finding in found.findings)
    return lines + stops + [f"   worth knowing: {text}" for text in said]
