"""The section of wheel and tyre: where it passes, and how far points are from it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.mounted import BadSection, mounted
from fitment.engine.solid.section import COARSE_ERROR_MM, Section, section_of
from tests.engine.naive_section import NaiveSection
from tests.engine.random_corners import random_wheels

WHEEL = Wheel(18, 9.5, 40)
TYRE = Tyre("265/35R18")
#: A tall size, where chords are longest.
TALL = (Wheel(18, 8.0, 40), Tyre("255/55R18"))


def at(section: Section, b: float, r: float) -> float:
    """Signed distance at b from the wheel's centre plane."""
    return float(section.distance(np.array([b + section.centre_axial_mm]), np.array([r]))[0])


def test_a_width_measured_between_the_flanges_replaces_the_marked_one() -> None:
    marked = replace(WHEEL, width_in=9.4)
    measured = replace(WHEEL, width_mm=9.4 * 25.4)
    wanted, got = section_of(marked, TYRE), section_of(measured, TYRE)
    assert np.array_equal(wanted.start, got.start)
    assert got.section_width_mm < section_of(WHEEL, TYRE).section_width_mm


def crown_radius(section: Section, b: float) -> float:
    """Outermost radius of the solid at b, by bisection on the sign of the distance."""
    low, high = section.rim_radius_mm + 20, section.tyre_radius_mm + 5
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if at(section, b, middle) < 0 else (low, middle)
    return (low + high) / 2


@pytest.mark.parametrize(("share", "drop"), [(0.70, 12.0), (0.88, 9.0), (0.94, 6.0)])
def test_the_tread_passes_the_shoulder_that_was_measured(share: float, drop: float) -> None:
    size = mounted(WHEEL, TYRE)
    tyre = replace(TYRE, tread_width_mm=share * size.section_width_mm, shoulder_drop_mm=drop)
    section = section_of(WHEEL, tyre)
    for side in (-1, 1):
        shoulder = side * share * size.section_width_mm / 2
        assert at(section, shoulder, size.tyre_radius_mm - drop) == pytest.approx(0.0, abs=0.02)
    assert crown_radius(section, 0.0) == pytest.approx(size.tyre_radius_mm, abs=1e-6)


def test_an_unmeasured_shoulder_lies_a_tenth_of_the_height_below_the_crown() -> None:
    size, section = mounted(WHEEL, TYRE), section_of(WHEEL, TYRE)
    height = size.overall_diameter_mm / 2 - 18 * 25.4 / 2
    edge = crown_radius(section, 0.44 * size.section_width_mm)
    assert size.tyre_radius_mm - edge == pytest.approx(0.1 * height, abs=0.02)


# UN Regulation No. 30, 6.1.1.1 (read): S = S1 + K (A - A1), K = 0.4, A1 = 0.70 S1 for aspect
# ratios of 50 and more, 0.85 S1 below. Computed by hand from it, not rounded.
@pytest.mark.parametrize(
    ("size", "diameter", "rim", "width"),
    [
        ("205/55R16", 16, 6.5, 205 + 0.4 * (6.5 * 25.4 - 0.70 * 205)),
        ("205/55R16", 16, 8.0, 205 + 0.4 * (8.0 * 25.4 - 0.70 * 205)),
        ("265/35R18", 18, 9.5, 265 + 0.4 * (9.5 * 25.4 - 0.85 * 265)),
        ("225/45R17", 17, 9.0, 225 + 0.4 * (9.0 * 25.4 - 0.85 * 225)),
    ],
)
def test_a_nominal_section_grows_with_the_rim_as_the_regulation_says(
    size: str, diameter: float, rim: float, width: float
) -> None:
    section = section_of(Wheel(diameter, rim, 40), Tyre(size))
    assert section.section_width_mm == pytest.approx(width, abs=1e-9)
    widest = (section.rim_radius_mm + section.tyre_radius_mm) / 2
    assert at(section, width / 2 + 3.0, widest) == pytest.approx(3.0, abs=0.02)
    assert at(section, -width / 2 - 3.0, widest) == pytest.approx(3.0, abs=0.02)


