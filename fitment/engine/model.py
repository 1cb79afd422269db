"""A clearance check's question and answer as plain frozen data.

A check file, a form and the database all become these before anything is computed, and
the answer goes back the same way. Frame and units as in ``alignment.geometry.model``;
clock angles are 0 straight up, +90 to the front, 180 down, -90 to the rear.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from alignment.geometry.hub_position import Seat
from alignment.geometry.model import Compliance, Limits, Planned, Suspension, Vec3
from common.message import Message, message
from common.units import MM_PER_INCH
from common.verdicts import Verdict

BODY, KNUCKLE, STRUT_BODY, LINK = "body", "knuckle", "strut", "link"
HARD, SOFT = "hard", "soft"
OUTBOARD, INBOARD = "outboard", "inboard"
#: How the points of a feature were read: one by one, or off one template that fixes them together.
SINGLY, TEMPLATE = "singly", "template"
#: How a tyre's dimension is known: by the size alone, from the maker's table, with a gauge.
NOMINAL, PRINTED, MEASURED = "nominal", "printed", "measured"
POINTS, EDGE = "points", "edge"
#: What loads a wheel: a bend whose outside or inside it is on, or the brakes.
OUTSIDE, INSIDE, BRAKING = "outside", "inside", "braking"
#: Sources of uncertainty that no reading of their own can cut.
FROM_CAR_TO_CAR, LEARNED = "from car to car", "what earlier jobs taught"


@dataclass(frozen=True)
class SurveyPoint:
    """A point about the hub: clock angle, radius from the spin axis, axial from the hub face."""

    clock_deg: float
    radius_mm: float
    axial_mm: float


@dataclass(frozen=True)
class TakenAt:
    """Pose in which a body feature was read, when not the survey pose."""

    travel_mm: float
    steer_deg: float


@dataclass(frozen=True)
class Feature:
    """A place that the wheel or tyre could touch.

    Exactly one of ``points`` and ``xyz_mm`` is filled; neither for a tube that ``link`` names,
    which runs between that rod's joints and moves with them. ``to_confirm``: taken over from
    another car model, and not read on this one yet. ``turned_in_mm``: how far a lip's inner
    end, which the points hold, stands inboard of the edge that one sees; None: it does not turn in.
    ``read`` tells whether its points are off one by one or all together.
    """

    place: str
    carried_by: str = BODY
    shape: str = POINTS
    points: tuple[SurveyPoint, ...] = ()
    xyz_mm: tuple[Vec3, ...] = ()
    surface: str = HARD
    half_thickness_mm: float = 0.0
    sigma_mm: float | None = None
    taken_at: TakenAt | None = None
    link: str = ""
    to_confirm: bool = False
    turned_in_mm: float | None = None
    read: str = SINGLY
    learned: Learned | None = None


@dataclass(frozen=True)
class Learned:
    """What earlier jobs taught about one place: the survey's error there, and how it spreads.

    ``shift_mm`` is added to the clearance; ``sigma_mm`` and ``between_cars_mm`` replace what the
    survey and the difference between cars put into its uncertainty.
    """

    shift_mm: float
    sigma_mm: float
    between_cars_mm: float
    cars: int = 0
    observations: int = 0


@dataclass(frozen=True)
class OpenArc:
    """An arc that was looked at and found empty as far as ``beyond_mm``."""

    side: str  # INBOARD or OUTBOARD
    from_deg: float
    to_deg: float
    beyond_mm: float


@dataclass(frozen=True)
class Survey:
    """One corner as measured, with camber and toe of the survey pose."""

    camber_deg: float
    toe_deg: float
    features: tuple[Feature, ...]
    open: tuple[OpenArc, ...] = ()


@dataclass(frozen=True)
class Wheel:
    """A wheel and its spacer; None where not measured.

    ``width_in`` is the width that is marked on it, ``width_mm`` the one measured between the
    flanges; ``rim_diameter_mm`` is the diameter of the bead seat where it is not simply the
    marked one in inches. A ``sigma`` that is None is the usual one of an offset and of a flange,
    and none at all for the others.
    """

    diameter_in: float
    width_in: float
    offset_mm: float
    spacer_mm: float = 0.0
    flange_mm: float = 12.5
    barrel_mm: float | None = None
    spoke_back: tuple[tuple[float, float], ...] = ()  # (axial from the mounting face, radius)
    width_mm: float | None = None
    sigma_offset_mm: float | None = None
    sigma_width_mm: float | None = None
    sigma_barrel_mm: float | None = None
    sigma_spoke_mm: float | None = None
    sigma_flange_mm: float | None = None
    rim_diameter_mm: float | None = None

    @property
    def seat_radius_mm(self) -> float:
        """Radius of the bead seat: as specified or measured, else by the marked inches."""
        if self.rim_diameter_mm is not None:
            return self.rim_diameter_mm / 2
        return MM_PER_INCH * self.diameter_in / 2

    @property
    def rim_mm(self) -> float:
        """Width between the flanges: measured, else as marked."""
        return MM_PER_INCH * self.width_in if self.width_mm is None else self.width_mm


@dataclass(frozen=True)
class Tyre:
    """A tyre by its size designation, with what was measured or stated.

    ``width_known`` and ``diameter_known`` say how the section width and the overall diameter are
    known (NOMINAL, PRINTED or MEASURED), empty where not said; ``shoulder`` is the class of
    its shoulder ("round", "medium", "square"), empty where not looked at. ``worn_mm`` of tread
    gone and ``growth_mm`` of radius at speed change what is there; ``largest_allowed`` takes the
    widest and tallest tyre that the standard lets pass instead of the design size, which for one
    with a ``protective_rib`` is wider and for a ``snow`` tyre taller.
    """

    size: str
    section_width_mm: float | None = None
    measuring_rim_in: float | None = None
    overall_diameter_mm: float | None = None
    tread_width_mm: float | None = None
    shoulder_drop_mm: float | None = None
    profile: tuple[tuple[float, float], ...] = ()  # (axial from centre plane, radius)
    sigma_width_mm: float | None = None
    sigma_diameter_mm: float | None = None
    worn_mm: float = 0.0
    growth_mm: float = 0.0
    largest_allowed: bool = False
    width_known: str = ""
    diameter_known: str = ""
    shoulder: str = ""
    sigma_tread_mm: float | None = None
    sigma_shoulder_mm: float | None = None
    protective_rib: bool = False
    snow: bool = False

    @property
    def how_width_is_known(self) -> str:
        """A width on a measuring rim is the maker's; one that stands alone was read here."""
        if self.section_width_mm is None:
            return NOMINAL
        return self.width_known or (PRINTED if self.measuring_rim_in is not None else MEASURED)

    @property
    def how_diameter_is_known(self) -> str:
        """A diameter that is not said to be measured is taken for a printed one."""
        if self.overall_diameter_mm is None:
            return NOMINAL
        return self.diameter_known or PRINTED


