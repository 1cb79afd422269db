"""The VIN check digit against published numbers."""

import pytest

from shop.values.vin import vin_check_digit, vin_clean, vin_sum, vin_warning

PUBLISHED = [
    # The sample worked in the regulation itself, 49 CFR 565.15.
    ("1G4AH59H?5G118341", "4", 411),
    # A guide to the check digit by the regulator.
    ("1J9RP1A3?A1644345", "6", 314),
    # A widely printed example, not a regulator's.
    ("1M8GDM9A?KP042788", "X", 351),
]


@pytest.mark.parametrize(("vin", "digit", "total"), PUBLISHED)
def test_published_numbers_give_their_sum_and_digit(vin: str, digit: str, total: int) -> None:
    assert vin_sum(vin) == total
    assert vin_check_digit(vin) == digit


def test_seventeen_ones_check_with_one() -> None:
    # Arithmetic: the weights add up to 89, and 89 leaves 1 when divided by 11.
    assert vin_check_digit("1" * 17) == "1"


@pytest.mark.parametrize("letter", "IOQ")
def test_letters_that_look_like_digits_are_named_in_a_warning(letter: str) -> None:
    assert letter in vin_warning("1G4AH59H45G11834" + letter, market="other")


def test_a_wrong_digit_is_warned_of_only_where_it_binds() -> None:
    wrong = "1G4AH59H55G118341"
    assert "should be 4" in vin_warning(wrong, market="NA")
    assert vin_warning(wrong, market="other") == ""
    assert vin_warning(wrong.replace("H55", "H45"), market="NA") == ""


def test_a_short_number_is_warned_of_and_an_empty_one_is_not() -> None:
    assert "9 characters" in vin_warning("ABC123456", market="other")
    assert vin_warning("", market="NA") == ""


def test_spaces_and_dashes_between_groups_do_not_count() -> None:
    assert vin_clean(" 1g4-ah59h 45g118341 ") == "1G4AH59H45G118341"
