"""The commands: the only place that prints and that chooses exit codes (0 done, 1 faults in what was read, 2 wrong use).

What only one command needs is imported where that command runs: a build that finds nothing changed takes no time to begin.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from functools import cache
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING

from builder import __version__
from builder.ground import words
from builder.ground.faults import FaultsFound, PlainlySaid
from builder.movement.folders import movements
from builder.publish import PublishError, clean, publish

if TYPE_CHECKING:
    from builder.assemble import How
    from builder.ground.wording import Wording

STORE = ".between-plates-store"
"""Where units are kept from build to build: beside the folder of the movement files."""


def main(arguments: list[str] | None = None) -> int:
    """Run one command. Returns the exit code."""
    for stream in (sys.stdout, sys.stderr):  # an old terminal shows a question mark for what it has no letter for
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    given = sys.argv[1:] if arguments is None else arguments
    options = _parser(given).parse_args(given)
    try:
        return int(options.run(options))
    except FaultsFound as found:
        for fault in found.faults:
            print(fault, file=sys.stderr)
        count = len(found.faults)
        print(f"{count} fault{'s' if count != 1 else ''}; nothing was changed.", file=sys.stderr)
        return 1
    except PlainlySaid as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("Stopped; nothing was changed.", file=sys.stderr)
        return 1


def _parser(given: Sequence[str]) -> argparse.ArgumentParser:
    """All commands; the many options of the sums only where a sum is asked."""
    parser = argparse.ArgumentParser(
        prog="between-plates", description="From movement files to an offline site that explains them."
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    commands = parser.add_subparsers(required=True, metavar="command")

    def command(name: str, run: object, text: str) -> argparse.ArgumentParser:
        made = commands.add_parser(name, help=text, description=text)
        made.set_defaults(run=run)
        return made

    build = command("build", _build, "Build the whole site.")
    build.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")
    build.add_argument("--out", type=Path, default=Path("site"), help="folder of the site (default: site)")
    some = build.add_mutually_exclusive_group()
    some.add_argument("--only", action="append", metavar="SLUG", help="build only this movement; may be given again")
    some.add_argument("--part", type=_share, metavar="K/N", help="make the K-th of N parts of a large collection into OUT")
    some.add_argument("--merge", nargs="+", type=Path, metavar="PART", help="build the site from parts made before")
    _add_jobs(build)
    store = build.add_mutually_exclusive_group()
    store.add_argument("--store", type=Path, metavar="DIR", help=f"keep what was made there (default: {STORE} beside the models)")
    store.add_argument("--no-store", action="store_true", help="make everything anew and keep nothing")
    build.add_argument("--quiet", action="store_true", help="say nothing unless something is wrong")

    check = command("check", _check, "Read everything and say every fault; write nothing.")
    check.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")
    _add_jobs(check)
    check.add_argument("--quiet", action="store_true", help="say nothing unless something is wrong")

    figures = command("figures", _figures, "Every computed figure of one movement file.")
    figures.add_argument("file", type=Path, help="a movement.toml")
    figures.add_argument("--json", action="store_true", help="as JSON with stable keys, for other programs")

    mending = command("repair", _repair, "A repair computed: before and after, each fault alone, readings beside them.")
    mending.add_argument("file", type=Path, help="a repair file: models/<movement>/repairs/<day>.toml")
    mending.add_argument("--json", action="store_true", help="as JSON with stable keys, for other programs")

    sums = command("sum", _sum, "Work one of the sums of the bench, line by line.")
    if list(given[:1]) == ["sum"]:
        _add_sums(sums, given[1:2])

    packing = command("pack", _pack, "Make one file to hand out: a drawing, a film for slides, a lesson, or all of it.")
    if list(given[:1]) == ["pack"]:
        _add_packs(packing)

    new = command("new", _new, "Write a commented, valid starter file for a new movement.")
    new.add_argument("slug", type=_slug, help="name of its folder under models: small letters, figures and underscores")
    new.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")
    new.add_argument(
        "--ask", action="store_true", help="put the questions of the bench one by one and write the file from the answers"
    )

    serve = command("serve", _serve, "Show the site on this machine only; build again and reload when a file changes.")
    serve.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")
    serve.add_argument("--port", type=_port, default=8000, help="port on this machine (default: 8000)")

    packed = command("zip", _zip, "Put the built site into one zip file; the same site makes the same bytes.")
    packed.add_argument("--site", type=Path, default=Path("site"), help="folder of the site (default: site)")
    packed.add_argument("--out", type=Path, default=Path("site.zip"), help="the file (default: site.zip)")

    cleaning = command("clean", _clean, "Remove a site that this program wrote.")
    cleaning.add_argument("--out", type=Path, default=Path("site"), help="folder of the site (default: site)")

    schemas = command("schemas", _schemas, "Write the JSON Schemas that editors use, beside the movement files.")
    schemas.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")
    return parser


def _add_jobs(command: argparse.ArgumentParser) -> None:
    command.add_argument("--jobs", type=_jobs, metavar="N", help="processes at once (default: one for each core)")


def _add_packs(packing: argparse.ArgumentParser) -> None:
    from builder.packs import KINDS

    kinds = packing.add_subparsers(required=True, metavar="kind")
    for name, kind in KINDS.items():
        one = kinds.add_parser(name, help=kind.HELP, description=f"{words.capital(kind.HELP)}.")
        one.add_argument("slug", help="the movement: name of its folder")
        kind.arguments(one)
        one.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")
        one.add_argument("--quiet", action="store_true", help="say nothing unless something is wrong")
        one.set_defaults(kind=kind)


def _slug(text: str) -> str:
    from builder.starter import slug_of

    return slug_of(text)


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > 65_535:
        raise argparse.ArgumentTypeError(f"{text!r} is no port; write a number from 1024 to 65535, or 0 for any that is free")
    return int(text)


def _jobs(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 1000:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of processes; write 1 or more")
    return int(text)


def _share(text: str) -> tuple[int, int]:
    """Number of a part, and of how many."""
    number, _, of = text.partition("/")
    if not (number.isdecimal() and of.isdecimal() and 1 <= int(number) <= int(of) <= 10_000):
        raise argparse.ArgumentTypeError(f"{text!r} is no part; write its number and of how many, from 1/3 to 3/3")
    return int(number), int(of)


def _teller(quiet: bool) -> Callable[[str], None]:
    return (lambda _: None) if quiet else (lambda text: print(f"  {text}", file=sys.stderr, flush=True))


def _how(options: argparse.Namespace, keep: bool) -> How:
    from builder.assemble import How

    beside = options.models.resolve().parent / STORE
    store = (options.store or beside) if keep and not options.no_store else None
    return How(store, options.jobs, _teller(options.quiet))


def _build(options: argparse.Namespace) -> int:
    from builder.assemble import assembled, part

    _known(options.models, options.only)
    how = _how(options, keep=True)
    if options.part:
        number, of = options.part
        with part(options.models, number, of, how) as units:
            publish(units, options.out)
        if not options.quiet:
            print(f"Part {number} of {of} in {options.out}. When all are there: between-plates build --merge, and their folders.")
        return 0
    with assembled(options.models, options.only, how, options.merge or ()) as (made, faults):
        publish(made, options.out, faults)
    if not options.quiet:
        pages = sum(path.endswith(".html") for path in made)
        print(f"{pages} pages, {len(made)} files in {options.out}. Open {options.out / 'index.html'}.")
    return 0


def _known(models: Path, only: list[str] | None) -> None:
    if not models.is_dir():
        raise PublishError(f"There is no folder {models}. Name the folder of the movement files with --models.")
    there = movements(models)
    for slug in only or []:
        if slug not in there:
            raise PublishError(f"--only {slug}: no such movement. There are: {', '.join(there) or 'none'}.")


def _check(options: argparse.Namespace) -> int:
    from builder.assemble import assembled

    _known(options.models, None)
    with assembled(options.models, None, _how(options, keep=False)) as (_, broken):
        for fault in broken:
            print(fault, file=sys.stderr)
    if not options.quiet and not broken:
        print("No fault found.")
    return 1 if broken else 0


def _figures(options: argparse.Namespace) -> int:
    from builder.build import solve
    from builder.going.facts import facts
    from builder.movement.model import Movement
    from builder.movement.reading import opened

    file = options.file
    solved = solve(file.parent.name or "movement", opened(file, Movement, file.parent))
    found = facts(solved)
    if options.json:
        print(json.dumps({fact.key: fact.as_json() for fact in found}, indent=2, ensure_ascii=False))
        return 0
    for fact in found:
        label = _english().say(f"facts.{fact.kind}.label")
        of = ", ".join(text for text in (fact.subject, fact.state) if text)
        print(f"{f'{label} ({of})' if of else label:58} {fact.said}")
    for finding in solved.findings:
        print(f"Note: {finding.text}")
    return 0


def _repair(options: argparse.Namespace) -> int:
    from builder.build import solve
    from builder.going.repair import compared
    from builder.movement.model import Movement
    from builder.movement.reading import opened
    from builder.movement.repair import job
    from builder.pages.repairs.printed import as_json, printed

    folder = options.file.resolve().parent.parent
    if options.file.resolve().parent.name != "repairs" or not (folder / "movement.toml").exists():
        raise PlainlySaid(f"{options.file} is no repair of a movement. Name one as models/hall_clock/repairs/2026-03-14.toml.")
    solved = solve(folder.name, opened(folder / "movement.toml", Movement, folder.parent))
    repaired = compared(solved, job(folder / "repairs" / options.file.name, folder.parent, solved.movement))
    if options.json:
        print(json.dumps(as_json(repaired), indent=2, ensure_ascii=False))
    else:
        print(printed(repaired, _english()))
    return 0


ROWS_SHOWN = 20
"""Rows of a table of candidates that people are shown; other programs get all."""


@cache
def _english() -> Wording:
    from builder.ground.project import TEMPLATES
    from builder.ground.wording import Wording

    return Wording.load(TEMPLATES / "wording" / "en")


def _add_sums(parser: argparse.ArgumentParser, chosen: Sequence[str]) -> None:
    """One sub-parser a sum; the one chosen with its options, made from its fields."""
    from builder.bench import MOVEMENT_SUMS, SUMS
    from builder.bench.working.printed import add_options

    sums = parser.add_subparsers(required=True, metavar="name", dest="sum")
    for name, sum_class in (SUMS | MOVEMENT_SUMS).items():
        key = f"sums.{name.replace('-', '_')}"
        made = sums.add_parser(name, help=_english().say(f"{key}.title"), description=_english().say(f"{key}.lede"))
        made.set_defaults(run=_sum, parser=made)
        if name not in chosen:
            continue
        if name in MOVEMENT_SUMS:
            made.add_argument("file", type=Path, help="a movement.toml")
        add_options(made, sum_class)
        made.add_argument("--json", action="store_true", help="as JSON with stable keys, for other programs")


def _sum(options: argparse.Namespace) -> int:
    """0 worked, 1 what is asked cannot be, 2 the question cannot be read."""
    from builder.bench import MOVEMENT_SUMS, work
    from builder.bench.working.asked import Unreadable
    from builder.bench.working.printed import answers, complaint_text, printed
    from builder.bench.working.said import as_json, written
    from builder.build import solve
    from builder.ground.faults import Refused
    from builder.movement.model import Movement
    from builder.movement.reading import opened

    try:
        going = None
        if options.sum in MOVEMENT_SUMS:
            going = solve(options.file.parent.name, opened(options.file, Movement, options.file.parent))
        working = work(options.sum, answers(options), going)
    except Unreadable as unread:
        options.parser.error(str(unread))
    except Refused as refused:
        for complaint in refused.complaints:
            print(complaint_text(complaint), file=sys.stderr)
        return 1
    if options.json:
        print(json.dumps(as_json(working, _english()), indent=2, ensure_ascii=False))
    else:
        print(printed(written(working, _english()), ROWS_SHOWN))
    return 0


def _pack(options: argparse.Namespace) -> int:
    from builder.build import stock
    from builder.packs import put
    from builder.packs.error import PackError

    _known(options.models, None)
    if options.slug not in (there := movements(options.models)):
        raise PackError(f"{options.slug}: no such movement. There are: {', '.join(there) or 'none'}.")
    made = options.kind.make(stock(options.models, options.slug), options, _counter(options.quiet))
    place = put(made, options.out)
    if not options.quiet:
        print(f"{place}: {max(1, len(made.data) // 1024)} KiB. {made.said}".rstrip())
    return 0


def _counter(quiet: bool) -> Callable[[int, int], None]:
    """Says how far a long work has come: on one line of a terminal, or now and then."""
    on_screen = sys.stderr.isatty()

    def say(done: int, of: int) -> None:
        if not quiet and (on_screen or done == of or done * 10 // of > (done - 1) * 10 // of):
            end = "\r" if on_screen and done < of else "\n"
            print(f"  {done} of {of}", end=end, file=sys.stderr, flush=True)

    return say


def _new(options: argparse.Namespace) -> int:
    from builder.starter import asked, example, start, write

    if isinstance(sys.stdout, TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # a terminal that lacks a letter shows ? in its place
    place = start(options.models, options.slug)
    write(place, asked(options.slug, _typed, print) if options.ask else example())
    print(f"{place} is written. Look it over, then: between-plates check --models {options.models}")
    return 0


def _typed() -> str | None:
    """One line from the person at the bench; None where there are no more."""
    try:
        return input("> ")
    except EOFError:
        return None
    except UnicodeDecodeError:
        return "\0"  # no letter of any answer: the question is put again


def _serve(options: argparse.Namespace) -> int:
    from builder.ground.project import TEMPLATES
    from builder.serve import fresh, serve

    _known(options.models, None)

    def build() -> dict[str, bytes]:
        fresh("builder")  # changed code takes part too
        anew = import_module("builder.assemble")
        with anew.assembled(options.models, how=anew.How(options.models.resolve().parent / STORE)) as (site, _):
            return dict(site.items())

    serve(build, options.port, [options.models, TEMPLATES, Path(__file__).parent], print)
    return 0


def _zip(options: argparse.Namespace) -> int:
    from builder.archive import archive
    from builder.packs import put
    from builder.packs.stock import Made

    print(put(Made("site.zip", archive(options.site)), options.out))
    return 0


def _clean(options: argparse.Namespace) -> int:
    clean(options.out)
    return 0


def _schemas(options: argparse.Namespace) -> int:
    from builder.ground.part import Part
    from builder.movement.collection import Collection
    from builder.movement.jsonschema import schema_text
    from builder.movement.model import Movement
    from builder.movement.repair import Repair

    kinds: dict[str, type[Part]] = {"movement": Movement, "collection": Collection, "repair": Repair}
    for name, model in kinds.items():
        (options.models / f"{name}.schema.json").write_text(schema_text(model), "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
