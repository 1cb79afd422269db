"""Pressures, temperatures and diameters for toe, as people type them."""

import pytest

from alignment.geometry import conditions, units


@pytest.mark.parametrize(
    ("typed", "bar", "unit"),
    [
        ("2.4", 2.4, "bar"),
        ("2,4 bar", 2.4, "bar"),
        ("35 psi", 2.4132, "psi"),
        ("240kPa", 2.4, "kPa"),
    ],
)
def test_a_pressure_is_read_in_bar(typed: str, bar: float, unit: str) -> None:
    read = conditions.parse_pressure(typed)
    assert read.value == pytest.approx(bar, abs=1e-4)
    assert (read.unit, read.typed) == (unit, typed)


@pytest.mark.parametrize("typed", ["0", "-2", "soft", "240", "30 bar", ""])
def test_a_pressure_that_no_tyre_has_is_refused(typed: str) -> None:
    with pytest.raises(units.NotUnderstood):
        conditions.parse_pressure(typed)


def test_the_units_in_which_a_figure_would_be_a_pressure_are_named() -> None:
    assert conditions.other_pressures(33) == ["33 psi"]
    assert conditions.other_pressures(230) == ["230 kPa"]
    assert conditions.other_pressures(9) == []


@pytest.mark.parametrize(
    ("typed", "celsius"), [("18", 18.0), ("-3 °C", -3.0), ("64 °F", 17.7778), ("18,5", 18.5)]
)
def test_a_temperature_is_read_in_degrees_celsius(typed: str, celsius: float) -> None:
    assert conditions.parse_temperature(typed).value == pytest.approx(celsius, abs=1e-4)


def test_a_temperature_in_fahrenheit_without_saying_so_is_questioned() -> None:
    with pytest.raises(units.NotUnderstood, match="°F"):
        conditions.parse_temperature("68")


@pytest.mark.parametrize(
    ("typed", "place", "millimetres"),
    [
        ("600", "stated", 600.0),
        ('28"', "tyre", 711.2),
        # ISO 4000-1: specified diameters 436.6 and 405.6 mm, and a J flange of 17.3 on each side.
        ('17"', "rim", 471.2),
        ("16 in", "rim", 440.2),
        ('17"', "stated", 431.8),
        ("470 mm", "rim", 470.0),
        # UN Regulation No. 30: 225/45R17 is 634 mm (memory, handbook row).
        ("225/45R17", "tyre", 634.0),
        ("195/65R15 91H", "tyre", 635.0),
    ],
)
def test_the_diameter_of_a_toe_length_is_read_where_it_was_measured(
    typed: str, place: str, millimetres: float
) -> None:
    assert conditions.parse_toe_diameter(typed, place).value == pytest.approx(millimetres)


@pytest.mark.parametrize(
    ("code", "specified"),
    # ISO 4000-1, specified rim diameters by code, mm.
    [
        (14, 354.8),
        (15, 380.2),
        (16, 405.6),
        (17, 436.6),
        (18, 462.0),
        (19, 487.4),
        (20, 512.8),
    ],
)
def test_a_rims_edge_stands_a_flange_outside_its_specified_diameter(
    code: int, specified: float
) -> None:
    assert conditions.rim_edge_mm(code) == pytest.approx(specified + 2 * 17.3)


@pytest.mark.parametrize(
    ("typed", "place", "said"),
    [
        ('17"', "rim", "17 in rim: its edge → 471.2 mm"),
        ('17"', "stated", "17 in → 431.8 mm; the edge of a 17 in rim is at 471.2 mm"),
        ('28"', "tyre", "28 in → 711.2 mm"),
        ("225/45R17", "tyre", "225/45R17: its tread → 634 mm"),
        ("600", "stated", ""),
    ],
)
def test_what_was_typed_stands_before_what_it_means(typed: str, place: str, said: str) -> None:
    assert conditions.parse_toe_diameter(typed, place).words == said


@pytest.mark.parametrize(("typed", "place"), [("17", "rim"), ("24", "stated"), ("16,5", "tyre")])
def test_a_diameter_that_could_be_a_rims_code_is_asked_about(typed: str, place: str) -> None:
    with pytest.raises(units.NotUnderstood, match="could be inches or millimetres"):
        conditions.parse_toe_diameter(typed, place)


def test_a_tyres_size_is_no_diameter_of_a_rim() -> None:
    with pytest.raises(units.NotUnderstood, match="tread"):
        conditions.parse_toe_diameter("225/45R17", "rim")


def test_total_toe_as_a_length_is_two_wheels_that_share_it() -> None:
    total = conditions.parse_toe_total("3 mm", diameter_mm=600.0)
    wheel = units.parse_toe("1.5 mm", diameter_mm=600.0)
    assert total.value == pytest.approx(2 * wheel.value, abs=1e-12)
    assert conditions.parse_toe_total("0°10'").value == pytest.approx(1 / 6)


@pytest.mark.parametrize(
    ("typed", "value", "unit"),
    [
        ("1 1/2 turns from the lock nut", 1.5, "turns"),
        ("1 1/3 turns out", 4 / 3, "turns"),
        ("1/2 turn in", -0.5, "turns"),
        ("mark +2", 2.0, "marks"),
        ("mark -1 from the notch", -1.0, "marks"),
        ("12.5 mm from the thread's end", 12.5, "mm"),
        ("7 × 1", 7.0, "shims"),
    ],
)
def test_a_position_may_name_what_it_is_counted_from(typed: str, value: float, unit: str) -> None:
    read = units.parse_position(typed)
    assert (read.typed, read.value, read.unit) == (typed, pytest.approx(value), unit)


def test_shims_without_their_thickness_are_asked_about() -> None:
    with pytest.raises(units.NotUnderstood, match="how thick"):
        units.parse_position("3 shims")
