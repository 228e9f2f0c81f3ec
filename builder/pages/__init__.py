"""Wording and numbers into HTML."""
