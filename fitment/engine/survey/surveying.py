"""What a shop reads at a corner, turned into survey points.

Each form of reading is one function: a straightedge on blocks, a tape from the cap, a level for
the clock, a plumb line from the lip, a bar on the bare hub, strings, a gap to the tyre that is on
the car. The frame is the corner's (``fitment.engine.model``): x forward, y outboard, z up, the
origin at the hub-face centre of the survey pose; a point is clock (0 up, +90 front), radius from
the spin axis, axial from the hub face (outboard positive). Camber is negative with the top
inboard, toe positive with the front edge inboard. Millimetres and degrees throughout.

The conversions are exact; how well readings are known stands in ``reading_sigmas``. A reading
outside what its form can give raises :class:`BadReading`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.model import Vec3
from common.numerals import fixed
from common.units import MM_PER_INCH
from fitment.engine.defaults import FLANGE_MM, GAP_READING, PRESENT_TYRE_MM
from fitment.engine.model import SurveyPoint
from fitment.engine.solid.section import Section
from fitment.engine.survey.reading_sigmas import (
    BUMP_MM,
    CAP_DEPTH_MM,
    CLOCK_DEG,
    EDGE_MM,
    FOAM_SOLID,
    FOAM_SPREAD,
    FRONT_SPACE_MM,
    HUB_BAR_MM,
    LINE_MM,
    LINE_TO_RIM_MM,
    RIM_FACE_MM,
    SHAFT_MM,
    TAPE_MM,
    TOE_STRING_DEG,
    TYRE_RADIUS_MM,
)

#: A level nearer to plumb than this tells little about the clock: its sine hardly changes.
PLUMB_DEG = 80.0


class BadReading(ValueError):
    """A reading that its form cannot give; ``field`` names the figure to look at again."""

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(reason)
        self.field = field


@dataclass(frozen=True)
class Measure:
    """A figure (mm or degrees, as its maker says) and its standard uncertainty."""

    value: float
    sigma: float


@dataclass(frozen=True)
class Taken:
    """A point as read, with standard uncertainties of radius, axial (mm) and clock (degrees)."""

    point: SurveyPoint
    sigma_radius_mm: float
    sigma_axial_mm: float
    sigma_clock_deg: float = CLOCK_DEG

    @property
    def sigma_mm(self) -> float:
        """The larger of the two that a check uses: each of radius and axial."""
        return max(self.sigma_radius_mm, self.sigma_axial_mm)


@dataclass(frozen=True)
class Pose:
    """How the hub stood while something was read.

    ``hub_mm`` is the hub-face centre in the corner frame, so (0, 0, 0) in the survey pose; the
    sigmas say how well place and angles of the pose are known.
    """

    camber_deg: float
    toe_deg: float
    hub_mm: Vec3 = (0.0, 0.0, 0.0)
    sigma_hub_mm: float = 0.0
    sigma_angle_deg: float = 0.0

    @property
    def spin(self) -> Array:
        """Outboard unit spin axis (3,)."""
        return frames.spin_axis(math.radians(self.camber_deg), math.radians(self.toe_deg))


# --- Reference quantities ---------------------------------------------------------------


def rim_plane(front_space_mm: float, spacer_mm: float = 0.0) -> Measure:
    """Axial (mm from the hub face) of the plane over the rim's outboard lips.

    ``front_space_mm`` is read off the car: straightedge across those lips to the mounting pad.
    """
    return Measure(front_space_mm + spacer_mm, FRONT_SPACE_MM)


def rim_plane_by_size(
    width_in: float, offset_mm: float, spacer_mm: float = 0.0, flange_mm: float = FLANGE_MM
) -> Measure:
    """The same plane from a wheel's figures, where the front space was not read."""
    return Measure(MM_PER_INCH * width_in / 2 + flange_mm - offset_mm + spacer_mm, RIM_FACE_MM)


def cap_plane(rim: Measure, cap_depth_mm: float) -> Measure:
    """Axial of the cap's middle: ``cap_depth_mm`` inboard of the rim plane."""
    return Measure(rim.value - cap_depth_mm, math.hypot(rim.sigma, CAP_DEPTH_MM))


def tyre_radius(circumference_mm: float) -> Measure:
    """Radius (mm) of a tyre taped round its crown, off the ground."""
    if circumference_mm <= 0:
        raise BadReading("circumference_mm", "must be above zero")
    return Measure(circumference_mm / (2 * math.pi), TYRE_RADIUS_MM)


