"""The motion work: from the minute hand to the hour hand."""

from __future__ import annotations

from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.hands import hands, keyless
from builder.pages.shown import Context, Shown
from builder.parts.motion_work import MINUTE, MinuteAndHour


def context(shown: Shown, wording: Wording) -> Context | None:
    going = shown.going
    work = going.movement.motion_work
    if work is None:
        return None
    say = wording.say
    ratio = words.whole_and_part(work.reduction)
    sentences = []
    if isinstance(work, MinuteAndHour):
        first, second = (one for one in going.plan.sized if one.pair.key == ("motion_work",))
        lede = say(
            "pages.motion_work.lede", driven=f"{work.minute_wheel_teeth} × {work.hour_wheel_teeth}",
            driver=f"{work.cannon_leaves} × {work.minute_pinion_leaves}", ratio=ratio,
        )  # fmt: skip
        sentences.append(
            say(
                "pages.motion_work.centre", distance=words.figure(first.distance_mm, 4),
                first=words.figure(first.module_mm), second=words.figure(second.module_mm),
            )
        )  # fmt: skip
        sentences.append(say("pages.motion_work.minute_wheel", period=words.period(going.train[MINUTE].hours_per_turn)))
    else:
        lede = say("pages.motion_work.lede_single", driven=work.hour_wheel_teeth, driver=work.pinion_leaves, ratio=ratio)
    return {
        "title": f"{going.name}: {say('pages.stations.motion_work').lower()}",
        "lede": lede,
        "sentences": sentences,
        "work": shown.plate("motion-work"),
        "hands": hands(shown, wording),
        "keyless": keyless(shown, wording),
    }
