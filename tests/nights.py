"""A share of a long proof by day, the rest at night."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

NIGHTLY = pytest.mark.nightly


def day_and_night(day: Iterable[Any], night: Iterable[Any]) -> list[Any]:
    """Parameters of a test: those of the day run always, the others by ``make nightly``."""
    shared = list(day)
    rest = [
        pytest.param(*(one if isinstance(one, tuple) else (one,)), marks=NIGHTLY)
        for one in night
        if one not in shared
    ]
    return [*shared, *rest]
