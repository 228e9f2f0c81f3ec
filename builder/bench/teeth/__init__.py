"""Sums of teeth: module and diameters, centre distance, what a wrong depth does."""
