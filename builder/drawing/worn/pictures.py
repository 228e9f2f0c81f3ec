"""What a finding looks like: the part that it is about, new and worn, in this movement; and how far it then is from right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.drawing.worn import hole, mesh, pallet, spring
from builder.drawing.worn.mesh import Met
from builder.drawing.worn.pair import Pair
from builder.going.going import Going
from builder.going.power import pivot_radius_mm
from builder.going.sizes import Sized
from builder.ground import words
from builder.ground.wording import Wording
from builder.parts.escapement import Working
from builder.parts.finding import Found
from builder.parts.finding.condition import Hurt, PalletWear
from builder.parts.finding.hurt_tooth import HurtTooth
from builder.parts.finding.tired_mainspring import TiredMainspring
from builder.parts.finding.worn_hole import WornHole
from builder.parts.finding.worn_leaves import WornLeaves
from builder.parts.finding.worn_pallet import WornPallet
from builder.parts.source.fusee import Fusee
from builder.parts.source.weight import Weight

Facts = dict[str, str]
PALLET_ARBOR_PART = 0.05
"""Radius of a pallet arbor by the distance to the escape arbor, as it is drawn; its pivots as any other arbor's."""


@dataclass(frozen=True)
class Picture:
    """Two drawings and what there is to say of them: `what` names the sentences, `facts` are the figures in them."""

    what: str
    part: str
    """The part in words."""
    pair: Pair
    facts: Facts


def pictures(sound: Going, found: Going, finding: Found, slug: str, wording: Wording) -> tuple[Picture, ...]:
    """What can be drawn of a finding; `found` is the movement with it in it. Nothing for a kind that is not seen in a shape."""
    return tuple(_pictures(sound, found, finding, slug, wording))


def _pictures(sound: Going, found: Going, finding: Found, slug: str, wording: Wording) -> Iterator[Picture]:
    if isinstance(finding, WornHole):
        yield of_hole(sound, finding.arbor, finding.worn_mm, finding.direction_deg, f"{slug}-hole", wording)
        moved = [one for one in found.plan.sized if finding.arbor in (one.pair.driver, one.pair.driven) and one.too_far_mm]
        if moved:
            worst = max(moved, key=lambda one: abs(one.too_far_mm))
            if (apart := of_mesh(sound, worst, "apart", f"{slug}-mesh", wording)) is not None:
                yield apart
    elif isinstance(finding, WornLeaves):
        pitted = _mesh_of(found, finding.arbor, finding.part)
        if (leaves := of_mesh(sound, pitted, "leaves", f"{slug}-leaves", wording)) is not None:
            yield leaves
    elif isinstance(finding, HurtTooth):
        hurt = Hurt(finding.arbor, finding.part, finding.harm, finding.by_mm or 0.0)
        yield of_tooth(sound, hurt, f"{slug}-tooth", wording)
    elif isinstance(finding, WornPallet):
        wear = PalletWear(finding.pallet, finding.face, finding.depth_mm)
        if (drawn := of_pallet(sound, wear, f"{slug}-pallet", wording)) is not None:
            yield drawn
    elif isinstance(finding, TiredMainspring) and (lying := of_spring(sound, finding, f"{slug}-spring", wording)) is not None:
        yield lying


def of_hole(going: Going, arbor: str, worn_mm: float, direction_deg: float, slug: str, wording: Wording) -> Picture:
    """A pivot hole."""
    if arbor == "pallets":
        name, draft = wording.say("repairs.wear.pallet_arbor"), going.plan.draft
        pivot = pivot_radius_mm(going.movement, going.plan, going.train.path[-1])  # as the escape arbor's, where none is drafted
        pivot = pivot if draft is None else 0.42 * PALLET_ARBOR_PART * draft.centre_mm
    else:
        name, pivot = going.train[arbor].title.lower(), pivot_radius_mm(going.movement, going.plan, arbor)
    pair = hole.draw(slug, name, pivot, worn_mm, direction_deg, wording)
    return Picture("hole", name, pair, {"worn": f"{worn_mm:.3g}", "pivot": words.figure(2 * pivot, 2)})