def travel(reference_height_mm: float, height_mm: float) -> float:
    """Travel (mm, bump positive) of a pose whose hub-to-lip height is ``height_mm``."""
    return reference_height_mm - height_mm


# --- Forms that give points -------------------------------------------------------------


def clock_of_level(level_deg: float, camber_deg: float, *, to_front: bool) -> float:
    """Clock (degrees) of a straightedge through the axis that rises by ``level_deg``.

    Above the axis positive, below negative; ``to_front`` tells which side of plumb it points to.
    Near plumb a level tells nothing: use :func:`plumb_line` there.
    """
    if abs(level_deg) > PLUMB_DEG:
        raise BadReading("level_deg", f"within {90 - PLUMB_DEG:g}° of plumb the level says nothing")
    ratio = math.sin(math.radians(level_deg)) / math.cos(math.radians(camber_deg))
    if abs(ratio) > 1.0:
        raise BadReading("level_deg", "the wheel's own lean does not let it stand that steep")
    clock = math.degrees(math.acos(ratio))
    return clock if to_front else -clock


def level_of_clock(clock_deg: float, camber_deg: float) -> float:
    """What a level shows (degrees) on a straightedge that points to a clock."""
    lean = math.cos(math.radians(camber_deg))
    return math.degrees(math.asin(math.cos(math.radians(clock_deg)) * lean))


def straightedge(
    *, rim: Measure, block_mm: float, along_mm: float, edge_mm: float, clock_deg: float
) -> Taken:
    """An edge beside a straightedge that lies on blocks on the rim lips, through the axis.

    ``along_mm`` is the radius read along it, ``edge_mm`` from its inner face to the edge,
    outboard positive.
    """
    _positive("along_mm", along_mm)
    _not_negative("block_mm", block_mm)
    point = SurveyPoint(clock_deg, along_mm, rim.value + block_mm + edge_mm)
    return Taken(point, TAPE_MM, math.hypot(EDGE_MM, rim.sigma))


def tape(*, cap: Measure, tape_mm: float, axial_mm: float, clock_deg: float) -> Taken:
    """A lip by the tape from the cap's middle; ``axial_mm`` of the lip is known otherwise."""
    across = axial_mm - cap.value
    if tape_mm <= abs(across):
        raise BadReading(
            "tape_mm",
            f"the tape is shorter than the way outboard to the lip, {fixed(abs(across), 0)} mm",
        )
    radius = math.sqrt(tape_mm**2 - across**2)
    return Taken(SurveyPoint(clock_deg, radius, axial_mm), TAPE_MM, TAPE_MM)


def plumb_line(
    *,
    rim: Measure,
    cap: Measure,
    height_mm: float,
    line_top_mm: float,
    line_bottom_mm: float,
    lip_radius_mm: float,
    toe_deg: float = 0.0,
) -> tuple[Taken, Measure]:
    """The lip straight above the hub and the wheel's camber (degrees), by a line from the lip.

    ``height_mm`` is straight up from the cap's middle to the lip; ``line_top_mm`` and
    ``line_bottom_mm`` go square to the car from the rim's lip at top and bottom to the line, line
    outboard positive; ``lip_radius_mm`` is the radius of the rim's lip where they were taken.
    """
    _positive("lip_radius_mm", lip_radius_mm)
    cos_toe = math.cos(math.radians(toe_deg))
    lean = (line_bottom_mm - line_top_mm) / (2 * lip_radius_mm * cos_toe)
    if abs(lean) > math.sin(math.radians(30.0)):
        raise BadReading("line_top_mm", "top and bottom differ by more than a wheel leans")
    camber = math.asin(lean)
    # Out along the wheel's own lateral line, which toe turns away from the car's.
    out = rim.value * math.cos(camber) + (line_top_mm + line_bottom_mm) / (2 * cos_toe)
    up = height_mm - cap.value * math.sin(camber)
    axial = out * math.cos(camber) - up * math.sin(camber)
    radius = out * math.sin(camber) + up * math.cos(camber)
    _positive("height_mm", radius)
    sigma = math.degrees(math.hypot(LINE_TO_RIM_MM, LINE_TO_RIM_MM) / (2 * lip_radius_mm))
    taken = Taken(SurveyPoint(0.0, radius, axial), TAPE_MM, math.hypot(LINE_MM, rim.sigma))
    return taken, Measure(math.degrees(camber), sigma)


