"""The calculator page: the closed sums with live inputs; without script, a worked example of each."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Any

from builder.bench import MOVEMENT_SUMS, SUMS, work
from builder.bench.examples import EXAMPLES, MOVEMENT_EXAMPLES
from builder.bench.live import LOOK, PLANS
from builder.bench.working.asked import bounds, choices
from builder.bench.working.printed import command
from builder.bench.working.said import in_words, name_of, written
from builder.bench.working.units import unit_of
from builder.ground import words
from builder.ground.part import Part
from builder.ground.wording import Wording
from builder.pages.computing import sum_address
from builder.pages.learner import ways
from builder.pages.press import Press
from builder.pages.shown import Context
from builder.parts.teeth.cycloidal import BOTH_WAYS_ADDENDUM

PAGE = "bench-sums.html"

GROUPS = {
    "pendulums": (
        "pendulum-length", "pendulum-beat", "rating-nut", "added-weight", "circular-error", "place", "warmth", "gridiron",
        "mercury-jar",
    ),
    "balances": ("hairspring", "vibrations", "shorter-spring", "timing-screws"),
    "drives": ("mainspring", "weight-fall", "fusee"),
    "teeth": ("module", "pair", "depth"),
    "rates": ("rate", "beat-error", "amplitude"),
}  # fmt: skip
"""The page's sums in its order."""

BY_COMMAND = {"depth": ("friction", "error_mm", "table")}
"""Fields that only the solver needs."""

SCHEMA = {"minimum": "least", "maximum": "most", "exclusiveMinimum": "above", "exclusiveMaximum": "below"}


def calculator(press: Press) -> dict[str, bytes]:
    """The page with its data inside."""
    wording = press.wording
    groups = [
        {"title": wording.say(f"sums.groups.{group}"), "id": group, "sums": [_sum(name, wording) for name in names]}
        for group, names in GROUPS.items()
    ]
    by_command = [
        {"title": wording.say(f"{_key(name)}.title"), "lede": wording.say(f"{_key(name)}.lede"), "command": _command(name)}
        for name in [*SUMS, *MOVEMENT_SUMS]
        if name not in PLANS
    ]
    return press.page(
        PAGE, "bench_sums.html.jinja", title=wording.say("sums.page.title"), description=wording.say("sums.page.lede"),
        nav=ways(wording), groups=groups, by_command=by_command, data=_data(wording),
    )  # fmt: skip


def _key(name: str) -> str:
    return f"sums.{name.replace('-', '_')}"


def _command(name: str) -> str:
    if name in MOVEMENT_SUMS:
        return command(name, MOVEMENT_EXAMPLES[name], "models/my_watch/movement.toml")
    return command(name, EXAMPLES[name])


def _fields(name: str) -> list[str]:
    return [field for field in SUMS[name].model_fields if field not in BY_COMMAND.get(name, ())]


def _sum(name: str, wording: Wording) -> Context:
    said = written(work(name, EXAMPLES[name]), wording)
    own = SUMS[name].model_fields
    solved = [line.label for line in said.lines if line.solved] + [table.title for table in said.tables if table.solved]
    asked = [
        {
            "name": field,
            "label": name_of(field, wording),
            "unit": unit_of(field).sign,
            "words": choices(own[field].annotation),
            "value": EXAMPLES[name].get(field, _usual(own[field].default)),
            "needed": own[field].is_required(),
        }
        for field in _fields(name)
    ]
    return {
        "name": name,
        "said": said,
        "lede": wording.say(f"{_key(name)}.lede"),
        "asked": asked,
        "lines": [line for line in said.lines if not line.solved],
        "more": wording.say("sums.page.more_by_command", what=", ".join(solved)) if solved else "",
        "command": _command(name),
        "explained": sum_address(name),
    }


def _usual(default: Any) -> str:
    """The usual value of a field as it is typed; nothing where there is none."""
    if not isinstance(default, (int, float, str, Fraction)):
        return ""
    return f"{default:g}" if isinstance(default, float) else str(default)


def _rules(part: type[Part], field: str) -> dict[str, Any]:
    """What a box may hold: bounds of a number or a choice of words, and what stands for nothing typed."""
    own = part.model_fields[field]
    rules: dict[str, Any] = {"needed": True} if own.is_required() else {}
    if usual := _usual(own.default):
        rules["usual"] = usual
    if options := choices(own.annotation):
        return rules | {"words": list(options)}
    schema = bounds(_schema(part)[field])
    rules |= {short: schema[long] for long, short in SCHEMA.items() if long in schema}
    return rules | ({"whole": True} if schema["type"] == "integer" else {})


def _data(wording: Wording) -> dict[str, Any]:
    """What the script needs: plans and formulas of the sums, names and units of all quantities, and figures to look up."""
    sums, named = {}, set()
    for name, plan in PLANS.items():
        lines = wording[f"{_key(name)}.lines"]
        shared = wording["sums.shared.lines"]
        formulas = {}
        for step in plan:
            for by in (step["by"], f"{step['by']}_cycloidal", f"{step['by']}_involute") if "by" in step else ():
                if line := lines.get(by) or shared.get(by):
                    formulas[by] = [line["formula"], in_words(line["formula"], wording), line.get("source", "")]
                    named.add(step["name"])
        fields = {field: _rules(SUMS[name], field) for field in _fields(name)}
        sums[name] = {"fields": fields, "plan": [_brief(step) for step in plan], "formulas": formulas}
    units = {name: unit_of(name) for name in sorted(named)}
    return {
        "names": {n: [name_of(n, wording), u.sign, u.digits, u.fractions, u.signed] for n, u in units.items()},
        "sums": sums,
        "look": LOOK,
        "both": BOTH_WAYS_ADDENDUM,
        "words": {"impossible": wording.say("sums.page.impossible")},
        "thin": words.THIN,
    }


@cache
def _schema(part: type[Part]) -> dict[str, Any]:
    """Field → what JSON Schema says of it."""
    return dict(part.model_json_schema()["properties"])


def _brief(step: dict[str, Any]) -> dict[str, Any]:
    """A step without what is empty."""
    return {key: value for key, value in step.items() if value not in ([], "")}
