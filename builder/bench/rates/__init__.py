"""Sums of the going rate: two readings, beat error, amplitude by the lift angle."""
