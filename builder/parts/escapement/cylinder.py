"""The cylinder (horizontal) escapement of older watches: the teeth act on a half shell on the balance's own arbor."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

import numpy as np
from pydantic import Field

from builder.ground import words
from builder.ground.faults import Complaint
from builder.ground.geometry import Points, arc, polar, turned
from builder.ground.part import Angle, Length, Part, Slug
from builder.parts.escapement.action import Action
from builder.parts.escapement.contact import Floats
from builder.parts.escapement.draft import Draft, Drawn
from builder.parts.escapement.drafting import CHORD, refuse, root_of, wheel_outline
from builder.parts.escapement.shape import Edge, Shape, Spot, chain
from builder.parts.escapement.solve import solved, wheel_at


class Cylinder(Part):
    """Each tooth rests on the outside of the shell, lifts its entry lip, drops inside, rests there, and lifts the exit lip.

    There is no lever: the pallet angle is the balance's own.
    """

    beats_per_tooth: ClassVar[int] = 2
    beats_with: ClassVar[Literal["pendulum", "balance"]] = "balance"

    kind: Literal["cylinder"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    teeth: Annotated[int, Field(ge=10, le=24)] = 15
    """Teeth of the escape wheel; 15 in most."""
    radius_mm: Length
    """Radius of the escape wheel over the heels of its teeth, mm."""
    lift_deg: Annotated[float, Field(ge=15, le=60)] = 40.0
    """How far each lip is lifted by the incline of a tooth, degrees at the balance: the mean of both, which differ a little."""
    lock_deg: Annotated[float, Field(gt=0, le=20)] = 5.0
    """How deep a tooth falls on the shell, measured as the turn of the balance to unlocking, degrees."""
    shell_deg: Annotated[float, Field(ge=180, le=220)] = 196.0
    """How much of a whole turn the half shell is, lip to lip, degrees; usually a little over half (from memory)."""
    tooth_deg: Annotated[float, Field(gt=2, le=20)] | None = None
    """Length of a tooth, point to heel, degrees at the wheel; left out: 4/9 of a tooth space (10.67 of 24)."""
    drop_deg: Annotated[float, Field(gt=0, le=5)] | None = None
    """Drop inside and outside the shell, degrees at the wheel; left out: 1/32 of a tooth space (0.75 of 24)."""
    reach_deg: Annotated[float, Field(ge=60, le=175)] = 150.0
    """How far the balance can turn each way before its banking pin stops it, degrees."""
    friction: Annotated[float, Field(ge=0, le=0.6)] = 0.15
    """Coefficient of friction of tooth on shell; 0.15 is usual for oiled steel (textbook order, from memory)."""
    direction_deg: Angle = 90.0
    """Direction from the escape arbor to the balance arbor seen from the front: 0 right, 90 above."""

    @property
    def tooth_rad(self) -> float:
        """Point to heel at the wheel, given or usual."""
        return math.radians(self.tooth_deg) if self.tooth_deg is not None else math.tau / self.teeth * 4 / 9

    @property
    def drop_rad(self) -> float:
        """Drop at the wheel, given or usual."""
        return math.radians(self.drop_deg) if self.drop_deg is not None else math.tau / self.teeth / 32

    @property
    def embraced(self) -> float:
        """Tooth spaces embraced: the shell stands between two teeth or round one."""
        return 0.5

    @property
    def half_rad(self) -> float:
        """Balance angle from the middle to let-off: half of lock and lift."""
        return math.radians(self.lock_deg + self.lift_deg) / 2

    def form(self) -> Form:
        """Solve for the shell and its place: at let-off a heel is under the middle of a lip, both drops are the one wanted, and
        in the mean of both lips so is the lock. Raises Refused."""
        unlock, half = math.radians(self.lock_deg) - self.half_rad, self.half_rad
        tooth, drop, pitch = self.tooth_rad, self.drop_rad, math.tau / self.teeth

        def missed(x: Points) -> Points:
            form = Form(self.radius_mm, *(self.radius_mm * x[:4]), *x[4:])
            entry_first, exit_first = form.lip(form.outer_mm, "entry", unlock), form.lip(form.inner_mm, "exit", -unlock)
            entry_last, exit_last = form.lip(form.middle_mm, "entry", half), form.lip(form.middle_mm, "exit", -half)
            top = form.radius_mm + form.wall_mm / 2
            caught_inside = math.pi / 2 + form.off_centre_rad(form.inner_mm)
            caught_outside = math.pi / 2 - form.off_centre_rad(form.outer_mm)
            return np.array(
                [
                    ((math.hypot(*entry_first) + math.hypot(*exit_first)) / 2 - form.point_mm) / self.radius_mm,
                    form.entry_lip_rad + form.exit_lip_rad + math.pi - math.radians(self.shell_deg),
                    (math.hypot(*entry_last) - top) / self.radius_mm,
                    (math.hypot(*exit_last) - top) / self.radius_mm,
                    caught_inside - math.atan2(entry_last[1], entry_last[0]) - tooth - drop,
                    caught_outside + pitch - math.atan2(exit_last[1], exit_last[0]) - tooth - drop,
                ]
            )

        x = root_of(missed, np.array([0.975, 0.93, 0.23 * pitch, 0.28 * pitch, 0.1, 0.1]))
        form = Form(self.radius_mm, *(self.radius_mm * x[:4]), *x[4:])
        if not 0.04 * form.outer_mm < form.wall_mm < 0.5 * form.outer_mm:
            refuse(
                [
                    Complaint(
                        ("tooth_deg",),
                        f"{math.degrees(tooth):.3f}",
                        "at this lift, lock and drop no shell of a possible thickness fits round and between such teeth",
                        f"Take about {math.degrees(pitch) * 4 / 9:.2f}, and a drop of {math.degrees(pitch) / 32:.2f}.",
                    )
                ]
            )
        return form

    def drawn(self) -> Draft:
        """Wheel and cylinder."""
        form = self.form()
        chord = CHORD * self.radius_mm
        tooth = self._tooth(form)
        pitch = math.tau / self.teeth
        root = form.centre_mm - 2.2 * form.outer_mm
        return Draft(
            wheel=Drawn("escape wheel", "steel", wheel_outline(self._on_stem(form, root), self.teeth, root), level=-1),
            pallets=(Drawn("cylinder", "steel", form.shell(chord)),),
            balance=(),
            centre_mm=form.centre_mm,
            balance_mm=np.zeros(2),
            bankings=(),
            tip_mm=self.radius_mm,
            root_mm=root,
            pitch_rad=pitch,
            reach_rad=math.radians(self.reach_deg),
            tooth=tooth,
            surfaces={"entry": form.outside(), "exit": form.inside()},
            meets_rad={"entry": math.pi / 2 - pitch / 4, "exit": math.pi / 2 + pitch / 4},
            hollow=True,
            past_rad={"exit": math.pi / 2 + form.off_centre_rad(form.inner_mm) - 1e-6},
        )

    def draft(self) -> Draft:
        """Outlines and acting surfaces, tried. Raises Refused."""
        return self._tried(self.friction)[0]

    def action(self, friction: float | None = None) -> Action:
        """What it does at the balance, with the model's friction or another. Raises Refused."""
        return self._tried(self.friction if friction is None else friction)[1]

    def _tried(self, friction: float) -> tuple[Draft, Action]:
        """Draft and action, if no tooth comes into the shell's wall: looked for at points along teeth, through both swings."""
        draft, action = solved(self, friction)
        form = self.form()
        along = np.linspace(0, 1, 9)[:-1, None]
        outline = np.concatenate([edge.start_mm + (edge.end_mm - edge.start_mm) * along for edge in draft.tooth.edges])
        theta = np.linspace(-draft.reach_rad, draft.reach_rad, 901)
        deepest, at_rad = 0.0, 0.0
        for swing in (action.up, action.down):
            wheel = wheel_at(swing, theta)
            for tooth in range(-1, 3):
                turn = wheel + (np.round((math.pi / 2 - wheel) / draft.pitch_rad) + tooth) * draft.pitch_rad
                points = turned(outline[None, :, :], turn[:, None]) - np.array([0.0, form.centre_mm])
                into = np.max(form.into_wall_mm(points, theta[:, None]), axis=1)
                k = int(np.argmax(into))
                deepest, at_rad = max((deepest, at_rad), (float(into[k]), float(theta[k])))
        if deepest > 0.001 * form.wall_mm:
            where = (
                f"a tooth would run {deepest:.3f} mm into the shell with the balance at {words.signed(math.degrees(at_rad), 0)}°"
            )
            refuse([Complaint(("drop_deg",), f"{math.degrees(self.drop_rad):.3f}", where, "Give more drop, or less reach.")])
        return draft, action

    def _corners(self, form: Form) -> dict[str, Points]:
        """A tooth about O, its point on the x axis: a thin wedge whose underside is drawn by eye, clear of the shell."""
        point, heel = polar(form.point_mm, 0.0), polar(self.radius_mm, -self.tooth_rad)
        along = heel - point
        inward = -polar(1.0, -0.6 * self.tooth_rad)
        belly = 0.22 * float(np.hypot(*along))
        return {
            "point": point,
            "heel": heel,
            "rear": point + 0.8 * along + belly * inward,
            "front": point + 0.42 * along + belly * inward,
        }

    def _tooth(self, form: Form) -> Shape:
        at = self._corners(form)
        run = chain(
            ("", at["front"], "underside"),
            ("rear", at["rear"], "back of the tooth"),
            ("heel", at["heel"], "incline"),
            ("point", at["point"], "underside of the point"),
            ("", at["front"], ""),
        )
        return Shape(run.edges, (*run.spots, Spot("belly", at["front"])))

    def _on_stem(self, form: Form, root_mm: float) -> Points:
        """A tooth with the stem that carries it, in plan: the stem passes below the shell, which is cut away for it."""
        at = self._corners(form)
        middle = 0.5 * (at["rear"] + at["front"])
        rad = math.atan2(middle[1], middle[0])
        wide = 0.32 * self.tooth_rad
        return np.array(
            [polar(root_mm, rad - wide), at["rear"], at["heel"], at["point"], at["front"], polar(root_mm, rad + wide)]
        )


