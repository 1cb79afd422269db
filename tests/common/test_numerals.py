"""Numbers as they are written: rounded decimal half-up, not by their binary value."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from common.numerals import (
    MINUS,
    NOT_READ,
    degrees_minutes,
    fixed,
    for_machines,
    half_up,
    short,
)

HALVES = [
    (-1.625, 2, f"{MINUS}1.63"),
    (1.625, 2, "1.63"),
    (4.85, 1, "4.9"),
    (12.5, 0, "13"),
    (-12.5, 0, f"{MINUS}13"),
    (0.125, 2, "0.13"),
    (2.675, 2, "2.68"),
    (1.005, 2, "1.01"),
    (Decimal("1.005"), 2, "1.01"),
]


@pytest.mark.parametrize(("value", "places", "written"), HALVES)
def test_halves_are_rounded_away_from_zero(value, places, written) -> None:
    assert fixed(value, places) == written


def test_what_rounds_to_zero_has_no_sign() -> None:
    assert fixed(-0.004, 2) == fixed(0.004, 2, signed=True) == "0.00"
    assert fixed(-0.005, 2) == f"{MINUS}0.01"
    assert short(-0.0004, signed=True) == "0"


def test_a_sign_is_shown_where_it_is_asked_for() -> None:
    assert fixed(4.2, 1, signed=True) == "+4.2"
    assert fixed(-4.2, 1, signed=True) == f"{MINUS}4.2"


def test_idle_zeros_are_left_out() -> None:
    assert [short(value) for value in (5.0, 0.5, 114.3, 1200.0, 1 / 3)] == [
        "5",
        "0.5",
        "114.3",
        "1200",
        "0.333",
    ]


def test_groups_and_the_decimal_mark_are_the_readers() -> None:
    assert fixed(1234567.25, 1, point=",", apart=".") == "1.234.567,3"
    assert short(1234.5, point=",", apart=" ") == "1 234,5"


@pytest.mark.parametrize("value", [None, float("nan"), float("inf"), Decimal("NaN")])
def test_what_is_no_number_is_a_dash(value) -> None:
    assert fixed(value, 2) == short(value) == degrees_minutes(value) == NOT_READ
    if value is not None:
        with pytest.raises(ValueError, match="not a number"):
            half_up(value, 2)


def test_degrees_and_minutes() -> None:
    assert degrees_minutes(-1.5) == f"{MINUS}1°30′"
    assert degrees_minutes(0.999) == "+1°00′"
    assert degrees_minutes(-0.004) == "0°00′"
    assert degrees_minutes(1.625) == "+1°38′"  # 37.5 minutes
    assert degrees_minutes(1.625, signed=False) == "1°38′"


def test_programs_read_the_keyboards_minus_and_nothing_for_nothing() -> None:
    assert for_machines(-1.625, 2) == "-1.63"
    assert for_machines(None, 2) == for_machines(math.nan, 2) == ""
