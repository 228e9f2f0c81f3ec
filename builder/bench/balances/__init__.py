"""Sums of the balance and its hairspring."""