@dataclass(frozen=True)
class Duty:
    """The poses that a kind of use visits, and the margin it needs.

    ``envelope`` is (steer fraction, bump fraction), rising in steer fraction from 0 to 1.
    ``lateral_g`` loads the wheel on the outside of a bend, and the one on the inside too where
    ``inner`` says so; ``longitudinal_g`` is that of braking.
    """

    name: str
    envelope: tuple[tuple[float, float], ...]
    droop_fraction: float = 1.0
    lateral_g: float = 0.0
    needed_hard_mm: float = 5.0
    needed_soft_mm: float = 3.0
    longitudinal_g: float = 0.0
    inner: bool = False


@dataclass(frozen=True)
class GapReading:
    """A gap read on this car with the wheel that is on it; travel from its static height."""

    place: str
    gap_mm: float
    travel_mm: float = 0.0
    steer_deg: float = 0.0
    sigma_mm: float | None = None


@dataclass(frozen=True)
class Present:
    """The wheel and tyre that are on this car, how they are set, and gaps read there."""

    planned: Planned
    wheel: Wheel
    tyre: Tyre
    gaps: tuple[GapReading, ...]


@dataclass(frozen=True)
class Corner:
    """Everything that decides whether one corner clears."""

    survey: Survey
    suspension: Suspension
    limits: Limits
    planned: Planned
    wheel: Wheel
    tyre: Tyre
    compliance: Compliance | None = None
    present: Present | None = None


@dataclass(frozen=True)
class Check:
    """One question: one duty and one to four corners, keyed LF, RF, LR, RR."""

    label: str
    duty: Duty
    corners: Mapping[str, Corner]


@dataclass(frozen=True)
class PoseAt:
    """A pose of the envelope; travel from the planned static height, bump positive.

    ``load`` names what loads it (OUTSIDE, INSIDE, BRAKING), empty where nothing does.
    """

    travel_mm: float
    steer_deg: float
    load: str = ""

    @property
    def loaded(self) -> bool:
        """Whether it is a pose under load."""
        return bool(self.load)


@dataclass(frozen=True)
class Assumed:
    """A standard uncertainty that was not stated, with the default used and why."""

    what: str
    value: float
    unit: str
    reason: str


@dataclass(frozen=True)
class UncertaintyPart:
    """One input's share of a clearance's uncertainty: |dg/dx| times sigma(x), mm."""

    source: str
    mm: float

    @property
    def named(self) -> Message:
        """The source in words."""
        return message(f"source.{self.source}")


@dataclass(frozen=True)
class SigmaParts:
    """A clearance's standard uncertainty by what it belongs to, mm: the survey that all cars of a
    model share, the difference from car to car, and this job."""

    survey_mm: float = 0.0
    between_cars_mm: float = 0.0
    job_mm: float = 0.0


