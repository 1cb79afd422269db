"""Keys by which a telephone number or a plate is found, however it is grouped."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.values.contact_keys import plate_key, telephone_key

GERMAN = [
    "0171 555 8841",
    "0171/5558841",
    "0171-555-88-41",
    "+49 171 5558841",
    "+49 (0)171 5558841",
    "(+49) 171 555 88 41",
    "0049 171 555 8841",
    "0171 5558841 ext. 12",
    "０１７１ ５５５８８４１",
]


@pytest.mark.parametrize("typed", GERMAN)
def test_one_number_has_one_key(typed):
    assert telephone_key(typed) == "1715558841"


@pytest.mark.parametrize("typed", ["+1 (555) 010-4477", "1-555-010-4477", "(555) 010 4477"])
def test_a_north_american_number_needs_no_leading_one(typed):
    assert telephone_key(typed) == "5550104477"


def test_a_code_of_three_digits_is_taken_off_as_a_whole():
    assert telephone_key("+353 1 555 0123") == telephone_key("01 555 0123") == "15550123"


def test_other_numbers_keep_other_keys():
    assert telephone_key("0171 555 8841") != telephone_key("0171 555 8842")
    assert telephone_key("no number") == telephone_key("") == ""


@given(st.text(alphabet="0123456789", min_size=4, max_size=11), st.data())
def test_blanks_and_dashes_change_no_key(digits, data):
    gaps = st.sampled_from(["", " ", "-", "/", " - ", "."])
    grouped = "".join(digit + data.draw(gaps) for digit in digits)
    assert telephone_key(grouped) == telephone_key(digits)


@given(st.text(alphabet="23456789", min_size=6, max_size=9))
def test_country_and_home_form_agree(number):
    assert telephone_key("+49" + number) == telephone_key("0" + number) == number


@pytest.mark.parametrize("typed", ["LG-TR 416", "lg tr 416", "LGTR416", " lg·tr-416 "])
def test_one_plate_has_one_key(typed):
    assert plate_key(typed) == "LGTR416"


def test_letters_of_any_alphabet_stay():
    assert plate_key("ü-å 12") == "ÜÅ12"


@given(st.text(max_size=20))
def test_a_key_is_its_own_key(text):
    assert plate_key(plate_key(text)) == plate_key(text)
