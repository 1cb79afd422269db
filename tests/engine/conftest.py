"""Hypothesis for the engine's tests: what it tries takes as long as it takes."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