def of_mesh(sound: Going, one: Sized, what: str, slug: str, wording: Wording) -> Picture | None:
    """A mesh in two conditions: its centres apart, or its leaves worn. None where its teeth no longer reach one another."""
    friction = sound.movement.friction.teeth
    was = next(each for each in sound.plan.sized if each.pair == one.pair)
    new, worn = Met(was.gears, friction, was.too_far_mm), Met(one.gears, friction, one.too_far_mm)
    if not worn.touches:
        return None
    ids, name = _named(sound, one)
    part = wording.say("repairs.wear.mesh", **name) if what == "apart" else name["driven"]
    pair = mesh.draw(slug, what, (part, *ids), new, worn, wording)
    facts = {"apart": words.figure(abs(worn.too_far_mm), 2), "way": wording.say(f"repairs.wear.{_way(worn)}"), **name}
    for side, met in (("new", new), ("worn", worn)):
        facts[f"passes_{side}"] = words.figure(100 * met.contact.efficiency, 3)
        facts[f"least_{side}"] = words.figure(100 * _least(met), 2)
        facts[f"play_{side}"] = words.figure(max(met.contact.least_play_mm, 0.0), 2)
    if worn.contact.verdict != "runs":
        return Picture(f"{what}_{worn.contact.verdict}", part, pair, facts)
    eased = worn.contact.efficiency >= new.contact.efficiency and _least(worn) >= _least(new)
    return Picture("apart_eased" if what == "apart" and eased else what, part, pair, facts)


def _way(met: Met) -> str:
    return "further" if met.too_far_mm >= 0 else "nearer"


def _least(met: Met) -> float:
    """Torque passed on at the worst place, by what the counts alone would give."""
    return max(float(met.contact.torque_ratio.min()), 0.0) * met.gears.driver.teeth / met.gears.driven.teeth


def of_tooth(going: Going, hurt: Hurt, slug: str, wording: Wording) -> Picture:
    """One tooth unlike the others, in the mesh that it is in."""
    one = _mesh_of(going, hurt.arbor, hurt.part)
    ids, name = _named(going, one)
    met = Met(one.gears, going.movement.friction.teeth)
    drives = (one.pair.driver, one.pair.driver_part) == (hurt.arbor, hurt.part)
    part = name["driver" if drives else "driven"]
    pair = mesh.draw(slug, "tooth", (part, *ids), met, met, wording, (hurt, "driver" if drives else "driven"))
    teeth = one.pair.driver_count if drives else one.pair.driven_count
    turning = going.train[hurt.arbor]
    facts = {
        "by": f"{abs(hurt.by_mm):.3g}",
        "every": words.period(abs(turning.hours_per_turn)),
        "pitch": words.period(abs(turning.hours_per_turn) / teeth),
        **name,
    }
    return Picture(f"tooth_{hurt.harm}", part, pair, facts)


def of_pallet(going: Going, wear: PalletWear, slug: str, wording: Wording) -> Picture | None:
    """A pallet's face; None where no tooth comes to it."""
    escapement = going.movement.escapement
    assert isinstance(escapement, Working)
    part = wording.say(f"repairs.wear.{wear.pallet}_pallet")
    pair = pallet.draw(slug, part, escapement.draft(), escapement.action(), wear, wording)
    return (
        None if pair is None else Picture("pallet", part, pair, {"face": wording.say(f"repairs.faces.{wear.face}"), **pair.facts})
    )


def of_spring(going: Going, finding: TiredMainspring, slug: str, wording: Wording) -> Picture | None:
    """A mainspring lying free; None where its sizes are not known."""
    source = going.movement.source
    housed = None if isinstance(source, Weight | Fusee) else source.mainspring.housed
    drive = source.drive
    if housed is None or drive is None:
        return None
    if finding.free_coils is not None:
        lost = finding.free_coils - (housed.spring.free_coils or 0.0)
    elif finding.turns_lost is not None:
        lost = finding.turns_lost
    else:
        assert finding.torque_part is not None
        lost = (1 - finding.torque_part) * (housed.preload_turns + drive.turns)
    part = wording.say("repairs.wear.mainspring")
    pair = spring.draw(slug, part, housed, lost, wording)
    return Picture("spring", part, pair, {"lost": words.figure(lost, 2), **pair.facts})


def _mesh_of(going: Going, arbor: str, part: str) -> Sized:
    """The mesh of a toothed part; of a pinion that is driven first."""
    sized = [one for one in going.plan.sized if one.pair.key[0] == "meshes"]
    driven = (one for one in sized if (one.pair.driven, one.pair.driven_part) == (arbor, part))
    drives = (one for one in sized if (one.pair.driver, one.pair.driver_part) == (arbor, part))
    return [*driven, *drives][0]


def _named(going: Going, one: Sized) -> tuple[tuple[str, str], Facts]:
    """(ids of driver and driven, their names in words)."""
    driver, driven = going.plan.of(one.pair.driver, one.pair.driver_part), going.plan.of(one.pair.driven, one.pair.driven_part)
    return (driver.id, driven.id), {"driver": driver.title.lower(), "driven": driven.title.lower()}
