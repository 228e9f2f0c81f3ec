"""How each thing of a movement file is counted or measured at the bench: the questions say it, and the written file too."""

from __future__ import annotations

HOW: dict[str, str] = {
    "movement.name": "What its page is called.",
    "movement.sort": "timepiece: it goes and does not strike. clock: it strikes too. regulator: made to keep time. watch: worn.",
    "movement.summary": "One sentence for the page: what there is to see.",
    "movement.lent_by": "Its owner, or whose shelf it stands on.",
    "movement.assumed": "What below nobody measured: take it out of this list when you have.",
    "source.kind": (
        "weight: a weight on a cord. open_spring: bare coils round an arbor. going_barrel: a spring in a box with the first "
        "wheel's teeth on its rim. fusee: a box that pulls a chain or gut off a cone."
    ),
    "source.turns": "Wind it from run down to fully wound and count the turns of the key.",
    "source.mass_kg": "Take the weight off and put it on the scales together with its pulley.",
    "source.drum_diameter_mm": "Calliper across the bare drum, at the bottom of the groove where the cord lies.",
    "source.cord_mm": "Calliper across the cord, without squeezing it.",
    "source.lines": "1 where the weight hangs straight from the drum, 2 where it hangs in a pulley.",
    "source.spring.thickness_mm": "With a micrometer in several places, the strip let down and out; otherwise it is not known.",
    "source.spring.height_mm": "Across the strip, from edge to edge.",
    "source.spring.length_mm": "Along the whole strip, from end to end; coil by coil with a tape where it cannot be laid flat.",
    "source.arbor_diameter_mm": "Calliper across the arbor at the hook, beside it and not over it.",
    "source.room_diameter_mm": "Twice the way from the arbor's middle to the nearest pillar, plate's edge or wheel.",
    "source.barrel.arbor_diameter_mm": "Calliper across the arbor at the hook, beside it and not over it.",
    "source.barrel.inside_diameter_mm": "Calliper across the open barrel, from wall to wall.",
    "source.line.thickness_mm": "Calliper across it as it lies in the groove, without squeezing it.",
    "source.large_diameter_mm": "Across the fusee in the last groove beside the great wheel, at its floor.",
    "source.small_diameter_mm": "Across the fusee in the last turn of the groove at the small end, at its floor.",
    "arbors.id": "A short name of your own for each arbor, from the source of power to the escape wheel.",
    "arbors.wheel.teeth": "Mark a tooth with a washable pen, count round to it, then once more the other way round.",
    "arbors.wheel.outside_diameter_mm": "Calliper over the tips of opposite teeth; turn it until it shows the most.",
    "arbors.wheel.module_mm": "the pitch circle's diameter by the count, if you know it instead of the diameter over the tips.",
    "arbors.pinion.leaves": "Look at the pinion from its end in good light, mark a leaf, count round twice.",
    "arbors.hand": "A hand that sits straight on this arbor: seconds, minutes or hours.",
    "meshes.driver": "Which arbor drives which, from the source on.",
    "meshes.direction_deg": "From the driver's centre to the driven, seen from the front: 0 is 3 o'clock, 90 is 12 o'clock.",
    "escapement.kind": (
        "recoil_anchor: the escape wheel is pushed back a little at every beat. dead_beat: it stands still. club_lever: jewelled "
        "lever of watches. pin_lever: lever with round steel pins. cylinder: the teeth pass through the balance's own hollow "
        "staff. counted: any other kind, only counted."
    ),
    "escapement.name": "What the trade calls it: verge, duplex, gravity, chronometer.",
    "escapement.teeth": "Mark a tooth with a washable pen and count round twice. Keep steel off the tips.",
    "escapement.beats_per_tooth": "2 where a tooth passes at every second beat, as in nearly all; 1 where one passes at each.",
    "escapement.radius_mm": "Half of what the calliper shows over the tips of opposite teeth.",
    "oscillator.kind": "pendulum: it hangs. balance: a wheel with a hairspring.",
    "oscillator.beats_per_hour": "Count every tick for five minutes by a watch; a tick and a tock are two. Times 12.",
    "oscillator.rod": "Length from the lower end of the suspension spring to the tip of the rod, and the rod's thickness.",
    "oscillator.bob": "Weigh the bob without the rod; its diameter as seen from the front.",
    "oscillator.suspension": "Thickness and width of the strip with a micrometer, and its free length.",
    "oscillator.diameter_mm": "Calliper over the rim, without screws; the balance is never held by its pivots.",
    "oscillator.rim": "With a measuring glass, or a calliper that does not mark.",
    "oscillator.screws": "All of them; take one out and weigh it on a jeweller's balance.",
    "oscillator.hairspring": "Height with a measuring glass; length: coils times the way round the middle one.",
    "motion_work.kind": "minute_and_hour: a minute and an hour hand. hour_only: a single hand.",
    "motion_work.on": "The arbor that the hands' gearing sits on. With a minute hand it turns once an hour.",
    "motion_work.dial_hours": "Hours for one turn of the hour hand.",
    "motion_work.cannon_leaves": "The pinion, or wheel, on the pipe that carries the minute hand.",
    "motion_work.minute_wheel_teeth": "The wheel on the post at the side, which the cannon pinion drives.",
    "motion_work.minute_pinion_leaves": "The small pinion on that wheel.",
    "motion_work.hour_wheel_teeth": "The wheel that carries the hour hand. All four must come to 12 (or 24) to 1.",
    "motion_work.pinion_leaves": "The pinion behind the dial that drives the hour wheel.",
    "motion_work.distance_mm": "From the middle of the hands to the middle of the post at the side, on the front plate.",
    "motion_work.module_mm": "Or, instead of a module, distance_mm: from the middle of the hands to the post at the side.",
    "plates.width_mm": "Size of the plates, and where their middle lies as seen from the middle of the hands.",
    "dial.diameter_mm": "Across the outer edge of the circle of hours.",
}

SPRING_CAUTION = (
    "Caution: a wound spring lets go all at once and can hurt badly. Let it down first, with a let-down key that fits, before "
    "anything is taken apart; if nobody has shown you how, leave it to someone trained."
)
WEIGHT_CAUTION = "Caution: take the weight off first, then the pendulum. Keep feet from under both."
CAUTIONS = {"weight": WEIGHT_CAUTION, **dict.fromkeys(("open_spring", "going_barrel", "fusee"), SPRING_CAUTION)}
