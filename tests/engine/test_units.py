"""What people type at a rack is understood, or refused with the reason; nothing is guessed."""

import contextlib
import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alignment.geometry import units
from alignment.geometry.units import (
    NotUnderstood,
    parse_angle,
    parse_length,
    parse_position,
    parse_toe,
)

angles = st.floats(-89.0, 89.0)


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("-2.5", -2.5),
        ("−2.5", -2.5),
        ("–2.5", -2.5),
        ("-2,5", -2.5),
        ("2.5 neg", -2.5),
        ("2.5 Neg.", -2.5),
        ("neg 2.5", -2.5),
        ("2.5 positive", 2.5),
        ("+2.5°", 2.5),
        ("2.5 deg", 2.5),
        (".5", 0.5),
        ("0", 0.0),
        ("-0", 0.0),
        ("1°30'", 1.5),
        ("1° 30′", 1.5),
        ("1°30", 1.5),
        ("1 30", 1.5),
        ("-1 30", -1.5),
        ("1º5'", 1 + 5 / 60),
        ("0°08'", 8 / 60),
        ("-0°08'", -8 / 60),
        ("8'", 8 / 60),
        ("8 min", 8 / 60),
        ("1°30'36\"", 1.51),
    ],
)
def test_an_angle_is_read_as_it_was_meant(typed: str, degrees: float) -> None:
    understood = parse_angle(typed)
    assert understood.value == pytest.approx(degrees, abs=1e-12)
    assert understood.typed == typed


@pytest.mark.parametrize(
    ("typed", "because"),
    [
        ("", "Nothing"),
        ("   ", "Nothing"),
        ("-", "no number"),
        ("neg", "no number"),
        ("-2.5 neg", "twice"),
        ("+2.5 neg", "twice"),
        ("2.5 pos neg", "twice"),
        ("2.5-", "middle"),
        ("1-30", "middle"),
        ("--2", "middle"),
        ("1 3", "could be"),
        ("1°5", "could be"),
        ("1 75", "0 to 59"),
        ("1°30'75\"", "0 to 59"),
        ("1.5°30'", "not understood"),
        ("1 30 15", "not understood"),
        ("2,5.1", "more than one"),
        ("1.2.3", "more than one"),
        ("2.", "decimal point"),
        ("2 mm", "length"),
        ('2"', "length"),
        ("2 in", "length"),
        ("1/2", "fraction"),
        ("two", "not understood"),
        ("nan", "not understood"),
        ("inf", "not understood"),
        ("1e3", "not understood"),
        ("90", "decimal point missing"),
        ("250", "decimal point missing"),
    ],
)
def test_an_angle_that_could_be_wrong_is_refused_with_the_reason(typed: str, because: str) -> None:
    with pytest.raises(NotUnderstood, match=because):
        parse_angle(typed)


@pytest.mark.parametrize(
    ("typed", "bare_unit", "degrees"),
    [
        ("0.10", "deg", 0.10),
        ("-0,10", "deg", -0.10),
        ("6", "min", 0.1),
        ("0°06'", "mm", 0.1),
        ("0.1°", "in", 0.1),
        ("0.1 toe-in", "deg", 0.1),
        ("0.1 toe in", "deg", 0.1),
        ("toe out 0.1", "deg", -0.1),
        ("0.1 out", "deg", -0.1),
        ("6' out", None, -0.1),
        ("1.6 mm", None, math.degrees(math.asin(1.6 / 600))),
        ("-1,6mm", "deg", -math.degrees(math.asin(1.6 / 600))),
        ("1.6", "mm", math.degrees(math.asin(1.6 / 600))),
        ('1/16"', None, math.degrees(math.asin(25.4 / 16 / 600))),
        ("1/16 in", None, math.degrees(math.asin(25.4 / 16 / 600))),
        ("1/16 inch out", None, -math.degrees(math.asin(25.4 / 16 / 600))),
        ("1/16", "in", math.degrees(math.asin(25.4 / 16 / 600))),
        ("⅛”", None, math.degrees(math.asin(25.4 / 8 / 600))),
        ('1 1/16"', None, math.degrees(math.asin(25.4 * 17 / 16 / 600))),
        ('0.06"', "deg", math.degrees(math.asin(0.06 * 25.4 / 600))),
    ],
)
def test_toe_is_read_in_any_unit_and_a_typed_unit_wins(
    typed: str, bare_unit: str | None, degrees: float
) -> None:
    understood = parse_toe(typed, bare_unit=bare_unit, diameter_mm=600)
    assert understood.value == pytest.approx(degrees, abs=1e-12)


@pytest.mark.parametrize(
    ("typed", "bare_unit", "diameter", "because"),
    [
        ("0.10", None, 600, "Say the unit"),
        ("1/16", None, 600, "needs a unit"),
        ("1/16", "deg", 600, "needs a unit"),
        ("1/16", "mm", 600, "needs inches"),
        ("1/16 mm", None, 600, "needs inches"),
        ("1.6 mm", None, None, "needs the diameter"),
        ('1/16"', None, 0, "needs the diameter"),
        ("700 mm", None, 600, "Is the unit right"),
        ("0.06 in", None, 600, "inches or toe-in"),
        ("-0.1 out", "deg", 600, "twice"),
        ("0.1 toe-in neg", "deg", 600, "twice"),
        ('17/16"', None, 600, "less than one"),
        ('1/0"', None, 600, "over nothing"),
        ('1-1/16"', None, 600, "middle"),
    ],
)
def test_toe_that_could_be_wrong_is_refused_with_the_reason(
    typed: str, bare_unit: str | None, diameter: float | None, because: str
) -> None:
    with pytest.raises(NotUnderstood, match=because):
        parse_toe(typed, bare_unit=bare_unit, diameter_mm=diameter)


