"""Keyless work as it is drawn: every mesh in sight, the stem level, the crown to the right, seen from the dial's side."""
