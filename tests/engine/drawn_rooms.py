"""An invented front corner, with a hub that simply turns about a leaning axis and rises."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry import frames
from alignment.geometry.chebyshev_patch import Stretch
from alignment.geometry.model import Limits
from alignment.geometry.motion import HubPoses
from common.verdicts import Verdict
from fitment.engine.minimum.envelope import envelope_of
from fitment.engine.minimum.feature_curves import course_of
from fitment.engine.minimum.room import FeatureSweep, Moments, Room, StrutTurn
from fitment.engine.model import (
    BODY,
    EDGE,
    HARD,
    KNUCKLE,
    POINTS,
    STRUT_BODY,
    CornerAnswer,
    Duty,
    Feature,
    PoseAt,
    SpotAnswer,
    StaticAnswer,
    SurveyPoint,
    Tyre,
    Wheel,
)
from fitment.engine.solid.section import Section, section_of

WHEEL = Wheel(diameter_in=16, width_in=7.0, offset_mm=49.0)
TYRE = Tyre(size="205/55R16", section_width_mm=214.0, measuring_rim_in=6.5)
WIDER = Wheel(diameter_in=17, width_in=8.0, offset_mm=42.0)
WIDER_TYRE = Tyre(size="225/45R17", section_width_mm=225.0, measuring_rim_in=7.5)


@dataclass(frozen=True)
class TurningHub:
    """Hub poses for travel (mm) and steer (rad), with a little camber gained in bump."""

    stretches: tuple[Stretch, ...] = (Stretch((-60.0, 60.0), (-0.8, 0.8)),)
    error_mm: float = 0.0

    @property
    def kinks(self) -> np.ndarray:
        return np.zeros((0, 2))

    def __call__(self, travel: np.ndarray, steer: np.ndarray) -> HubPoses:
        axis = np.array([-0.09, -0.2, 1.0]) / np.linalg.norm([-0.09, -0.2, 1.0])
        through = np.array([0.0, -60.0, -40.0])
        spin = frames.spin_axis(np.radians(-1.0 - 0.012 * travel), np.zeros_like(travel))
        arm = -through
        cos, sin = np.cos(-steer)[:, None], np.sin(-steer)[:, None]

        def turned(v: np.ndarray) -> np.ndarray:
            along = axis * (v @ axis)[..., None]
            after: np.ndarray = v * cos + np.cross(axis, v) * sin + along * (1 - cos)
            return after

        hub = through + turned(np.broadcast_to(arm, spin.shape))
        return HubPoses(hub + np.stack([0 * travel, 0.02 * travel, travel], axis=-1), turned(spin))


def polar(*rows: tuple[float, float, float]) -> tuple[SurveyPoint, ...]:
    return tuple(SurveyPoint(*row) for row in rows)


FEATURES = (
    Feature(
        "arch lip",
        BODY,
        EDGE,
        polar((-75, 367, 56), (-40, 364, 69), (0, 357, 60), (40, 362, 66), (75, 368, 52)),
        half_thickness_mm=1.0,
    ),
    Feature("inner panel", BODY, POINTS, polar((-80, 296, -221), (0, 252, -242), (60, 290, -230))),
    Feature(
        "frame rail",
        BODY,
        EDGE,
        xyz_mm=((-280.0, -262.0, 69.0), (280.0, -276.0, 119.0)),
        half_thickness_mm=3.0,
    ),
    Feature(
        "strut tube",
        STRUT_BODY,
        EDGE,
        xyz_mm=((-18.0, -186.0, 110.0), (-45.0, -199.0, 320.0)),
        half_thickness_mm=25.0,
    ),
    Feature("brake caliper", KNUCKLE, POINTS, polar((-80, 184.3, -45), (-80, 150, -7.2))),
)


def make_room(features: tuple[Feature, ...] = FEATURES, steer_deg: float = 35.0) -> Room:
    """The invented corner's room."""
    limits = Limits(46.0, 57.0, steer_deg * 0.75, steer_deg)
    duty = Duty("street", ((0, 1), (0.25, 1), (1, 0.5)))
    envelope = envelope_of(duty, limits, 46.0, 10.0, 0.0, None)
    spin = frames.spin_axis(np.radians(-1.0), np.radians(0.0))
    courses = tuple(course_of(feature, spin) for feature in features)
    return Room("LF", courses, envelope, TurningHub(), spin, StrutTurn(np.zeros(3), 0.0))


def make_section() -> Section:
    return section_of(WHEEL, TYRE)


def dense_sweeps(room: Room) -> tuple[FeatureSweep, ...]:
    """Every place at many poses, closer together than anything that is drawn."""
    low, high = room.envelope.steer_span
    steer = np.linspace(low, high, max(2, int(np.degrees(high - low)) + 1)) if high > low else [low]
    along = [
        np.linspace(0.0, len(c.knots) - 1.0, 8 * len(c.knots) + 1) if c.is_edge else c.samples()
        for c in room.courses
    ]
    return room.swept(np.array(steer), 13, along)


def random_poses(room: Room, place: str, count: int, seed: int = 1) -> np.ndarray:
    """Points (count, 2) of a place at random poses, axial and radius; a fifth each at bounds."""
    rng = np.random.default_rng(seed)
    index = next(i for i, c in enumerate(room.courses) if c.feature.place == place)
    course, fifth = room.courses[index], count // 5
    last = len(course.knots) - 1
    steer = rng.uniform(*room.envelope.steer_span, count)
    share = rng.uniform(0.0, 1.0, count)
    along = (
        rng.uniform(0, last, count) if course.is_edge else 1.0 * rng.integers(0, last + 1, count)
    )
    steer[:fifth] = rng.choice(room.envelope.steer_span, fifth)
    share[fifth : 2 * fifth] = rng.choice([0.0, 1.0], fifth)
    along[2 * fifth : 3 * fifth] = rng.choice([0.0, last], fifth)
    loaded = rng.integers(0, room.envelope.kinds, count)
    steer *= room.envelope.steer_shares[loaded]
    spots = Moments(np.full(count, index), np.stack([steer, share, along], axis=-1), loaded)
    return np.stack(room.meridian(spots), axis=-1)


def answer_for(room: Room, section: Section) -> CornerAnswer:
    """An answer by looking at every drawn sample, good enough to draw with."""
    places = []
    for sweep in dense_sweeps(room):
        gap = section.distance(sweep.axial_mm, sweep.radius_mm)
        at = np.unravel_index(int(np.argmin(gap)), gap.shape)
        point = np.array([[sweep.axial_mm[at], sweep.radius_mm[at]]])
        touch, on_tyre = section.nearest(point[:, 0], point[:, 1])
        clearance = float(gap[at]) - sweep.half_thickness_mm
        places.append(
            SpotAnswer(
                place=sweep.place,
                carried_by=sweep.carried_by,
                surface=HARD,
                clearance_mm=clearance,
                needed_mm=5.0,
                sigma_mm=3.0,
                touch_chance=0.1,
                verdict=Verdict.CONTACT if clearance <= 0 else Verdict.TIGHT,
                at=PoseAt(float(sweep.travel_mm[at[1], at[2]]), float(sweep.steer_deg[at[1]])),
                nearest_mm=(float(point[0, 0]), float(point[0, 1])),
                touch_mm=(float(touch[0, 0]), float(touch[0, 1])),
                part="tyre" if on_tyre[0] else "wheel",
            )
        )
    static = StaticAnswer(-1.0, 0.0, None, None, (0.0, 0.0, 0.0))
    return CornerAnswer(Verdict.CONTACT, static, {}, (), tuple(places))
