"""Drawings: one self-contained SVG each, written only through sheet.py."""
