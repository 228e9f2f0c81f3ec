"""What wear looks like: one page of the shelf, every sort of wear on the first movement that has the part.

The sizes of the wear are supposed, of an order that is met with; what they do is computed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import degrees
from typing import Any

from markupsafe import Markup

from builder.drawing.worn.pictures import Picture, of_hole, of_mesh, of_pallet, of_spring, of_tooth
from builder.going.going import Going
from builder.going.power import pivot_radius_mm
from builder.going.worn import worn_plan
from builder.ground import words
from builder.ground.faults import Refused
from builder.ground.wording import Wording
from builder.pages.learner import ways
from builder.pages.press import Press
from builder.pages.shown import Shown
from builder.parts.escapement import Working
from builder.parts.finding import SOUND
from builder.parts.finding.condition import Hurt, PalletWear, Pit
from builder.parts.finding.tired_mainspring import TiredMainspring

PAGE = "wear.html"

HOLE_BY_PIVOT, PIT_BY_MODULE, BENT_BY_MODULE, PALLET_BY_RADIUS, TIRED = 0.3, 0.1, 0.25, 0.008, 0.7
"""Wear that is met with: of the pivot's diameter, of the module, of the escape wheel's radius; torque that is left. Orders only,
from memory."""
FACES = ("impulse face", "pin")

Told = dict[str, Any]


def tell(shown: Shown, press: Press) -> list[Told]:
    """Every sort of wear on this movement, as texts."""
    going = shown.going
    return [
        {
            "sort": sort,
            "movement": {"slug": going.slug, "name": going.name},
            "slug": picture.pair.new.slug,
            "part": _part(sort, picture, press.wording),
            "says": press.wording.say(f"repairs.wear.{picture.what}.says", **picture.facts),
            "svgs": [picture.pair.new.svg(), picture.pair.worn.svg()],
        }
        for sort, picture in _pictures(going, press.wording)
    ]


def wear(told: Iterable[list[Told]], press: Press) -> dict[str, bytes]:
    """The page."""
    found: dict[str, Told] = {}
    for one in told:
        for each in one:
            found.setdefault(each["sort"], each)
    ranked = [found[sort] for sort in sorted(found, key=lambda sort: (ORDER.index(sort.split()[0]), sort))]
    pictures = [
        {
            **each,
            "title": press.wording.say(f"repairs.wear.{each['sort'].split()[0]}.title"),
            "sides": [
                {"label": press.wording.say(f"repairs.wear.{side}_short"), "svg": Markup(svg)}  # nosec B704 # sheet.py escapes all
                for side, svg in zip(("new", "worn"), each["svgs"], strict=True)
            ],
        }
        for each in ranked
    ]
    return press.page(
        PAGE, "wear.html.jinja", title=press.wording.say("repairs.wear.title"),
        description=press.wording.say("repairs.wear.lede"), nav=ways(press.wording), pictures=pictures,
    )  # fmt: skip


def _part(sort: str, picture: Picture, wording: Wording) -> str:
    """The part in words; of a pallet, its escapement's kind too."""
    text = picture.part
    if kind := sort.partition(" ")[2]:
        text = f"{text}, {wording.say(f'pages.escapements.{kind}')}"
    return words.capital(text)


ORDER = ("hole", "apart", "leaves", "tooth_missing", "tooth_bent", "pallet", "spring")


def _pictures(going: Going, wording: Wording) -> Iterator[tuple[str, Picture]]:
    """(sort, picture): the sort of a pallet's wear names the escapement too."""
    named = going.slug.replace("_", "-")
    sized = [one for one in going.plan.sized if one.pair in going.train.path_pairs]
    if len(sized) > 1:
        one = sized[1]
        arbor, module = one.pair.driven, one.module_mm
        out = round(HOLE_BY_PIVOT * 2 * pivot_radius_mm(going.movement, going.plan, arbor), 2)
        way = degrees(going.plan.line_rad(one))  # away from what drives it
        yield "hole", of_hole(going, arbor, out, way, f"{named}-hole", wording)
        if (apart := of_mesh(going, replace(one, too_far_mm=out), "apart", f"{named}-apart", wording)) is not None:
            yield "apart", apart
        pit = Pit(arbor, one.pair.driven_part, round(PIT_BY_MODULE * module, 3), None, None)
        try:
            worn = worn_plan(going.movement, going.train, going.plan, going.elevation, replace(SOUND, pits=(pit,)))
            pitted = next(each for each in worn.sized if each.pair == one.pair)
            if (leaves := of_mesh(going, pitted, "leaves", f"{named}-leaves", wording)) is not None:
                yield "leaves", leaves
        except Refused:
            pass
        for harm, by in (("missing", 0.0), ("bent", round(BENT_BY_MODULE * module, 2))):
            hurt = Hurt(one.pair.driver, one.pair.driver_part, harm, by)  # type: ignore[arg-type]
            yield f"tooth_{harm}", of_tooth(going, hurt, f"{named}-{harm}", wording)
    escapement = going.movement.escapement
    if isinstance(escapement, Working) and going.plan.draft is not None:
        for face in FACES:
            wear = PalletWear("entry", face, round(PALLET_BY_RADIUS * going.plan.draft.tip_mm, 3))
            if (picture := of_pallet(going, wear, f"{named}-pallet", wording)) is not None:
                yield f"pallet {escapement.kind}", picture
                break
    tired = TiredMainspring(kind="tired_mainspring", severity="marked", torque_part=TIRED)
    if (spring := of_spring(going, tired, f"{named}-spring", wording)) is not None:
        yield "spring", spring
