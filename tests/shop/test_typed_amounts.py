"""Amounts as people type them are read, and what can be read in two ways is refused."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.values.typed_amounts import NotAnAmount, read_typed

READ = {
    "92,50 €": ("92.50", "€"),
    "€ 92.50": ("92.50", "€"),
    "€92.50": ("92.50", "€"),
    "1.250,00": ("1250.00", ""),
    "1,250.00": ("1250.00", ""),
    "1 250,00 EUR": ("1250.00", "EUR"),
    "1'250.00 CHF": ("1250.00", "CHF"),
    "1.234.567": ("1234567", ""),
    "19 %": ("19", "%"),
    "19%": ("19", "%"),
    "1,5 h": ("1.5", "h"),
    "2 Std.": ("2", "h"),
    "0,125": ("0.125", ""),
    ",5": ("0.5", ""),
    "1 250": ("1250", ""),
    "−3,20": ("-3.20", ""),
    "400 kr": ("400", "kr"),
}


@pytest.mark.parametrize("typed", READ)
def test_what_people_type_is_read(typed: str) -> None:
    number, unit = READ[typed]
    found = read_typed(typed)
    assert (found.number, found.unit) == (Decimal(number), unit)


@pytest.mark.parametrize(
    "typed",
    ["", "free", "1.250", "1,250", "12,5,3", "1.2.3", "1,23.456,7", "5 miles", "€ 5 €", "1e5",
     "1-2", "--3", "٣", "1" * 41],
)  # fmt: skip
def test_what_cannot_be_read_or_in_two_ways_is_refused(typed: str) -> None:
    with pytest.raises(NotAnAmount):
        read_typed(typed)


@given(st.decimals(min_value=0, max_value=Decimal("9999999.99"), places=2))
def test_both_ways_of_writing_an_amount_read_alike(amount: Decimal) -> None:
    english = f"{amount:,.2f}"
    german = english.translate(str.maketrans(",.", ".,"))
    assert read_typed(english).number == read_typed(german).number == amount
