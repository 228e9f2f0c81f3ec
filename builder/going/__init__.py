"""How the movement runs: train, plan, power, beat, motion."""
