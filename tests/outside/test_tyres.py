"""Tyre dimensions, loads and speeds against published figures.

Each block names where its figures come from. "From memory" marks figures that were not read
in the source while this file was written; they agree with the ones that were.
"""

from __future__ import annotations

import pytest

from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    SPEED_SYMBOL_KMH,
    BadMarking,
    BadSize,
    half_up,
    load_capacity_kg,
    size_of,
)

# Rows of tyre handbooks, from memory: size, measuring rim (in), section width and overall
# diameter (mm). They follow the formulae of UN Regulation No. 30, 6.1.1 and 6.1.2.
HANDBOOK = [
    ("165/70R14", 5.0, 170, 588),
    ("175/65R14", 5.0, 177, 584),
    ("185/65R15", 5.5, 189, 621),
    ("195/65R15", 6.0, 201, 635),
    ("205/60R15", 6.0, 209, 627),
    ("195/55R16", 6.0, 201, 620),
    ("205/55R16", 6.5, 214, 632),
    ("205/60R16", 6.0, 209, 652),
    ("215/60R16", 6.5, 221, 664),
    ("215/55R17", 7.0, 226, 668),
    ("225/45R17", 7.5, 225, 634),
    ("225/50R17", 7.0, 233, 658),
    ("225/55R17", 7.0, 233, 680),
    ("225/40R18", 8.0, 230, 637),
    ("225/45R18", 7.5, 225, 659),
    ("235/45R18", 8.0, 236, 669),
    ("245/40R18", 8.5, 248, 653),
    ("255/55R18", 8.0, 265, 737),
    ("235/35R19", 8.5, 241, 647),
    ("255/35R19", 9.0, 260, 661),
    ("275/35R19", 9.5, 278, 675),
    ("275/40R20", 9.5, 278, 728),
]


@pytest.mark.parametrize(("size", "rim_in", "width", "diameter"), HANDBOOK)
def test_a_handbook_row_follows_from_the_size(
    size: str, rim_in: float, width: int, diameter: int
) -> None:
    read = size_of(size)
    assert half_up(read.section_width_mm(rim_in)) == width
    assert read.overall_diameter_mm == diameter


@pytest.mark.parametrize(
    ("size", "rim_in"), [(row[0], row[1]) for row in HANDBOOK if row[0] != "195/55R16"]
)
def test_the_measuring_rim_follows_from_the_aspect_ratio(size: str, rim_in: float) -> None:
    # Shares of the nominal width by aspect ratio, to the nearest half inch: read in a
    # secondary source.
    assert size_of(size).measuring_rim_in == rim_in


def test_a_rim_between_two_half_inches_goes_to_the_nearest() -> None:
    # 0.80 of 195 mm is 6.14 in.
    assert size_of("195/55R16").measuring_rim_in == 6.0


def test_half_an_inch_of_rim_width_is_five_millimetres_of_section() -> None:
    # Published with the size tables (read): 5 mm per half inch, which is 0.4 of 12.7 mm.
    size = size_of("265/35R18")
    grown = size.section_width_mm(9.5) - size.section_width_mm(9.0)
    assert half_up(grown) == 5.0


def test_a_printed_worked_example_comes_out() -> None:
    # Data of the Tire and Rim Association as printed in a secondary source (read):
    # P205/60R15 on a 6.0 rim, section 8.23 in (209 mm), diameter 24.69 in (627 mm).
    size = size_of("P205/60R15")
    assert half_up(size.section_width_mm(6.0)) == 209
    assert size.overall_diameter_mm == 627
    assert size.section_width_mm(6.0) / 25.4 == pytest.approx(8.23, abs=0.02)
    assert size.overall_diameter_mm / 25.4 == pytest.approx(24.69, abs=0.01)


@pytest.mark.parametrize(
    ("code", "diameter"),
    # UN R30: 15 and 16 read, the others from memory.
    [
        (13, 330),
        (14, 356),
        (15, 381),
        (16, 406),
        (17, 432),
        (18, 457),
        (19, 483),
        (20, 508),
        (21, 533),
        (22, 559),
    ],
)
def test_the_rim_diameter_follows_from_its_code(code: int, diameter: int) -> None:
    size = size_of(f"205/50R{code}")
    assert size.overall_diameter_mm - 2 * size.section_height_mm == diameter


