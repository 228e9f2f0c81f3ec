"""Sums of the pendulum: length and beat, place, nut and added weight, arc and warmth."""
