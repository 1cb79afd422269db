"""The rim by its standard, the largest tyre by its own, and a rim that is what is near."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from common.rims import specified_diameter_mm
from fitment.engine import checkfile, defaults
from fitment.engine.check import run
from fitment.engine.model import Check, Tyre, Wheel
from fitment.engine.search.told import cautions_of
from fitment.engine.solid.mounted import mounted
from fitment.engine.solid.section import section_of
from tests.engine.files import STRUT, document

WHEEL = Wheel(18.0, 8.0, 45.0)
LARGEST = Tyre("225/40R18", 230.0, 8.0, largest_allowed=True)


@pytest.mark.parametrize(
    ("code", "mm"),
    [(14, 354.8), (15, 380.2), (16, 405.6), (17, 436.6), (18, 462.0), (19, 487.4), (20, 512.8)],
)
def test_a_bead_seat_has_the_diameter_specified_for_its_code(code: float, mm: float) -> None:
    """ISO 4000-1, from memory."""
    assert specified_diameter_mm(code) == mm


def test_a_code_between_inches_follows_no_rule() -> None:
    assert specified_diameter_mm(16.5) == pytest.approx(16.5 * 25.4)


def test_a_flange_stands_over_the_seat_that_was_stated() -> None:
    """J flange: 17.3 mm high and 11 mm wide at least (ISO 4000-1, from memory)."""
    by_code = section_of(Wheel(18.0, 8.0, 45.0), Tyre("225/40R18"))
    stated = section_of(Wheel(18.0, 8.0, 45.0, rim_diameter_mm=462.0), Tyre("225/40R18"))
    tips = [float(one.rim_outline_mm[:, 1].max()) for one in (by_code, stated)]
    assert tips[1] - tips[0] == pytest.approx((462.0 - 457.2) / 2)
    assert 17.3 <= defaults.FLANGE_HEIGHT_MM <= 17.3 + 0.5
    assert defaults.FLANGE_MM - 2 * defaults.FLANGE.value < 11.0 < defaults.FLANGE_MM


@pytest.mark.parametrize(
    ("marks", "width", "diameter"),
    [
        # UN R30, 6.1.4 and 6.1.5, from memory: design 637 mm, sections 180 mm high together.
        ({}, 239.2, 457 + 1.04 * 180),
        ({"protective_rib": True}, 247.2, 457 + 1.04 * 180),
        ({"snow": True}, 239.2, 1.01 * (457 + 1.04 * 180)),
        ({"protective_rib": True, "snow": True}, 247.2, 1.01 * (457 + 1.04 * 180)),
    ],
)
def test_the_largest_that_the_standard_allows_goes_by_what_the_tyre_is(
    marks: dict[str, bool], width: float, diameter: float
) -> None:
    size = mounted(WHEEL, Tyre("225/40R18", 230.0, 8.0, largest_allowed=True, **marks))
    assert (size.section_width_mm, size.overall_diameter_mm) == pytest.approx((width, diameter))
    plain = mounted(WHEEL, Tyre("225/40R18", 230.0, 8.0, **marks))
    assert (plain.section_width_mm, plain.overall_diameter_mm) == (230.0, 637.0)


def test_rib_and_snow_are_read_from_a_file_and_written_back() -> None:
    tree = document(STRUT)
    (corner,) = tree["corners"].values()
    corner["tyre"] |= {"protective_rib": True, "snow": True}
    check = checkfile.parse(tree)
    assert checkfile.parse(checkfile.dump(check)) == check
    (there,) = check.corners.values()
    assert there.tyre.protective_rib
    assert there.tyre.snow


def beside_a_flange(size: str, width_in: float, radius: float, axial: float) -> Check:
    """A strut corner with a tube beside the outboard or inboard flange of its wheel."""
    tree: Any = document(STRUT)
    (corner,) = tree["corners"].values()
    corner["wheel"] = {"diameter_in": 16, "width_in": width_in, "offset_mm": 20.0}
    corner["tyre"] = {"size": size}
    corner["survey"]["features"] = [
        {"place": "strut tube", "carried_by": "strut", "shape": "points",
         "points": [{"clock_deg": 0, "radius_mm": radius, "axial_mm": axial}]},
    ]  # fmt: skip
    return checkfile.parse(tree)


def rim_notes(check: Check) -> list[Any]:
    (corner,) = run(check).corners.values()
    return [note for note in corner.notes if note.code == "note.rim-leads"]


def test_a_narrower_tyre_that_gains_nothing_beside_a_bare_flange_is_said_to() -> None:
    """A 195 on 9 in: the flange stands past the wall, and a 185 would not be farther away."""
    check = beside_a_flange("195/55R16", 9.0, 212.0, -20.0 - 114.3 - 12.5 - 2.0)
    answer = run(check)
    (corner,) = answer.corners.values()
    (spot,) = corner.places
    assert spot.part == "wheel"
    assert 0.0 < spot.clearance_mm < spot.needed_mm
    (note,) = rim_notes(check)
    assert note.params == {"spot": "strut tube", "less_mm": 10.0, "gain_mm": pytest.approx(0.0)}


def test_what_little_a_narrower_tyre_gains_before_the_flange_leads_is_said() -> None:
    """On its usual rim the wall stands a little past the flange; then the flange is next."""
    found = [
        note.params["gain_mm"]
        for axial in (-128.0, -126.0, -124.0, -122.0)
        for note in rim_notes(beside_a_flange("205/55R16", 7.5, 216.0, axial))
    ]
    assert found
    assert all(0.0 <= gain < 2.0 for gain in found)


def test_where_the_tyre_leads_nothing_is_said_of_the_rim() -> None:
    """Beside the widest part of the section the whole of half the width is gained."""
    check = beside_a_flange("205/55R16", 6.5, 262.0, -20.0 - 107.0 - 2.0)
    (corner,) = run(check).corners.values()
    (spot,) = corner.places
    assert (spot.part, spot.verdict.clears) == ("tyre", False)
    assert rim_notes(check) == []


def test_an_option_carries_the_warning_of_its_rim_once() -> None:
    check = beside_a_flange("195/55R16", 9.0, 212.0, -20.0 - 114.3 - 12.5 - 2.0)
    (corner,) = run(check).corners.values()
    option = SimpleNamespace(
        tyre=SimpleNamespace(nominal=False),
        not_known=(),
        broken=(),
        answers={"LF": corner, "RF": corner},
    )
    assert [told.code for told in cautions_of(option)] == ["note.rim-leads"]  # type: ignore[arg-type]
