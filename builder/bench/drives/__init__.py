"""Sums of what drives: mainspring and barrel, weight and fall, fusee."""