@dataclass(frozen=True)
class SpotAnswer:
    """The tightest moment of one place.

    ``certified_mm`` is a proved lower bound of the clearance; NaN where none was worked out. A spot
    whose verdict is UNMEASURED has no clearance, bound, uncertainty or chance, which are NaN;
    ``supposed_mm`` is what it would have with the usual shape of what was not measured, NaN for
    the others.
    ``nearest_mm`` is the feature point and ``touch_mm`` the nearest point of wheel or tyre, both
    (axial from hub face, radius from spin axis); ``part`` is "tyre" or "wheel".
    ``uncertainty`` has the largest part first. ``shift_mm`` is what gaps read on this very car, and
    earlier jobs, added to the model's clearance.
    """

    place: str
    carried_by: str
    surface: str
    clearance_mm: float
    needed_mm: float
    sigma_mm: float
    touch_chance: float
    verdict: Verdict
    at: PoseAt
    nearest_mm: tuple[float, float]
    touch_mm: tuple[float, float]
    part: str
    uncertainty: tuple[UncertaintyPart, ...] = ()
    note: Message | None = None
    shift_mm: float = 0.0
    certified_mm: float = math.nan
    sigma_parts: SigmaParts = SigmaParts()
    supposed_mm: float = math.nan

    @property
    def is_measured(self) -> bool:
        """Whether its clearance is known."""
        return self.verdict != Verdict.UNMEASURED

    @property
    def to_solid_mm(self) -> float:
        """Its distance to the solid as it was taken, usual shapes in the place of unknown ones."""
        return self.clearance_mm if self.is_measured else self.supposed_mm

    @property
    def order_mm(self) -> float:
        """Its clearance for putting spots in order: what was not measured comes last."""
        return self.clearance_mm if self.is_measured else math.inf

    @property
    def spare_mm(self) -> float:
        """What it has beyond the margin that it needs, for putting spots in order likewise."""
        return self.order_mm - self.needed_mm


def without_clearance(answer: SpotAnswer) -> SpotAnswer:
    """The answer of a spot that was not measured: no clearance, and no chance of a touch."""
    return replace(
        answer,
        clearance_mm=math.nan,
        certified_mm=math.nan,
        sigma_mm=math.nan,
        sigma_parts=SigmaParts(),
        touch_chance=math.nan,
        uncertainty=(),
        supposed_mm=answer.clearance_mm,
    )


@dataclass(frozen=True)
class StaticAnswer:
    """Where the wheel sits at the planned static height, straight ahead."""

    camber_deg: float
    toe_deg: float
    caster_deg: float | None
    inclination_deg: float | None
    hub_mm: Vec3


@dataclass(frozen=True)
class OutOfReach:
    """An adjuster that the parts on the car cannot move as far as the setting asks."""

    adjuster: str
    needed: float
    min: float
    max: float
    short_by: float


@dataclass(frozen=True)
class Sector:
    """A sector of the clock, 15° wide about ``clock_deg``, that has to be looked at.

    On that side of the wheel's centre plane the swept solid reaches to ``reach_mm`` from the axis
    of the survey's hub, ``adds_mm`` of it by steering. ``state`` is "seen", "open", "passed" (a
    short gap between two that were looked at) or "missing".
    """

    side: str
    clock_deg: float
    reach_mm: float
    adds_mm: float
    state: str


@dataclass(frozen=True)
class Effect:
    """What one unit of something changes: mm of clearance for each place, in their order.

    ``name`` is an adjuster (``rod:NAME`` for a rod), "camber", "spacer", "wheel offset",
    "section width" or "overall diameter"; ``unit`` "mm" or "°"; ``camber_deg`` what a unit
    does to static camber. Toe is set again after every change.
    """

    name: str
    unit: str
    by_place: tuple[float, ...]
    camber_deg: float


@dataclass(frozen=True)
class CornerAnswer:
    """One corner's answer; ``adjusters`` holds what was stated or solved, by name.

    ``any_touch_chance`` is the chance that anything touches, what the spots share counted once.
    """

    verdict: Verdict
    static: StaticAnswer
    adjusters: Mapping[str, float | Mapping[str, float]]
    out_of_reach: tuple[OutOfReach, ...]
    places: tuple[SpotAnswer, ...]
    uncovered: tuple[Message, ...] = ()  # why the survey does not cover the duty
    assumed: tuple[Assumed, ...] = ()
    notes: tuple[Message, ...] = ()
    seat: Seat | None = None
    effects: tuple[Effect, ...] = ()
    sectors: tuple[Sector, ...] = ()
    any_touch_chance: float = math.nan


@dataclass(frozen=True)
class Answer:
    """The answer to a Check; ``any_touch_chance`` is that of the whole car."""

    label: str
    verdict: Verdict
    corners: Mapping[str, CornerAnswer] = field(default_factory=dict)
    any_touch_chance: float = math.nan
    notes: tuple[Message, ...] = ()
