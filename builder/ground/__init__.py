"""Errors, constants, geometry and root finding: nothing here knows what a clock is."""
