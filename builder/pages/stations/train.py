"""The train: the count-up arbor by arbor, and the plan from front and back."""

from __future__ import annotations

from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown


def context(shown: Shown, wording: Wording) -> Context:
    going, train = shown.going, shown.going.train
    first = train[train.path[0]].title.lower()
    product = " × ".join(f"{pair.driver_count}/{pair.driven_count}" for pair in train.path_pairs)
    say = wording.say
    return {
        "title": f"{going.name}: {say('pages.stations.train').lower()}",
        "lede": say("pages.train.lede", first=first),
        "line": shown.plate("train-line"),
        "front": shown.plate("train-front"),
        "back": shown.plate("train-back"),
        "has_hands": bool(train.hands),
        "whole": say("pages.train.whole", ratio=words.whole_and_part(train.whole_ratio), first=first, product=product),
        "passed": say(
            "pages.train.teeth_passed", teeth=words.whole_and_part(train.teeth_per_minute),
            beats=words.whole_and_part(train.beats_per_hour),
        ),
    }  # fmt: skip
