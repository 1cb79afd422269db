"""Fields that hold one word of an enum, and nothing else."""

from __future__ import annotations

from enum import StrEnum

from django.db import models


def word_choices(words: type[StrEnum]) -> list[tuple[str, str]]:
    """The choices of a field that holds one of these words, which people read as it is kept."""
    return [(word.value, word.value) for word in words]


def one_of(field: str, words: type[StrEnum], name: str) -> models.CheckConstraint:
    """The constraint that a field holds one of these words."""
    held = [word.value for word in words]
    return models.CheckConstraint(condition=models.Q((f"{field}__in", held)), name=name)
