"""Timing by ear: the noises of a beat, the trace that a listening instrument draws of them, and what it reads from it."""