def hub_bar(
    *,
    thickness_mm: float,
    along_mm: float,
    depth_mm: float,
    outboard: bool,
    clock_deg: float,
    sigma_mm: float = HUB_BAR_MM,
) -> Taken:
    """A point beside a bar bolted to the bare hub.

    ``along_mm`` is the radius along it, ``depth_mm`` from its outer face, inboard or outboard.
    """
    _positive("along_mm", along_mm)
    _not_negative("depth_mm", depth_mm)
    axial = thickness_mm + (depth_mm if outboard else -depth_mm)
    return Taken(SurveyPoint(clock_deg, along_mm, axial), sigma_mm, sigma_mm)


def toe_by_string(*, front_mm: float, rear_mm: float, apart_mm: float) -> Measure:
    """Toe (degrees) of a level bar on the hub, from a string along the car outboard of it.

    ``front_mm`` and ``rear_mm`` go square to the car from marks ``apart_mm`` apart on the bar.
    """
    _positive("apart_mm", apart_mm)
    sine = (front_mm - rear_mm) / apart_mm
    if abs(sine) > 1.0:
        raise BadReading("front_mm", "the two differ by more than the marks are apart")
    return Measure(math.degrees(math.asin(sine)), TOE_STRING_DEG)


# --- The tyre that is on the car --------------------------------------------------------


@dataclass(frozen=True)
class Spot:
    """A spot on wheel or tyre: (axial, radius) from the hub face and the outward normal there."""

    axial_mm: float
    radius_mm: float
    normal: tuple[float, float]


def crown_spot(section: Section, beside_centre_mm: float = 0.0) -> Spot:
    """The tread, ``beside_centre_mm`` outboard (negative: inboard) of the tyre's middle."""
    axial = section.centre_axial_mm + beside_centre_mm
    start, end = section.start[section.on_tyre], section.end[section.on_tyre]
    found = _crossing(start, end, axial, across=0)
    if found is None:
        raise BadReading("beside_mm", "that is beside the tyre, not on its tread")
    return Spot(axial, found[0], found[1])


def wall_spot(section: Section, *, outboard: bool, radius_mm: float | None = None) -> Spot:
    """The side wall at a radius, or at its bulge where it is widest."""
    side = 1.0 if outboard else -1.0
    size = section.mounted
    if radius_mm is None:
        return Spot(*_bulge(section, side), (side, 0.0))
    if not size.rim_radius_mm < radius_mm < size.tyre_radius_mm:
        raise BadReading(
            "at_radius_mm",
            f"the side wall lies between {fixed(size.rim_radius_mm, 0)} and "
            f"{fixed(size.tyre_radius_mm, 0)} mm",
        )
    start, end = section.start[section.on_tyre], section.end[section.on_tyre]
    middle = section.centre_axial_mm
    here = side * ((start[:, 0] + end[:, 0]) / 2 - middle) > 0
    found = _crossing(start[here], end[here], radius_mm, across=1, side=side)
    if found is None:
        raise BadReading("at_radius_mm", "the rim's flange covers the tyre there")
    return Spot(found[0], radius_mm, found[1])


def gap(*, spot: Spot, gap_mm: float, clock_deg: float) -> Taken:
    """What stands a gap away from a spot of the tyre, along the normal there."""
    _not_negative("gap_mm", gap_mm)
    axial = spot.axial_mm + gap_mm * spot.normal[0]
    radius = spot.radius_mm + gap_mm * spot.normal[1]
    _positive("gap_mm", radius)
    sigma = math.hypot(GAP_READING.value, PRESENT_TYRE_MM)
    return Taken(SurveyPoint(clock_deg, radius, axial), sigma, sigma)


def _bulge(section: Section, side: float) -> tuple[float, float]:
    """Where the side wall stands upright: halfway up, or the widest of a traced profile."""
    size = section.mounted
    half, at = size.section_width_mm / 2, size.widest_radius_mm
    outline = section.tyre_outline_mm
    drawn = np.hypot(outline[:, 0] - section.centre_axial_mm - side * half, outline[:, 1] - at)
    if drawn.min() < 0.01:
        return section.centre_axial_mm + side * half, at
    widest = outline[int(np.argmax(side * outline[:, 0]))]
    return float(widest[0]), float(widest[1])


def _crossing(
    start: Array, end: Array, level: float, *, across: int, side: float = 1.0
) -> tuple[float, tuple[float, float]] | None:
    """Outermost crossing of segments with one coordinate at ``level``: the other, and the normal.

    Segments run anticlockwise, so the solid is on their left and the normal on their right.
    """
    low = np.minimum(start[:, across], end[:, across])
    high = np.maximum(start[:, across], end[:, across])
    hit = np.flatnonzero((low <= level) & (level <= high) & (high > low))
    if not len(hit):
        return None
    run = end[hit] - start[hit]
    share = (level - start[hit, across]) / run[:, across]
    other = start[hit, 1 - across] + share * run[:, 1 - across]
    best = int(np.argmax(side * other))
    length = float(np.hypot(*run[best]))
    normal = (float(run[best, 1]) / length, -float(run[best, 0]) / length)
    return float(other[best]), normal


