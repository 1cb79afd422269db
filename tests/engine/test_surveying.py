"""Survey readings: simulated on random corners in space, converted, and the point got back."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from fitment.engine.model import SurveyPoint, Tyre, Wheel
from fitment.engine.solid.section import Section, section_of
from fitment.engine.survey import surveying
from fitment.engine.survey.surveying import BadReading, Measure, Pose, Taken

Vec = NDArray[np.float64]
SEEDS = range(200)
#: What a conversion may be off by, mm.
WITHIN_MM = 0.01
LATERAL, UP = np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True)
class Stand:
    """A wheel in space, made by turning a straight one: first camber, then toe."""

    hub: Vec
    out: Vec  # along the spin axis
    top: Vec  # up in the wheel's plane
    front: Vec

    def place(self, clock_deg: float, radius: float, axial: float) -> Vec:
        clock = math.radians(clock_deg)
        around = math.cos(clock) * self.top + math.sin(clock) * self.front
        return self.hub + axial * self.out + radius * around


def stand(pose: Pose) -> Stand:
    camber, toe = math.radians(pose.camber_deg), math.radians(pose.toe_deg)
    lean = np.array(
        [
            [1, 0, 0],
            [0, math.cos(camber), math.sin(camber)],
            [0, -math.sin(camber), math.cos(camber)],
        ]
    )
    turn = np.array(
        [[math.cos(toe), math.sin(toe), 0], [-math.sin(toe), math.cos(toe), 0], [0, 0, 1]]
    )
    whole = turn @ lean
    return Stand(np.array(pose.hub_mm), whole @ LATERAL, whole @ UP, whole @ [1.0, 0.0, 0.0])


def draw(seed: int) -> tuple[np.random.Generator, Pose, Pose, Stand]:
    """A survey pose and another one, at lock or hanging or jacked, with its wheel in space."""
    rng = np.random.default_rng(seed)
    survey = Pose(rng.uniform(-4, 1), rng.uniform(-0.6, 0.6))
    hub = (rng.uniform(-15, 15), rng.uniform(-15, 15), rng.uniform(-90, 60))
    there = Pose(rng.uniform(-8, 4), rng.uniform(-38, 38), hub)
    return rng, survey, there, stand(there)


def back(taken: Taken, there: Pose, survey: Pose) -> Vec:
    """Where the converted point lies in space, by way of the survey pose."""
    point = surveying.in_survey_pose(taken, there, survey).point
    return stand(survey).place(point.clock_deg, point.radius_mm, point.axial_mm)


def wedge(section: Section, place: tuple[float, float], outward: tuple[float, float]) -> float:
    """How far a wedge goes in from a place until it meets the tyre, by bisection."""
    out, inside = 0.0, 75.0
    for _ in range(60):
        middle = (out + inside) / 2
        at = [np.array(x - middle * n) for x, n in zip(place, outward, strict=True)]
        out, inside = (middle, inside) if section.distance(*at) > 0 else (out, middle)
    return out


def references(rng: np.random.Generator) -> tuple[float, float]:
    """Axial of rim plane and cap."""
    rim = float(rng.uniform(20, 120))
    return rim, rim - float(rng.uniform(0, 90))


@pytest.mark.parametrize("seed", SEEDS)
def test_an_edge_beside_the_straightedge_is_where_it_was(seed: int) -> None:
    rng, survey, there, wheel = draw(seed)
    rim, _ = references(rng)
    clock = float(rng.choice([-1, 1]) * rng.uniform(12, 168))
    truth = wheel.place(clock, rng.uniform(300, 420), rng.uniform(-60, 120))
    along = wheel.place(clock, 1.0, 0.0) - wheel.hub
    block = float(rng.uniform(0, 60))
    read = {
        "along_mm": float((truth - wheel.hub) @ along),
        "edge_mm": float((truth - wheel.hub - (rim + block) * wheel.out) @ wheel.out),
    }
    level = math.degrees(math.asin(along[2]))
    front_space = rim - 5.0
    taken = surveying.straightedge(
        rim=surveying.rim_plane(front_space, 5.0),
        block_mm=block,
        clock_deg=surveying.clock_of_level(level, there.camber_deg, to_front=clock > 0),
        **read,
    )
    assert np.linalg.norm(back(taken, there, survey) - truth) < WITHIN_MM


@pytest.mark.parametrize("seed", SEEDS)
def test_a_lip_taped_from_the_cap_is_where_it_was(seed: int) -> None:
    rng, survey, there, wheel = draw(seed)
    rim, cap = references(rng)
    clock, axial = rng.uniform(-80, 80), rng.uniform(-40, 110)
    truth = wheel.place(clock, rng.uniform(300, 420), axial)
    tape = float(np.linalg.norm(truth - wheel.place(0, 0, cap)))
    taken = surveying.tape(
        cap=surveying.cap_plane(Measure(rim, 0.5), rim - cap),
        tape_mm=tape,
        axial_mm=axial,
        clock_deg=clock,
    )
    assert np.linalg.norm(back(taken, there, survey) - truth) < WITHIN_MM


@pytest.mark.parametrize("seed", SEEDS)
def test_height_and_plumb_line_give_the_lip_and_the_camber(seed: int) -> None:
    rng, survey, there, wheel = draw(seed)
    rim, cap = references(rng)
    truth = wheel.place(0.0, rng.uniform(300, 420), rng.uniform(-40, 110))
    lip = float(rng.uniform(180, 270))
    line = truth @ LATERAL  # the line hangs straight down from the lip
    taken, camber = surveying.plumb_line(
        rim=Measure(rim, 0.5),
        cap=Measure(cap, 0.7),
        height_mm=float((truth - wheel.place(0, 0, cap)) @ UP),
        line_top_mm=float(line - wheel.place(0, lip, rim) @ LATERAL),
        line_bottom_mm=float(line - wheel.place(180, lip, rim) @ LATERAL),
        lip_radius_mm=lip,
        toe_deg=there.toe_deg,
    )
    assert np.linalg.norm(back(taken, there, survey) - truth) < WITHIN_MM
    assert camber.value == pytest.approx(there.camber_deg, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_point_beside_the_hub_bar_is_where_it_was(seed: int) -> None:
    rng, survey, there, wheel = draw(seed)
    clock, thickness = float(rng.uniform(-170, 170)), float(rng.uniform(3, 20))
    axial = float(rng.uniform(-300, 120))
    truth = wheel.place(clock, rng.uniform(60, 420), axial)
    face = wheel.place(0, 0, thickness)
    depth = float((truth - face) @ wheel.out)
    taken = surveying.hub_bar(
        thickness_mm=thickness,
        along_mm=float((truth - wheel.hub) @ (wheel.place(clock, 1.0, 0.0) - wheel.hub)),
        depth_mm=abs(depth),
        outboard=depth > 0,
        clock_deg=clock,
    )
    assert np.linalg.norm(back(taken, there, survey) - truth) < WITHIN_MM


@pytest.mark.parametrize("seed", SEEDS)
def test_strings_give_the_toe_of_a_bare_hub(seed: int) -> None:
    rng, _, there, wheel = draw(seed)
    apart, thickness = float(rng.uniform(300, 800)), float(rng.uniform(3, 20))
    string = 900.0
    front, rear = (string - wheel.place(c, apart / 2, thickness) @ LATERAL for c in (90, -90))
    toe = surveying.toe_by_string(front_mm=float(front), rear_mm=float(rear), apart_mm=apart)
    assert toe.value == pytest.approx(there.toe_deg, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_gap_to_the_tyre_that_is_on_the_car_gives_the_place_behind_it(seed: int) -> None:
    rng, survey, there, wheel = draw(seed)
    section = section_of(
        Wheel(17, float(rng.uniform(7, 9)), float(rng.uniform(25, 55)), spacer_mm=3.0),
        Tyre("225/45R17", section_width_mm=float(rng.uniform(218, 234))),
    )
    low, high = section.rim_radius_mm + 30, section.tyre_radius_mm - 4
    spots = [
        surveying.crown_spot(section, float(rng.uniform(-80, 80))),
        surveying.wall_spot(section, outboard=False),
        surveying.wall_spot(section, outboard=True),
        surveying.wall_spot(section, outboard=False, radius_mm=float(rng.uniform(low, high))),
    ]
    for spot in spots:
        clock, far = float(rng.uniform(-150, 150)), float(rng.uniform(0, 70))
        axial, radius = spot.axial_mm + far * spot.normal[0], spot.radius_mm + far * spot.normal[1]
        truth = wheel.place(clock, radius, axial)
        read = wedge(section, (axial, radius), spot.normal)
        taken = surveying.gap(spot=spot, gap_mm=read, clock_deg=clock)
        assert np.linalg.norm(back(taken, there, survey) - truth) < WITHIN_MM


@pytest.mark.parametrize("seed", SEEDS)
def test_the_inner_end_of_a_lip_stands_square_to_the_car(seed: int) -> None:
    rng, survey, _, _ = draw(seed)
    wheel = stand(survey)
    edge = tuple(
        SurveyPoint(c, float(rng.uniform(310, 380)), float(rng.uniform(20, 90)))
        for c in (-60, -30, 0, 30, 60)
    )
    by = float(rng.uniform(5, 30))
    whole = surveying.turned_in(edge, by, survey)
    assert whole[:5] == edge
    for seen, inner in zip(edge, reversed(whole[5:]), strict=True):
        ends = [wheel.place(p.clock_deg, p.radius_mm, p.axial_mm) for p in (seen, inner)]
        assert ends[0] - ends[1] == pytest.approx(by * LATERAL, abs=1e-9)


def test_nothing_is_turned_in_where_the_lip_is_plain() -> None:
    edge = (SurveyPoint(0, 340, 60), SurveyPoint(20, 345, 55))
    assert surveying.turned_in(edge, 0.0, Pose(-1, 0)) == edge


def test_what_is_not_known_of_a_pose_adds_to_the_point_by_its_effect() -> None:
    taken = Taken(SurveyPoint(10, 350, -100), 2.0, 1.8)
    there = Pose(-1, 20, (2, 3, -60), sigma_hub_mm=3.0, sigma_angle_deg=0.3)
    moved = surveying.in_survey_pose(taken, there, Pose(-1, 0.1))
    lean = math.radians(0.3)
    assert moved.sigma_radius_mm == pytest.approx(math.sqrt(2.0**2 + 3.0**2 + (100 * lean) ** 2))
    assert moved.sigma_axial_mm == pytest.approx(math.sqrt(1.8**2 + 3.0**2 + (350 * lean) ** 2))
    assert moved.sigma_mm == moved.sigma_axial_mm


def test_reference_quantities_follow_from_tape_and_wheel() -> None:
    assert surveying.rim_plane(62.0, 5.0).value == 67.0
    assert surveying.rim_plane_by_size(8.0, 45.0, 5.0).value == pytest.approx(74.1)
    assert surveying.rim_plane_by_size(8.0, 45.0).sigma > surveying.rim_plane(62.0).sigma
    assert surveying.tyre_radius(2000.0).value == pytest.approx(318.3099, abs=1e-4)
    assert surveying.travel(352.0, 412.0) == -60.0


def test_bump_left_takes_the_squashed_stop_off_the_shaft() -> None:
    solid = surveying.foam_solid(50.0)
    assert (solid.value, solid.sigma) == (20.0, pytest.approx(4.0))
    left = surveying.bump_left(shaft_mm=74.0, solid=solid, motion_ratio=0.9)
    assert left.value == pytest.approx(60.0)
    assert 3.0 <= left.sigma <= 5.0
    assert surveying.bump_used(tie_mm=36.0, motion_ratio=0.9).value == pytest.approx(40.0)


RIM = Measure(70.0, 0.5)


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("level_deg", lambda: surveying.clock_of_level(85.0, -1.0, to_front=True)),
        ("tape_mm", lambda: surveying.tape(cap=RIM, tape_mm=30, axial_mm=110, clock_deg=0)),
        ("along_mm", lambda: surveying.straightedge(
            rim=RIM, block_mm=0, along_mm=0, edge_mm=3, clock_deg=0)),
        ("line_top_mm", lambda: surveying.plumb_line(
            rim=RIM, cap=RIM, height_mm=350, line_top_mm=300, line_bottom_mm=0,
            lip_radius_mm=200)),
        ("front_mm", lambda: surveying.toe_by_string(front_mm=900, rear_mm=100, apart_mm=500)),
        ("shaft_mm", lambda: surveying.bump_left(
            shaft_mm=10, solid=Measure(20, 4), motion_ratio=1)),
        ("motion_ratio", lambda: surveying.bump_used(tie_mm=10, motion_ratio=90)),
        ("circumference_mm", lambda: surveying.tyre_radius(0.0)),
        ("turns_in_mm", lambda: surveying.turned_in((), -1.0, Pose(0, 0))),
    ],
)  # fmt: skip
def test_a_reading_that_its_form_cannot_give_is_refused_by_name(field: str, wrong) -> None:
    with pytest.raises(BadReading) as refused:
        wrong()
    assert refused.value.field == field


def test_spots_beside_the_tyre_are_refused() -> None:
    section = section_of(Wheel(17, 8, 45), Tyre("225/45R17"))
    with pytest.raises(BadReading):
        surveying.crown_spot(section, 200.0)
    with pytest.raises(BadReading):
        surveying.wall_spot(section, outboard=False, radius_mm=500.0)
