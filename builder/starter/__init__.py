"""A new movement's file: a commented example to go on from, or written from the answers of someone at the bench."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from builder.going.going import Going
from builder.ground.faults import PlainlySaid, Refused
from builder.ground.part import SLUG
from builder.starter.assumed import completed
from builder.starter.conversation import Hear, Question, Say, Stopped, Talk, Unfit, held
from builder.starter.example import EXAMPLE
from builder.starter.layout import NoRoom
from builder.starter.questions import Bench, bench_questions, turning_lines
from builder.starter.usual import standing
from builder.starter.written import written

__all__ = ["CannotStart", "Stopped", "asked", "example", "slug_of", "start", "write"]

EXAMPLE_HEAD = (
    "A movement to start from. Put in what you count and measure, and delete what you do not know, as far as it may be left "
    "out: `check` says what does not fit. Lengths are in mm, angles in degrees."
)
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
            data, found = standing(slug, data, [*remarks])
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