def test_a_unit_that_no_rack_shows_is_a_mistake_of_the_program() -> None:
    with pytest.raises(ValueError, match="not a unit"):
        parse_toe("1", bare_unit="furlong")


@pytest.mark.parametrize(
    ("typed", "millimetres"),
    [
        ("352", 352),
        ("352 mm", 352),
        ("352,5", 352.5),
        ("-15", -15),
        ("35.2 cm", 352),
        ('13 7/8"', 352.425),
        ("13.875 in", 352.425),
        ("0", 0),
    ],
)
def test_a_length_is_read_in_millimetres(typed: str, millimetres: float) -> None:
    assert parse_length(typed).value == pytest.approx(millimetres, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "because"),
    [
        ("1,250", "thousands or decimals"),
        ("1°", "angle"),
        ("99999", "longer than a car"),
        ("7/8", "needs inches"),
        ("high", "not understood"),
    ],
)
def test_a_length_that_could_be_wrong_is_refused(typed: str, because: str) -> None:
    with pytest.raises(NotUnderstood, match=because):
        parse_length(typed)


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [
        ("3.5", 3.5, "mm"),
        ("-3,5 mm", -3.5, "mm"),
        ("2 marks", 2, "marks"),
        ("-1 mark", -1, "marks"),
        ("1 1/2 turns", 1.5, "turns"),
        ("½ turn", 0.5, "turns"),
        ("3 flats", 3, "flats"),
        ("2 × 1.5", 3.0, "shims"),
        ("2 x 1.5 + 1×0,8 mm", 3.8, "shims"),
        ("1.2°", 1.2, "deg"),
    ],
)
def test_an_adjuster_is_read_in_the_units_of_the_hand(typed: str, value: float, unit: str) -> None:
    understood = parse_position(typed)
    assert (understood.value, understood.unit) == (pytest.approx(value), unit)


@pytest.mark.parametrize("typed", ["2 ×", "-2 × 1.5", "some turns", "1/0 turn", ""])
def test_an_adjuster_position_that_makes_no_sense_is_refused(typed: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_position(typed)


@given(angles)
def test_shown_degrees_read_back_as_the_same_angle(deg: float) -> None:
    assert parse_angle(units.format_degrees(deg)).value == pytest.approx(deg, abs=0.0051)


@given(angles)
def test_shown_minutes_read_back_as_the_same_angle(deg: float) -> None:
    shown = units.format_minutes(deg)
    assert "60′" not in shown
    assert parse_angle(shown).value == pytest.approx(deg, abs=1 / 120 + 1e-9)


@given(st.floats(-500, 500))
def test_shown_millimetres_read_back_as_the_same_length(mm: float) -> None:
    assert parse_length(units.format_mm(mm)).value == pytest.approx(mm, abs=0.051)


@given(st.floats(-20, 20), st.floats(300, 800))
def test_toe_typed_as_a_length_is_the_same_toe_as_an_angle(deg: float, diameter: float) -> None:
    length = diameter * math.sin(math.radians(deg))
    typed = f"{length:.6f} mm"
    assert parse_toe(typed, diameter_mm=diameter).value == pytest.approx(deg, abs=1e-4)


@pytest.mark.parametrize("read", [parse_angle, parse_length, parse_position, parse_toe])
@given(text=st.text(max_size=12))
def test_any_text_is_understood_or_refused_but_never_breaks(
    read: Callable[[str], units.Understood], text: str
) -> None:
    with contextlib.suppress(NotUnderstood):
        assert math.isfinite(read(text).value)


@given(st.from_regex(r"[-+]?\d{1,2}[.,]\d{1,2}( neg| pos)?", fullmatch=True))
def test_a_comma_and_a_point_mean_the_same(text: str) -> None:
    def read(typed: str) -> float | None:
        try:
            return parse_angle(typed).value
        except NotUnderstood:
            return None

    assert read(text.replace(".", ",")) == read(text.replace(",", "."))


def test_nothing_is_shown_without_its_sign_except_nothing() -> None:
    assert units.format_degrees(0.0) == "0.00°"
    assert units.format_degrees(-0.001) == "0.00°"
    assert units.format_degrees(1.5) == "+1.50°"
    assert units.format_degrees(-1.5) == "−1.50°"
    assert units.format_minutes(0.9999) == "+1°00′"
    assert units.format_mm(352.04, signed=False) == "352.0 mm"


def test_what_was_understood_is_said_in_words() -> None:
    assert units.say_camber(-2.5) == "−2.50° = −2°30′ top inboard"
    assert units.say_camber(0) == "0.00° = 0°00′ upright"
    assert units.say_toe(0.1, 600) == "+0.10° = +0°06′ toe-in, +1.0 mm at 600 mm"
    assert units.say_toe(-0.1) == "−0.10° = −0°06′ toe-out"
    assert units.say_caster(6.5) == "+6.50° = +6°30′ top rearward"