# --- Poses and edges --------------------------------------------------------------------


def position(point: SurveyPoint, pose: Pose) -> Array:
    """Where a point about the hub of ``pose`` lies in the corner frame, (3,)."""
    clock, radius, axial = np.radians(point.clock_deg), point.radius_mm, point.axial_mm
    around = frames.cylindrical_point(
        np.asarray(clock), np.asarray(radius), np.asarray(axial), pose.spin
    )
    return np.asarray(pose.hub_mm, float) + around


def about_hub(place: Array, pose: Pose) -> SurveyPoint:
    """A place (3,) of the corner frame as a point about the hub of ``pose``."""
    spin = pose.spin
    up, forward = frames.wheel_axes(spin)
    away = place - np.asarray(pose.hub_mm, float)
    axial = float(away @ spin)
    flat = away - axial * spin
    clock = math.degrees(math.atan2(float(flat @ forward), float(flat @ up)))
    return SurveyPoint(clock, float(np.linalg.norm(flat)), axial)


def in_survey_pose(taken: Taken, pose: Pose, survey: Pose) -> Taken:
    """A body point read at lock, hanging or jacked, as it would have been read in the survey pose.

    What is not known of the pose adds to the uncertainty: its place to both, its angles by their
    lever.
    """
    point = about_hub(position(taken.point, pose), survey)
    lean = math.radians(math.hypot(pose.sigma_angle_deg, survey.sigma_angle_deg))
    hub = math.hypot(pose.sigma_hub_mm, survey.sigma_hub_mm)
    return replace(
        taken,
        point=point,
        sigma_radius_mm=math.hypot(taken.sigma_radius_mm, hub, lean * taken.point.axial_mm),
        sigma_axial_mm=math.hypot(taken.sigma_axial_mm, hub, lean * taken.point.radius_mm),
    )


def turned_in(edge: Sequence[SurveyPoint], by_mm: float, survey: Pose) -> tuple[SurveyPoint, ...]:
    """An edge that comes back along the inner end of its lip, ``by_mm`` inboard of what is seen.

    Square to the car, as a rule held under the lip reads it; 0 leaves the edge as it is.
    """
    _not_negative("turns_in_mm", by_mm)
    if by_mm == 0.0:
        return tuple(edge)
    inboard = np.array([0.0, -by_mm, 0.0])
    inner = [about_hub(position(point, survey) + inboard, survey) for point in reversed(edge)]
    return (*edge, *inner)


# --- Travel -----------------------------------------------------------------------------


def foam_solid(free_length_mm: float) -> Measure:
    """Height (mm) to which a foam stop of this free length is squashed."""
    _not_negative("stop_mm", free_length_mm)
    return Measure(FOAM_SOLID * free_length_mm, FOAM_SPREAD * FOAM_SOLID * free_length_mm)


def bump_left(*, shaft_mm: float, solid: Measure, motion_ratio: float) -> Measure:
    """Wheel travel (mm) left in bump: shaft from gland to the stop's mount, less the solid stop.

    ``motion_ratio`` is shaft movement over wheel travel.
    """
    _ratio(motion_ratio)
    left = shaft_mm - solid.value
    if left < 0:
        raise BadReading("shaft_mm", "less shaft shows than the squashed stop is tall")
    sigma = math.hypot(SHAFT_MM, solid.sigma) / motion_ratio
    return Measure(left / motion_ratio, max(BUMP_MM, sigma))


def bump_used(*, tie_mm: float, motion_ratio: float) -> Measure:
    """Wheel travel (mm) that a dip took, by how far a tie was pushed along the damper shaft."""
    _ratio(motion_ratio)
    _not_negative("tie_mm", tie_mm)
    return Measure(tie_mm / motion_ratio, BUMP_MM)


def _ratio(motion_ratio: float) -> None:
    if not 0.2 <= motion_ratio <= 1.5:
        raise BadReading(
            "motion_ratio", "shaft movement over wheel travel lies between 0.2 and 1.5"
        )


def _positive(field: str, value: float) -> None:
    if not value > 0:
        raise BadReading(field, "must be above zero")


def _not_negative(field: str, value: float) -> None:
    if not value >= 0:
        raise BadReading(field, "must be zero or more")
