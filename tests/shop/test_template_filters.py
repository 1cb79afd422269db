"""How numbers, angles and money read."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from django.utils import translation

from shop.languages import figures
from shop.templatetags import archroom


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (4.2, 1, "+4.2"),
        (-4.25, 1, "−4.3"),
        (-0.04, 1, "0.0"),
        (0, 2, "0.00"),
        (None, 1, "–"),
        ("", 1, "–"),
        (float("nan"), 1, "–"),
        (Decimal("1234.5"), 1, "+1\u202f234.5"),
    ],
)
def test_a_signed_number_shows_its_sign_and_a_rounded_zero_has_none(
    value: object, decimals: int, text: str
) -> None:
    assert archroom.signed(value, decimals) == text


def test_zero_is_a_reading_and_nothing_is_a_dash() -> None:
    assert archroom.mm(0) == "0.0\u202fmm"
    assert archroom.mm(None) == "–"


@pytest.mark.parametrize(
    ("value", "text"),
    [(-2.5, "−2°30′"), (0.13, "+0°08′"), (0.999, "+1°00′"), (-0.001, "0°00′")],
)
def test_degrees_and_minutes_carry_over(value: float, text: str) -> None:
    assert archroom.minutes(value) == text


def test_degrees_always_show_their_sign() -> None:
    assert archroom.degrees(1) == "+1.00°"


@pytest.mark.parametrize(
    ("value", "currency", "text"),
    [
        (Decimal("1234.5"), "EUR", "€1\u202f234.50"),
        (Decimal("-3"), "GBP", "−£3.00"),
        (Decimal("2.005"), "CHF", "CHF\u202f2.01"),
    ],
)
def test_money_has_two_decimals(value: Decimal, currency: str, text: str) -> None:
    assert archroom.money(value, currency) == text


@pytest.mark.parametrize(
    ("written", "english", "german"),
    [
        (lambda: archroom.number(1234.56, 1), "1\u202f234.6", "1\u202f234,6"),
        (lambda: archroom.signed(4.2), "+4.2", "+4,2"),
        (lambda: archroom.mm(4.25), "4.3\u202fmm", "4,3\u202fmm"),
        (lambda: archroom.signed_mm(-0.5), "−0.5\u202fmm", "−0,5\u202fmm"),
        (lambda: archroom.degrees(-1.625), "−1.63°", "−1,63°"),
        (lambda: archroom.percent(0.125, 1), "12.5\u202f%", "12,5\u202f%"),
        (lambda: archroom.quantity(Decimal("1.50")), "1.5", "1,5"),
        (
            lambda: archroom.money(Decimal("1234.5"), "EUR"),
            "€1\u202f234.50",
            "1\u202f234,50\u202f€",
        ),
        (lambda: figures.format_degrees(-1.5), "−1.50°", "−1,50°"),
        (lambda: figures.format_mm(4.2), "+4.2 mm", "+4,2 mm"),
        (lambda: figures.short(0.5), "0.5", "0,5"),
    ],
)
def test_figures_follow_the_language_that_is_active(
    written: Callable[[], str], english: str, german: str
) -> None:
    assert written() == english
    with translation.override("de"):
        assert written() == german


def test_a_quantity_drops_idle_zeros() -> None:
    assert archroom.quantity(Decimal("2.00")) == "2"
    assert archroom.quantity(Decimal("1.50")) == "1.5"
    assert archroom.quantity(Decimal("100")) == "100"


def test_a_verdict_becomes_a_class_name() -> None:
    assert archroom.verdict_slug("out of reach") == "out-of-reach"