def test_half_a_millimetre_of_section_height_is_rounded_up() -> None:
    # UN R30, 6.1.2 (read): 225 at 50 per cent is 112.5 and counts as 113.
    assert size_of("225/50R17").section_height_mm == 113


@pytest.mark.parametrize(
    "written",
    [
        "265/35R18",
        "265/35 R18",
        "265/35ZR18",
        "265/35 ZR 18",
        "p265/35r18",
        " 265/35R18 ",
    ],
)
def test_usual_ways_of_writing_a_size_are_read_alike(written: str) -> None:
    size = size_of(written)
    assert (size.width_mm, size.aspect, size.rim_in) == (265, 35, 18)


@pytest.mark.parametrize(
    ("written", "word"),
    [
        ("185R14", "aspect ratio"),
        ("31x10.50R15", "inches"),
        ("LT265/70R17", "LT"),
        ("T125/70R17", "marked T"),
        ("205/55B16", "radial"),
        ("95/35R18", "not a size"),
        ("265/15R18", "aspect ratio 15"),
        ("265/35R48", "rim diameter 48"),
        ("465/35R18", "nominal width 465"),
        ("265-35-18", "not a size"),
        ("", "not a size"),
        ("٢٦٥/35R18", "not a size"),
    ],
)
def test_a_size_that_gives_no_dimensions_is_refused_with_the_reason(
    written: str, word: str
) -> None:
    with pytest.raises(BadSize, match=word):
        size_of(written)


# UN R30, Annex 4: 71 to 120 read in secondary copies, 60 to 70 from memory.
@pytest.mark.parametrize(
    ("index", "load"),
    [
        (60, 250),
        (65, 290),
        (70, 335),
        (71, 345),
        (75, 387),
        (82, 475),
        (88, 560),
        (91, 615),
        (95, 690),
        (99, 775),
        (100, 800),
        (104, 900),
        (108, 1000),
        (112, 1120),
        (116, 1250),
        (120, 1400),
    ],
)
def test_the_load_index_names_its_load(index: int, load: int) -> None:
    assert LOAD_INDEX_KG[index] == load


def test_the_load_table_is_whole_and_rises() -> None:
    assert list(LOAD_INDEX_KG) == list(range(60, 121))
    loads = list(LOAD_INDEX_KG.values())
    assert loads == sorted(set(loads))


def test_the_speed_symbols_name_their_speeds() -> None:
    # Read, except L which is from memory. H stands after U by history.
    assert "".join(SPEED_SYMBOL_KMH) == "JKLMNPQRSTUHVWY"
    assert SPEED_SYMBOL_KMH["H"] == 210
    assert SPEED_SYMBOL_KMH["V"] == 240
    assert SPEED_SYMBOL_KMH["Y"] == 300


@pytest.mark.parametrize(
    ("symbol", "speed", "share"),
    [
        ("T", 190, 1.0),
        ("H", 210, 1.0),
        ("V", 210, 1.0),  # V and W read in a secondary source, Y from memory
        ("V", 225, 0.955),
        ("V", 240, 0.91),
        ("W", 240, 1.0),
        ("W", 270, 0.85),
        ("Y", 270, 1.0),
        ("Y", 300, 0.85),
    ],
)
def test_a_fast_tyre_carries_less_near_its_top_speed(
    symbol: str, speed: float, share: float
) -> None:
    assert load_capacity_kg(100, symbol, speed) == pytest.approx(800 * share)


@pytest.mark.parametrize(
    ("index", "symbol", "speed", "word"),
    [
        (59, "V", 0, "load index"),
        (95, "X", 0, "speed symbol"),
        (95, "T", 200, "not made for"),
    ],
)
def test_a_marking_beyond_the_tables_is_refused(
    index: int, symbol: str, speed: float, word: str
) -> None:
    with pytest.raises(BadMarking, match=word):
        load_capacity_kg(index, symbol, speed)