def test_half_an_inch_of_rim_adds_five_millimetres_of_section() -> None:
    """The trade's rule; it is the regulation's K times 12.7 mm."""
    tyre = replace(TYRE, section_width_mm=271.0, measuring_rim_in=9.5)
    on_wider = section_of(replace(WHEEL, width_in=10.0), tyre)
    assert on_wider.section_width_mm - section_of(WHEEL, tyre).section_width_mm == pytest.approx(
        0.4 * 12.7
    )


def test_a_measured_width_without_its_rim_is_taken_as_it_stands() -> None:
    tyre = replace(TYRE, section_width_mm=274.0)
    assert section_of(WHEEL, tyre).section_width_mm == 274.0
    assert section_of(replace(WHEEL, width_in=10.0), tyre).section_width_mm == 274.0


def test_the_flange_of_a_stretched_tyre_stands_out_and_is_met_first() -> None:
    wheel = Wheel(17, 10.0, 25)
    section = section_of(wheel, Tyre("215/40R17"))
    outer = 10.0 * 25.4 / 2 + 12.5
    level = section.rim_radius_mm + 10.0
    assert section.section_width_mm / 2 < outer - 5
    point = np.array([outer + 4.0 + section.centre_axial_mm]), np.array([level])
    assert section.distance(*point)[0] == pytest.approx(4.0, abs=1e-9)
    touch, on_tyre = section.nearest(*point)
    assert touch[0] == pytest.approx([outer + section.centre_axial_mm, level])
    assert not on_tyre[0]


def test_a_traced_profile_is_taken_as_a_polygon() -> None:
    trace = ((120.6, 228.6), (134.0, 260.0), (118.0, 312.0), (0.0, 321.5), (-117.0, 311.0))
    trace = (*trace, (-135.5, 262.0), (-120.6, 228.6))
    section = section_of(WHEEL, replace(TYRE, profile=trace))
    for b, r in trace[1:-1]:
        assert at(section, b, r) == pytest.approx(0.0, abs=1e-9)
    assert at(section, -138.5, 262.0) == pytest.approx(3.0, abs=0.02)
    assert at(section, 0.0, 330.0) > 8.0


def test_air_inside_the_barrel_ends_at_the_traced_back_of_the_spokes() -> None:
    wheel = replace(WHEEL, spoke_back=((12.0, 50.0), (-20.0, 120.0), (-20.0, 190.0)), barrel_mm=10)
    section = section_of(wheel, TYRE)
    flat = section_of(WHEEL, TYRE)

    def gap(of: Section, axial: float, radius: float) -> float:
        return float(of.distance(np.array([axial]), np.array([radius]))[0])

    # From the hub face: the trace is 20 mm inboard of it at a radius of 150.
    assert gap(section, -23.0, 150.0) == pytest.approx(3.0, abs=1e-9)
    assert gap(section, -17.0, 150.0) == pytest.approx(-3.0, abs=1e-9)
    assert gap(flat, -17.0, 150.0) == pytest.approx(17.0, abs=1e-9)
    # Constant beyond the ends of the trace, and the axis itself is no boundary.
    assert gap(section, 10.0, 2.0) == pytest.approx(2.0, abs=1e-9)
    assert gap(section, 40.0, 0.0) == pytest.approx(-28.0, abs=0.7)
    # The barrel's inner wall lies 10 mm below the seat.
    assert gap(section, -90.0, 228.6 - 10 - 4) == pytest.approx(4.0, abs=1e-9)


