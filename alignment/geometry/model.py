"""What a corner's suspension is, and how it is set: plain frozen data.

Frame of every corner, left or right: x forward, y outboard, z up; the origin is the hub-face
centre in the survey pose. Lengths in millimetres, angles in degrees (``_deg``); only the
solvers in this package turn them into radians.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from alignment.geometry.frames import Array
from alignment.geometry.kinds import ADJUSTERS as ADJUSTERS
from alignment.geometry.kinds import CAMBER_ADJUSTERS as CAMBER_ADJUSTERS
from alignment.geometry.kinds import CURVES as CURVES
from alignment.geometry.kinds import JOINTS as JOINTS
from alignment.geometry.kinds import KINDS as KINDS
from alignment.geometry.kinds import LINKS as LINKS
from alignment.geometry.kinds import STRUT as STRUT
from alignment.geometry.kinds import WISHBONES as WISHBONES
from alignment.geometry.kinds import camber_methods, kind_of

Vec3 = tuple[float, float, float]
Number = TypeVar("Number", float, Array)

#: What the tie rod or toe link of a strut or wishbone corner is called.
TIE_ROD = "tie_rod"


@dataclass(frozen=True)
class Rod:
    """One of the five rods of a ``links`` corner; ``toe`` marks the one that sets toe."""

    name: str
    inner: Vec3
    outer: Vec3
    toe: bool = False


@dataclass(frozen=True)
class CurveSigma:
    """Standard uncertainties of one row's changes; None where none was stated."""

    camber_deg: float | None = None
    toe_deg: float | None = None
    out_mm: float | None = None
    forward_mm: float | None = None


#: Arm whose arc a hub is taken to follow sideways where it was not read: level at the survey
#: height, so the hub goes inboard both ways. Judgement, no source.
LEVEL_ARM_MM = 350.0


def level_arm_out_mm(travel_mm: Number) -> Number:
    """How far a hub goes outboard on a level arm's arc, at travels from the survey height."""
    return -(travel_mm**2) / (2 * LEVEL_ARM_MM)


@dataclass(frozen=True)
class CurveRow:
    """Changes from the survey height at one travel (bump positive).

    ``unread`` names ``out_mm`` or ``forward_mm`` where it was not read and 0 is assumed;
    ``carried_on``: beyond the last height that was read, drawn on straight.
    """

    travel_mm: float
    camber_deg: float
    toe_deg: float
    out_mm: float
    forward_mm: float
    sigma: CurveSigma = CurveSigma()
    unread: frozenset[str] = frozenset()
    carried_on: bool = False

    @property
    def is_path_unread(self) -> bool:
        """Whether the hub's place sideways was not read."""
        return "out_mm" in self.unread and self.sigma.out_mm is None

    @property
    def out_or_arc_mm(self) -> float:
        """How far the hub is outboard: as read, else on a level arm's arc."""
        if self.is_path_unread:
            return level_arm_out_mm(self.travel_mm)
        return self.out_mm


@dataclass(frozen=True)
class TravelReading:
    """Changes of camber and toe from the survey height, read at one travel; None if not read."""

    travel_mm: float
    camber_deg: float | None = None
    toe_deg: float | None = None


@dataclass(frozen=True)
class MeasuredTravel:
    """A bump-steer sheet: readings in rising order of travel, and what the model does with them.

    ``instead`` False corrects the model by its error at the readings, held constant beyond
    them; True takes the readings for the curve and refuses travel beyond them.
    """

    rows: tuple[TravelReading, ...]
    instead: bool = False


@dataclass(frozen=True)
class FittedTo:
    """Changes of camber and toe to which a linkage's joints were fitted, each ± ``sigma_deg``."""

    rows: tuple[TravelReading, ...]
    sigma_deg: float


#: Standard uncertainty of a joint's place in each coordinate where a survey states none, mm.
JOINT_SIGMA_MM = 2.0


@dataclass(frozen=True)
class SteerAxis:
    """Steering axis of a ``curves`` corner in the survey pose."""

    point: Vec3
    caster_deg: float
    inclination_deg: float


