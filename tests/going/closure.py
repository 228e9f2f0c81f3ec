"""Energy not accounted for in a steady beat: a check on the solution, nought but for rounding."""

from builder.going.steady import Running


def left_over(running: Running) -> float:
    """Given to the escape wheel less every loss, each an integral of its own, as a part of what was given."""
    work = running.work
    gone = work.oscillator + work.sliding + work.drop + work.wheel + work.lever + running.gained_j
    return (running.given_j - gone) / running.given_j
