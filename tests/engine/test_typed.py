"""Wheels and tyres as people type them, and what is refused by name."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from common.message import Told
from fitment.engine.solid.designation import LOAD_INDEX_KG, SPEED_SYMBOL_KMH, size_of
from fitment.engine.solid.typed import TypedTyre, TypedWheel, read_tyre, read_wheel


@pytest.mark.parametrize(
    "typed",
    [
        "9.5x18 ET35",
        "9,5 J x 18 H2 ET 35",
        "18x9.5 +35",
        "18 x 9½ et35",
        "9 1/2 x 18 IS35",
        "9.5JJx18EH2+ ET: 35 mm",
        '9.5" x 18" offset 35',
        "9.5×18, ET+35",
        "18X9.5J ET35",
    ],
)
def test_a_wheel_is_read_however_it_is_written(typed):
    assert read_wheel(typed) == TypedWheel(9.5, 18.0, 35.0)


def test_bolts_bore_and_name_are_read_beside_the_size():
    read = read_wheel("Nordal Seven 9.5Jx18 ET-12 5x114,3 CB 66,1")
    assert read == TypedWheel(9.5, 18.0, -12.0, 5, 114.3, 66.1, "Nordal Seven")
    assert read_wheel("5/116 9.5x18 ET35").bolt_circle_mm == 116


def test_the_flange_tells_the_width_where_figures_do_not():
    assert read_wheel("12x11J ET0").width_in == 11
    assert read_wheel("12Jx11 ET0").width_in == 12


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("x" * 200, "long"),
        ("five spokes", "no-size"),
        ("9.5x18", "no-offset"),
        ("9.5x18 35", "bare-offset"),
        ("9.5Jx18J ET35", "two-widths"),
        ("9.5x18 BS 6.5", "backspacing"),
        ("9.5x18 ET35 blue", "odd"),
        ("5x112 9.5x18 ET35 5x120", "odd"),
        ("9.5x30 ET35", "no-such-diameter"),
        ("2x15 ET35", "no-such-width"),
        ("9.5x18 ET350", "no-such-offset"),
    ],
)
def test_a_wheel_that_is_not_understood_is_refused_by_name(typed, code):
    with pytest.raises(Told) as told:
        read_wheel(typed)
    assert told.value.message.code == f"typed-wheel.{code}"


@pytest.mark.parametrize(
    "typed",
    [
        "245/40 ZR18 97Y",
        "245/40R18 (97Y)",
        "245/40 r 18 97 y",
        "P 245/40R18 97Y",
        "245/40ZRF18 97Y",
    ],
)
def test_a_tyre_is_read_as_on_its_sidewall(typed):
    read = read_tyre(typed)
    assert (read.size, read.load_index, read.speed_symbol) == ("245/40R18", 97, "Y")


@pytest.mark.parametrize(
    "typed", ["245/40R18", "245 40 18", "245/40/18", "245/40 18", "245 40 R18"]
)
def test_a_size_alone_leaves_load_and_speed_open(typed):
    assert read_tyre(typed) == TypedTyre("245/40R18")


def test_van_and_light_truck_sizes_are_read_with_their_mark():
    van = read_tyre("195/70 R15 C 104/102R")
    assert van == TypedTyre("195/70R15", 104, "R", service="C")
    assert read_tyre("LT245/75R16").service == "LT"
    assert read_tyre("235/85R16LT 120/116Q") == TypedTyre("235/85R16", 120, "Q", service="LT")
    # A published light truck tyre of this size is 774 mm tall (common practice, no source).
    assert size_of(read_tyre("LT245/75R16").size).overall_diameter_mm == 774


def test_marks_after_the_size_are_read_in_any_order():
    read = read_tyre("Corvane Sport 245/40 R18 M+S 97V Extra Load TL")
    assert read == TypedTyre("245/40R18", 97, "V", "", True, True, "Corvane Sport")
    assert read_tyre("225/45R17 3PMSF XL").snow


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "empty"),
        ("2" * 200, "long"),
        ("wide ones", "no-size"),
        ("265-35-18", "no-size"),
        ("465/35R18", "no-such-size"),
        ("245/40R18 97X", "no-such-speed"),
        ("245/40R18 200Y", "no-such-load"),
        ("245/40R18 Y", "odd"),
        ("245/40R18 blue", "odd"),
        ("245/40B18", "not-radial"),
        ("245/40-18", "not-radial"),
        ("T125/70R17", "temporary"),
        ("ST205/75R15", "trailer"),
        ("31x10.50R15LT", "flotation"),
        ("6.50-16", "inch"),
        ("7.00 R 16", "inch"),
        ("185R14 C", "no-aspect"),
        ("190/65 R 390", "metric-rim"),
    ],
)
def test_a_tyre_that_gives_no_dimensions_is_refused_by_name(typed, code):
    with pytest.raises(Told) as told:
        read_tyre(typed)
    assert told.value.message.code == f"typed-tyre.{code}"


def test_a_size_without_aspect_ratio_names_the_one_to_look_for():
    with pytest.raises(Told) as told:
        read_tyre("185 R 14")
    assert told.value.message.params["like"] == "185/80R14"


HALVES = st.integers(6, 32).map(lambda halves: halves / 2)
OFFSETS = st.integers(-150, 150).map(float)


@given(HALVES, st.integers(17, 24), OFFSETS, st.booleans(), st.sampled_from(["x", " x ", "×", "X"]))
def test_a_wheel_means_the_same_in_either_order(width, diameter, offset, swapped, cross):
    first, second = (f"{diameter}", f"{width:g}") if swapped else (f"{width:g}", f"{diameter}")
    read = read_wheel(f"{first}{cross}{second} ET{offset:g}".replace(".", ","))
    assert (read.width_in, read.diameter_in) == (min(width, diameter), max(width, diameter))
    assert read.offset_mm == offset
    assert read_wheel(read.notation) == read


@given(
    st.integers(25, 85).map(lambda fives: 5 * fives),
    st.integers(4, 17).map(lambda fives: 5 * fives),
    st.integers(10, 24),
    st.sampled_from(sorted(LOAD_INDEX_KG)),
    st.sampled_from(sorted(SPEED_SYMBOL_KMH)),
    st.sampled_from(["{w}/{a}R{r} {i}{s}", "{w}/{a} ZR{r} ({i}{s})", "{w} {a} {r} {i} {s} XL"]),
    st.sampled_from(["", "P", "LT", "C"]),
)
def test_every_tyre_reads_back_from_its_notation(width, aspect, rim, index, speed, form, service):
    front = service if service in {"P", "LT"} else ""
    behind = " C" if service == "C" else ""
    text = form.replace("{r}", "{r}" + behind).format(w=width, a=aspect, r=rim, i=index, s=speed)
    read = read_tyre(front + text)
    assert (read.load_index, read.speed_symbol, read.service) == (index, speed, service)
    size = size_of(read.size)
    assert (size.width_mm, size.aspect, size.rim_in) == (width, aspect, rim)
    assert read_tyre(read.notation) == read


@given(st.text(max_size=90) | st.text(alphabet="0123456789xXRJ/ ET+-.,CHLTP()", max_size=30))
def test_any_text_is_read_or_refused_and_what_was_read_reads_back(text):
    for reader in (read_wheel, read_tyre):
        read = _read(reader, text)
        if read is not None:
            assert reader(read.notation).notation == read.notation


def _read(reader, text):
    """What a reader makes of a text; None where it refuses it by name."""
    with contextlib.suppress(Told):
        return reader(text)
    return None
