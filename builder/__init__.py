"""Between Plates: from a movement model file to an offline, moving explainer site."""

__version__ = "0.1.0"