@dataclass(frozen=True)
class Suspension:
    """One corner's suspension in the survey pose.

    ``joints`` serves strut and wishbones, ``links`` the five-link kind, ``table``,
    ``steer_axis`` and ``camber_pivots`` the curves, ``measured`` a bump-steer sheet that corrects
    any of them. ``sigma_joints_mm`` is how well each coordinate of a joint was read; ``fitted``
    what the joints were moved to repeat, which makes them better known. ``typical`` names the
    kind whose usual curves stand in for measured ones: to look at, and never a survey. ``reach``
    maps an adjuster (``rod:NAME`` for a rod) to the least and greatest value that the parts on
    the car allow.
    """

    kind: str
    joints: Mapping[str, Vec3] = field(default_factory=dict)
    knuckle_pivot: Vec3 | None = None
    links: tuple[Rod, ...] = ()
    table: tuple[CurveRow, ...] = ()
    steer_axis: SteerAxis | None = None
    camber_pivots: Mapping[str, Vec3] = field(default_factory=dict)
    reach: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    measured: MeasuredTravel | None = None
    typical: str = ""
    sigma_joints_mm: float | None = None
    fitted: FittedTo | None = None

    @property
    def is_path_unread(self) -> bool:
        """Whether curves were read and at no height where the hub is sideways."""
        away = [row for row in self.table if row.travel_mm != 0]
        return bool(away) and all(row.is_path_unread for row in away)

    @property
    def joint_sigma_mm(self) -> float:
        """Standard uncertainty of each coordinate of a joint as it was read, mm."""
        return JOINT_SIGMA_MM if self.sigma_joints_mm is None else self.sigma_joints_mm

    @property
    def has_strut(self) -> bool:
        """Whether a strut holds the knuckle, and turns by itself."""
        return kind_of(self.kind).has_strut

    @property
    def has_named_rods(self) -> bool:
        """Whether ``links`` holds it: rods with names of their own."""
        return kind_of(self.kind).has_named_rods

    @property
    def is_read_as_curves(self) -> bool:
        """Whether ``table`` says how it moves, and no linkage."""
        return kind_of(self.kind).is_read_as_curves

    @property
    def rod_names(self) -> tuple[str, ...]:
        """Names of the rods, in the linkage's order; none for curves."""
        if self.has_named_rods:
            return tuple(rod.name for rod in self.links)
        rods = tuple(
            f"{arm}_arm_{end}" for arm in kind_of(self.kind).arms for end in ("front", "rear")
        )
        return (*rods, TIE_ROD) if rods else ()

    @property
    def camber_methods(self) -> tuple[str, ...]:
        """What camber can be set with at this corner, as ``camber_by`` names it."""
        rods = (rod.name for rod in self.links if not rod.toe)
        return camber_methods(self.kind, rods, self.camber_pivots)

    def rod_ends(self, name: str) -> tuple[Vec3, Vec3]:
        """Inner and outer joint of a rod, as surveyed. KeyError for a rod that is not there."""
        for rod in self.links:
            if rod.name == name:
                return rod.inner, rod.outer
        if name == TIE_ROD:
            return self.joints["tie_inner"], self.joints["tie_outer"]
        return self.joints[name], self.joints[f"{name.split('_')[0]}_ball_joint"]


@dataclass(frozen=True)
class Adjusters:
    """Adjuster positions relative to the survey pose; see ``kinds.ADJUSTERS`` for who has which.

    ``stated`` names those that were stated, zeros among them, so that an answer shows them.
    """

    top_mount_in_mm: float = 0.0
    top_mount_back_mm: float = 0.0
    lower_arm_out_mm: float = 0.0
    upper_arm_in_mm: float = 0.0
    knuckle_camber_deg: float = 0.0
    toe_link_mm: float = 0.0
    ride_height_mm: float = 0.0
    bump_stop_mm: float = 0.0
    rods_mm: Mapping[str, float] = field(default_factory=dict)
    stated: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Planned:
    """Settings wanted at static height, straight ahead.

    ``camber_deg`` None leaves camber to the adjusters; else ``camber_by`` is the camber method.
    ``rolled_lips``: arch lips that turn in are folded flat; the suspension is not asked.
    """

    toe_deg: float
    camber_deg: float | None = None
    camber_by: str | None = None
    adjusters: Adjusters = field(default_factory=Adjusters)
    sigma_camber_deg: float | None = None
    sigma_toe_deg: float | None = None
    sigma_ride_height_mm: float | None = None
    rolled_lips: bool = False


@dataclass(frozen=True)
class Limits:
    """Stops of travel from the survey height and steering stops of this wheel; None: unknown."""

    bump_mm: float | None
    droop_mm: float
    steer_in_deg: float = 0.0
    steer_out_deg: float = 0.0


@dataclass(frozen=True)
class Compliance:
    """What a corner gives per g: None where it was not read.

    Camber, toe and the hub inboard of an outside wheel per g of lateral acceleration;
    ``aft_mm_per_g`` the hub to the rear per g of braking; ``tyre_side_mm_per_g`` the tyre against
    its rim, near the ground, per g of lateral acceleration. ``assumed`` names the kind of bushes
    whose compliance is assumed, where none was measured.
    """

    camber_deg_per_g: float | None = None
    toe_deg_per_g: float | None = None
    lateral_mm_per_g: float | None = None
    assumed: str = ""
    aft_mm_per_g: float | None = None
    tyre_side_mm_per_g: float | None = None