def test_a_spacer_and_less_offset_move_the_solid_alike_but_only_one_moves_the_face() -> None:
    spaced = section_of(replace(WHEEL, spacer_mm=5), TYRE)
    shallow = section_of(replace(WHEEL, offset_mm=35), TYRE)
    assert spaced.centre_axial_mm == shallow.centre_axial_mm == -35.0
    axial, radius = np.array([120.0]), np.array([260.0])
    assert spaced.distance(axial, radius) == pytest.approx(shallow.distance(axial, radius))
    # The disc's back face stands on the spacer: 5 mm of air outboard of the hub face.
    assert spaced.distance(np.array([0.0]), np.array([40.0]))[0] == pytest.approx(5.0)
    assert shallow.distance(np.array([0.0]), np.array([40.0]))[0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_distances_and_their_signs_agree_with_a_naive_twin(seed: int) -> None:
    wheel, tyre = random_wheels(np.random.default_rng(seed))
    twin, section = NaiveSection(wheel, tyre), section_of(wheel, tyre)
    rng = np.random.default_rng(seed + 1000)
    axial = rng.uniform(-200, 170, 2500) + twin.shift
    radius = rng.uniform(0, twin.r + 60, 2500)
    wanted, got = twin.distance(axial, radius), section.distance(axial, radius)
    clear = wanted > 0
    assert got[clear] == pytest.approx(wanted[clear], abs=0.021)
    assert got[~clear] == pytest.approx(wanted[~clear], abs=0.06)  # the twin's corners inside
    assert (
        np.array_equal(got > 0.03, wanted > 0.03)
        or np.max(np.abs((got - wanted)[(got > 0.03) != (wanted > 0.03)])) < 0.03
    )


@pytest.mark.parametrize(
    ("wheel", "tyre"), [(WHEEL, TYRE), (Wheel(15, 7, 35), Tyre("195/50R15")), TALL]
)
def test_chords_stay_within_two_hundredths_of_the_curves(wheel: Wheel, tyre: Tyre) -> None:
    section, twin = section_of(wheel, tyre), NaiveSection(wheel, tyre, piece_mm=0.5)
    path = twin.tyre_path()
    path = path[path[:, 1] > twin.r_r + 18.0]
    off = section.distance(path[:, 0] + section.centre_axial_mm, path[:, 1])
    assert np.max(np.abs(off)) < 0.02


@pytest.mark.parametrize(
    ("wheel", "tyre"), [(WHEEL, TYRE), (Wheel(15, 7, 35), Tyre("195/50R15")), TALL]
)
def test_the_first_look_is_as_close_as_it_promises(wheel: Wheel, tyre: Tyre) -> None:
    fine, rough = section_of(wheel, tyre), section_of(wheel, tyre, coarse=True)
    rng = np.random.default_rng(5)
    axial, radius = rng.uniform(-260, 260, 4000), rng.uniform(0, 450, 4000)
    off = fine.distance(axial, radius) - rough.distance(axial, radius)
    assert np.max(np.abs(off)) < COARSE_ERROR_MM


def test_distances_do_not_depend_on_how_many_points_are_asked_for_at_once() -> None:
    section, rng = section_of(WHEEL, TYRE), np.random.default_rng(1)
    axial, radius = rng.uniform(-200, 150, (7, 400)), rng.uniform(0, 380, (7, 400))
    together = section.distance(axial, radius)
    alone = [section.distance(axial[3, i], radius[3, i]) for i in range(0, 400, 37)]
    assert together.shape == (7, 400)
    assert together[3, ::37] == pytest.approx(np.array(alone).ravel(), abs=1e-12)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"tread_width_mm": 300.0}, "tread_width_mm"),
        ({"shoulder_drop_mm": 60.0}, "shoulder_drop_mm"),
        ({"measuring_rim_in": 9.5}, "measuring_rim_in"),
        ({"overall_diameter_mm": 470.0}, "overall_diameter_mm"),
        ({"section_width_mm": 20.0, "measuring_rim_in": 15.0}, "section_width_mm"),
    ],
)
def test_dimensions_that_describe_no_section_are_refused_by_name(
    change: dict[str, float], field: str
) -> None:
    with pytest.raises(BadSection) as refused:
        section_of(WHEEL, replace(TYRE, **change))
    assert refused.value.field == field
