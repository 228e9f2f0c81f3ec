"""Random questions of every closed sum, as a person might type them: mostly possible, a few not."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

METALS = ("steel", "iron", "brass", "zinc", "aluminium", "invar", "wood")

Texts = dict[str, str]


def number(rng: Random, low: float, high: float) -> str:
    return f"{rng.uniform(low, high):.5g}"


def some(rng: Random, **choices: str) -> Texts:
    """Each of these in half of the questions."""
    return {name: text for name, text in choices.items() if rng.random() < 0.5}


def either(rng: Random, *ways: Texts) -> Texts:
    """One of these ways; now and then none, or all of them."""
    if (odd := rng.random()) < 0.03:
        return {}
    if odd < 0.06:
        return {name: text for way in ways for name, text in way.items()}
    return rng.choice(ways)


def beats(rng: Random) -> str:
    return rng.choice(["3600", "4800", "7200", "9368", "16200", "18000", "19800", "21600", "28800", number(rng, 1000, 40_000)])


def place(rng: Random) -> Texts:
    where = {"latitude_deg": number(rng, -90, 90), "height_m": number(rng, 0, 4000)}
    return rng.choice([{}, where, {"gravity_m_s2": number(rng, 9.7, 9.9)}])


def standard(rng: Random) -> Texts:
    return rng.choice([{}, {"standard_mm": number(rng, 900, 1100)}, {"standard_mm": "165.1", "standard_beats_per_hour": "9000"}])


def expansion(rng: Random, field: str, name: str) -> Texts:
    return either(rng, {field: rng.choice(METALS)}, {name: number(rng, 0, 40)})


def pendulum_length(rng: Random) -> Texts:
    beat = either(rng, {"beat_s": rng.choice(["1", "1/2", "2/3", "0.75", "1 1/4"])}, {"beats_per_hour": beats(rng)})
    return beat | place(rng) | standard(rng) | some(rng, semi_arc_deg=number(rng, 0.5, 12))


def pendulum_beat(rng: Random) -> Texts:
    bob = {
        "to_centre_mm": number(rng, 60, 900),
        "bob_diameter_mm": number(rng, 0, 120),
        "bob": rng.choice(["ball", "drum", "lens"]),
    }
    return either(rng, {"length_mm": number(rng, 50, 4000)}, bob) | place(rng) | standard(rng)


def rating_nut(rng: Random) -> Texts:
    length = either(rng, {"length_mm": number(rng, 30, 1500)}, {"beats_per_hour": number(rng, 2000, 12_000)})
    more = some(rng, divisions=rng.choice(["30", "60", "100"]), rate_s_per_day=number(rng, -300, 300))
    return {"pitch_mm": number(rng, 0.2, 2)} | length | more


def added_weight(rng: Random) -> Texts:
    change = either(rng, {"added_g": number(rng, -20, 50)}, {"rate_s_per_day": number(rng, -10, 10)})
    sizes = {"pendulum_kg": number(rng, 0.5, 10), "length_mm": number(rng, 300, 1000)}
    return sizes | change | some(rng, depth_mm=number(rng, 50, 1050))


def circular_error(rng: Random) -> Texts:
    at = {"at_mm": number(rng, 500, 1000)} if rng.random() < 0.7 else {}
    first = either(rng, {"semi_arc_deg": number(rng, 0.5, 12)}, {"swing_mm": number(rng, 10, 200)})
    return at | first | rng.choice([{}, {"to_deg": number(rng, 0.5, 12)}, {"to_swing_mm": number(rng, 10, 200)}])


def carried(rng: Random) -> Texts:
    latitudes = {"from_latitude_deg": number(rng, -90, 90), "to_latitude_deg": number(rng, -90, 90)}
    standards = {"from_standard_mm": number(rng, 990, 996), "to_standard_mm": number(rng, 990, 996)}
    heights = some(rng, from_height_m=number(rng, 0, 3000), to_height_m=number(rng, 0, 3000))
    return either(rng, latitudes, standards) | heights


def warmth(rng: Random) -> Texts:
    rise = rng.choice(["0", number(rng, -30, 40)])
    return expansion(rng, "rod", "expansion_ppm_per_c") | {"rise_c": rise} | some(rng, length_mm=number(rng, 100, 1500))


def gridiron(rng: Random) -> Texts:
    rods = expansion(rng, "falling", "falling_ppm_per_c") | expansion(rng, "rising", "rising_ppm_per_c")
    return rods | {"falling_mm": number(rng, 500, 4000)}


def mercury_jar(rng: Random) -> Texts:
    jar = some(rng, jar=rng.choice(["glass", "iron", "steel"]), net_rise_ppm_per_c=number(rng, 5, 180))
    return expansion(rng, "rod", "expansion_ppm_per_c") | {"length_mm": number(rng, 300, 1100)} | jar


def hairspring(rng: Random) -> Texts:
    strip = rng.choice([{}, {"height_mm": number(rng, 0.05, 1), "length_mm": number(rng, 50, 400)}, {"height_mm": "0.2"}])
    more = some(rng, amplitude_deg=number(rng, 100, 320), material=rng.choice(["steel", "bronze", "elinvar"]))
    return {"inertia_mg_cm2": number(rng, 1, 2000), "beats_per_hour": beats(rng)} | strip | more


def vibrations(rng: Random) -> Texts:
    count = {"counted": str(rng.randint(100, 600)), "in_s": rng.choice(["30", "60", "61.5"]), "beats_per_hour": beats(rng)}
    return count | some(rng, length_mm=number(rng, 50, 400))


def shorter_spring(rng: Random) -> Texts:
    change = either(rng, {"shorter_mm": number(rng, -5, 5)}, {"rate_s_per_day": number(rng, -600, 600)})
    return {"length_mm": number(rng, 3, 300)} | change


def timing_screws(rng: Random) -> Texts:
    changes = {"out_mm": number(rng, -3, 1)}, {"washer_mg": number(rng, -5, 5)}, {"rate_s_per_day": number(rng, -600, 600)}
    sizes = {"inertia_mg_cm2": number(rng, 5, 300), "radius_mm": number(rng, 2, 10)}
    return (
        sizes
        | either(rng, *changes)
        | some(rng, screws=rng.choice(["2", "4", "14"]))
        | ({"mass_mg": number(rng, 1, 20)} if rng.random() < 0.8 else {})
    )


def mainspring(rng: Random) -> Texts:
    sizes = {"barrel_mm": number(rng, 8, 60), "arbor_mm": number(rng, 2, 10)}
    strip = either(rng, {"turns": number(rng, 3, 12)}, {"thickness_mm": number(rng, 0.05, 0.5)})
    more = some(
        rng, length_mm=number(rng, 100, 3000), height_mm=number(rng, 1, 40), set=number(rng, 0, 0.5), material="white alloy"
    )
    return sizes | strip | more


def weight_fall(rng: Random) -> Texts:
    hours = either(
        rng, {"great_hours": "12", "going_hours": "192"}, {"turns": "16", "going_hours": "190"}, {"turns": "15 1/2"},
        {"turns": "16", "great_hours": "12", "going_hours": rng.choice(["192", "191"])}, {"turns": "14", "great_hours": "9.5"},
    )  # fmt: skip
    drum = either(rng, {"drum_mm": number(rng, 20, 80)}, {"fall_mm": number(rng, 100, 3000)})
    more = some(rng, cord_mm=number(rng, 0, 3), lines="2", mass_kg=number(rng, 1, 20), beats_per_hour=beats(rng))
    return hours | drum | more


def fusee(rng: Random) -> Texts:
    torques = {"wound_nmm": number(rng, 40, 100), "down_nmm": number(rng, 20, 60)}
    end = either(rng, {"small_mm": number(rng, 8, 20)}, {"large_mm": number(rng, 15, 40)})
    return torques | end | some(rng, turns=number(rng, 3, 20), drum_mm=number(rng, 15, 60))


def module(rng: Random) -> Texts:
    return {
        "teeth": str(rng.randint(4, 160)), "mate": str(rng.randint(4, 160)), "outside_mm": number(rng, 2, 120),
        "drives": rng.choice(["yes", "no"]), "form": rng.choice(["cycloidal", "cycloidal", "involute"]),
    }  # fmt: skip


def pair(rng: Random) -> Texts:
    counts = {"wheel_teeth": str(rng.randint(20, 160)), "pinion_leaves": str(rng.randint(5, 40))}
    measures = some(rng, wheel_mm=number(rng, 10, 90), pinion_mm=number(rng, 2, 20), distance_mm=number(rng, 8, 60))
    return counts | measures | some(rng, form="involute")


def depth(rng: Random) -> Texts:
    counts = {"wheel_teeth": str(rng.randint(20, 160)), "pinion_leaves": str(rng.randint(5, 40))}
    return counts | {"module_mm": number(rng, 0.05, 2), "table": "no"} | some(rng, form="involute")


def rate(rng: Random) -> Texts:
    return {"second_s": number(rng, -90, 90)} | some(rng, first_s=number(rng, -90, 90), hours_between=number(rng, 1, 200))


def beat_error(rng: Random) -> Texts:
    read = either(rng, {"error_ms": number(rng, 0, 60)}, {"long_ms": number(rng, 198, 240), "short_ms": number(rng, 160, 202)})
    return {"beats_per_hour": beats(rng), "amplitude_deg": number(rng, 2, 320)} | read


def amplitude(rng: Random) -> Texts:
    read = {"lift_deg": number(rng, 30, 60), "lift_ms": number(rng, 5, 130), "beats_per_hour": beats(rng)}
    return read | some(rng, true_lift_deg=number(rng, 30, 60))


QUESTIONS: dict[str, Callable[[Random], Texts]] = {
    "pendulum-length": pendulum_length,
    "pendulum-beat": pendulum_beat,
    "rating-nut": rating_nut,
    "added-weight": added_weight,
    "circular-error": circular_error,
    "place": carried,
    "warmth": warmth,
    "gridiron": gridiron,
    "mercury-jar": mercury_jar,
    "hairspring": hairspring,
    "vibrations": vibrations,
    "shorter-spring": shorter_spring,
    "timing-screws": timing_screws,
    "mainspring": mainspring,
    "weight-fall": weight_fall,
    "fusee": fusee,
    "module": module,
    "pair": pair,
    "depth": depth,
    "rate": rate,
    "beat-error": beat_error,
    "amplitude": amplitude,
}


def questions(count: int, seed: int) -> list[tuple[str, Texts]]:
    """So many questions, the sums by turns; the same for the same seed."""
    rng = Random(seed)
    names = list(QUESTIONS)
    return [(name, QUESTIONS[name](rng)) for k in range(count) for name in (names[k % len(names)],)]