@dataclass(frozen=True)
class Form:
    """Wheel and shell as solved for; lips are rounded with half the wall, and at rest lie a little below the arbor's level."""

    radius_mm: float
    """Wheel over the heels."""
    centre_mm: float
    point_mm: float
    """Wheel over the points."""
    inner_mm: float
    outer_mm: float
    entry_lip_rad: float
    exit_lip_rad: float
    """How far each lip lies below the level of the arbor when the balance is at rest."""

    @property
    def wall_mm(self) -> float:
        """Thickness of the shell."""
        return self.outer_mm - self.inner_mm

    @property
    def middle_mm(self) -> float:
        """Radius of the middle of the wall."""
        return (self.outer_mm + self.inner_mm) / 2

    def lip(self, radius_mm: float, pallet: Literal["entry", "exit"], theta_rad: float) -> Points:
        """A point of a lip's end at a radius of the shell, about O, with the balance at theta (2,)."""
        at = -self.entry_lip_rad if pallet == "entry" else math.pi + self.exit_lip_rad
        return polar(radius_mm, at + theta_rad) + np.array([0.0, self.centre_mm])

    def off_centre_rad(self, shell_mm: float) -> float:
        """Angle at the wheel between the line of centres and where a tooth's point meets a circle about the balance arbor."""
        cosine = (self.point_mm**2 + self.centre_mm**2 - shell_mm**2) / (2 * self.point_mm * self.centre_mm)
        return math.acos(cosine) if abs(cosine) <= 1 else math.nan

    def into_wall_mm(self, points: Points, theta_rad: Floats) -> Floats:
        """How deep points (..., 2) about the balance arbor are in the shell's wall, < 0 outside it, with the balance at theta."""
        far = np.hypot(points[..., 0], points[..., 1])
        seen = np.remainder(np.arctan2(points[..., 1], points[..., 0]) - theta_rad + self.entry_lip_rad, math.tau)
        along_wall = seen <= math.pi + self.entry_lip_rad + self.exit_lip_rad
        deep = np.where(along_wall, np.minimum(far - self.inner_mm, self.outer_mm - far), -np.inf)
        for lip_rad in (-self.entry_lip_rad, math.pi + self.exit_lip_rad):
            apart = points - polar(self.middle_mm, lip_rad + theta_rad)
            deep = np.maximum(deep, self.wall_mm / 2 - np.hypot(apart[..., 0], apart[..., 1]))
        return deep

    def outside(self) -> Shape:
        """What acts on entry: the outer surface and the entry lip."""
        ends = [polar(self.outer_mm, -self.entry_lip_rad), polar(self.outer_mm, math.pi + self.exit_lip_rad)]
        lip = Spot("entry lip", polar(self.middle_mm, -self.entry_lip_rad), self.wall_mm / 2)
        return Shape((Edge("outer locking face", ends[0], ends[1], np.zeros(2), True),), (lip,))

    def inside(self) -> Shape:
        """What acts on exit: the inner surface and the exit lip."""
        ends = [polar(self.inner_mm, math.pi + self.exit_lip_rad), polar(self.inner_mm, -self.entry_lip_rad)]
        lip = Spot("exit lip", polar(self.middle_mm, math.pi + self.exit_lip_rad), self.wall_mm / 2)
        return Shape((Edge("inner locking face", ends[0], ends[1], np.zeros(2), False),), (lip,))

    def shell(self, chord_error_mm: float) -> Points:
        """The half shell about its arbor with both lips rounded, counter-clockwise (N, 2)."""
        first, last = -self.entry_lip_rad, math.pi + self.exit_lip_rad
        half = self.wall_mm / 2
        return np.concatenate(
            (
                arc((0.0, 0.0), self.outer_mm, first, last, chord_error_mm)[:-1],
                arc(polar(self.middle_mm, last), half, last, last + math.pi, chord_error_mm)[:-1],
                arc((0.0, 0.0), self.inner_mm, last, first, chord_error_mm)[:-1],
                arc(polar(self.middle_mm, first), half, first - math.pi, first, chord_error_mm)[:-1],
            )
        )
