"""What is taken for granted where a shop has stated nothing.

Every figure here is a judgement of this project: a reading from the car, or a figure that the
shop has entered, always replaces it. Lengths in millimetres, angles in degrees. Standard
uncertainties are one sigma.
"""

from __future__ import annotations

from dataclasses import dataclass

from alignment.geometry.model import LEVEL_ARM_MM
from fitment.engine.model import HARD, SOFT, Duty

# --- Duties -----------------------------------------------------------------------------

NEEDED_MM: dict[str, float] = {HARD: 5.0, SOFT: 3.0}
"""Margin wanted to a hard and to a soft surface: a habit of the trade, without a source."""

DROOP_FRACTION = 1.0

STREET = Duty(
    "street",
    envelope=((0.0, 1.0), (0.25, 1.0), (1.0, 0.5)),
    lateral_g=0.5,
    longitudinal_g=0.8,
    inner=True,
)
AUTOCROSS = Duty(
    "autocross",
    envelope=((0.0, 1.0), (0.5, 1.0), (1.0, 0.6)),
    lateral_g=1.0,
    longitudinal_g=1.0,
    inner=True,
)
TRACK = Duty(
    "track",
    envelope=((0.0, 1.0), (0.35, 1.0), (1.0, 0.3)),
    lateral_g=1.3,
    longitudinal_g=1.1,
    inner=True,
)

DUTIES: dict[str, Duty] = {duty.name: duty for duty in (STREET, AUTOCROSS, TRACK)}
"""Bends of the envelope, side loads and braking of each are assumed: common practice, no source."""

# --- Wheel and tyre ---------------------------------------------------------------------

FLANGE_MM = 12.5
"""Width of a rim flange outside the bead seat: a J flange is 11 mm wide at least (ISO 4000-1, from
memory), and as cast some more; judgement, no source. Its uncertainty is FLANGE below."""

FLANGE_HEIGHT_MM = 17.5
"""Height of a rim flange above the bead seat: that of a J flange, 17.3 mm (ISO 4000-1, from
memory), rounded up."""

BARREL_MM = 14.0
"""Depth of the barrel below the bead seat, where it was not measured."""

SPOKE_BACK_MM = 0.0
"""Back of the spokes from the mounting face, where it was not traced: flush with the face."""

TREAD_SHARE = 0.88
"""Tread width as a share of the mounted section width."""

SHOULDER_SHARE = 0.10
"""Shoulder drop as a share of the section height."""


@dataclass(frozen=True)
class ShoulderClass:
    """A kind of tyre shoulder as one sees it: the tread's share of the section width, and how far
    its edge lies under the crown, as a share of the section height or in millimetres."""

    tread_share: float
    drop_share: float = 0.0
    drop_mm: float = 0.0

    def drop(self, section_height_mm: float) -> float:
        """Shoulder drop (mm) of a tyre with this section height."""
        return self.drop_mm + self.drop_share * section_height_mm


SHOULDERS: dict[str, ShoulderClass] = {
    "round": ShoulderClass(0.82, drop_share=0.13),
    "medium": ShoulderClass(TREAD_SHARE, drop_share=SHOULDER_SHARE),
    "square": ShoulderClass(0.94, drop_mm=6.0),
}
"""Common practice, no source."""

WIDTH_PER_RIM_WIDTH = 0.4
"""Growth of the section per unit of rim width; UN R30, 6.1.1.1."""

LARGEST_WIDTH, LARGEST_HEIGHT = 1.04, 1.04
"""Widest section and tallest section height that may leave the maker, against the design size;
UN R30, 6.1.4 and 6.1.5, from memory."""

RIB_WIDTH_MM, SNOW_DIAMETER = 8.0, 1.01
"""What a protective rib may add to the widest section, and a snow tyre to the largest diameter, as
a factor; UN R30, 6.1.4 and 6.1.5, from memory."""

# --- Body -------------------------------------------------------------------------------

ROLLED_FLANGE_MM = 3.0
"""How far a lip that is folded flat still stands in: two sheets, paint and sealer; common
practice, no source."""

# --- Suspension -------------------------------------------------------------------------

INNER_WHEEL_SHARE = 0.4
"""Elastic changes of the inside wheel of a bend, against those of the outside one."""

BRAKING_STEER_SHARE = 0.25
"""Up to which share of the lock a car is braked as hard as its use says."""

TYRE_SIDE_MM_PER_G, TYRE_SIDE_DEG = 10.0, 45.0
"""How far a tyre goes sideways against its rim near the ground, per g, where it was not read, and
up to which angle from straight down that counts; judgement, no source."""

# --- Standard uncertainties -------------------------------------------------------------


@dataclass(frozen=True)
class DefaultSigma:
    """One standard uncertainty: its size, its unit, and why it is that large."""

    what: str
    value: float
    unit: str
    reason: str


FEATURE = DefaultSigma("survey point", 2.0, "mm", "tape and straightedge, read by one person")
BUMP_LIMIT = DefaultSigma("bump limit", 5.0, "mm", "a rubber stop has no sharp end")
STEER_LIMIT = DefaultSigma("steering lock", 1.0, "°", "turn plates and the play of the rack")
RIDE_HEIGHT = DefaultSigma("ride height", 5.0, "mm", "springs settle; fuel and load vary")
CLOCK = DefaultSigma("survey clock angle", 1.0, "°", "a dial on the hub, read by one person")
JOINT = DefaultSigma(
    "joint places", 2.0, "mm in each coordinate", "a joint's centre lies inside rubber and steel"
)
SHOULDER_DROP = DefaultSigma("shoulder drop", 2.5, "mm", "differs by make at the same size")
SHOULDER_CLASSED = DefaultSigma("shoulder drop", 1.5, "mm", "its class was seen, or it was read")
TREAD_WIDTH = DefaultSigma(
    "tread width", 0.03, "of the section width", "differs by make at the same size"
)
TREAD_CLASSED = DefaultSigma(
    "tread width", 0.015, "of the section width", "its shoulder's class was seen, or it was read"
)
FLANGE = DefaultSigma(
    "rim flange", 1.0, "mm", f"{FLANGE_MM:g} mm is usual; standards give a least width alone"
)
WIDTH_NOMINAL = DefaultSigma(
    "section width",
    3.0,
    "mm",
    "from the size alone: makes of one size differ by a centimetre",
)
WIDTH_PRINTED = DefaultSigma(
    "section width", 3.0, "mm", "printed, not measured: tyres differ from their print"
)
WIDTH_MEASURED = DefaultSigma("section width", 1.0, "mm", "callipers across a mounted tyre")
DIAMETER_NOMINAL = DefaultSigma(
    "overall diameter", 4.0, "mm", "from the size alone: makes of one size differ by a centimetre"
)
DIAMETER_PRINTED = DefaultSigma(
    "overall diameter", 2.0, "mm", "printed, not measured: wear, pressure and the next batch"
)
DIAMETER_MEASURED = DefaultSigma("overall diameter", 1.0, "mm", "a tape round the crown")
OFFSET = DefaultSigma("wheel offset", 0.5, "mm", "casting and machining of the wheel")
CAMBER = DefaultSigma("planned camber", 0.05, "°", "how close a rack lets it be set")
TOE = DefaultSigma("planned toe", 0.03, "°", "how close a rack lets it be set")

ROLLED_LIP = DefaultSigma(
    "rolled lip",
    2.0,
    "mm",
    f"a folded flange is taken to stand in {ROLLED_FLANGE_MM:g} mm and never lies flat everywhere; "
    "common practice, no source",
)

HUB_OUT = DefaultSigma(
    "hub sideways over travel",
    0.5,
    "of the arc of a level arm",
    f"not read, so the arc of a level arm of {LEVEL_ARM_MM:g} mm is taken, which carries the "
    "hub inboard both ways: 5 mm in 60 mm; judgement, no source",
)
HUB_FORWARD = DefaultSigma(
    "hub fore and aft over travel",
    0.05,
    "mm per mm of travel",
    "not read, so none is taken: arms whose hub swings 3° off plumb in side view take it "
    "some 3 mm in 60 mm; judgement, no source",
)

SIGMAS: tuple[DefaultSigma, ...] = (
    FEATURE,
    CLOCK,
    JOINT,
    BUMP_LIMIT,
    STEER_LIMIT,
    RIDE_HEIGHT,
    SHOULDER_DROP,
    TREAD_WIDTH,
    WIDTH_NOMINAL,
    WIDTH_PRINTED,
    WIDTH_MEASURED,
    DIAMETER_NOMINAL,
    DIAMETER_PRINTED,
    DIAMETER_MEASURED,
    FLANGE,
    OFFSET,
    CAMBER,
    TOE,
)

GAP_READING = DefaultSigma("gap reading", 1.5, "mm", "wedge or clay at a tapped spot")
PRESENT_TYRE_MM = 1.0
"""What the present tyre's own section adds to a gap read against it."""

BODY_SPREAD_MM, CARRIED_SPREAD_MM = 3.0, 1.0
"""How far a place of the next car of a model lies from that of the last one, by who carries it:
the body, or knuckle and strut. A source of uncertainty like any other."""

SAME_CAR_MM = 1.0
"""What is left of that once a gap of this very car, on its present wheel, corrected the model."""

SPREAD_OF_SPREAD = 0.4
"""Standard uncertainty of the logarithm of that spread, known of no car model beforehand."""

MAY_TOUCH = 0.05
"""Chance of touching above which a clearance counts as doubtful."""

CORNER_MAY_TOUCH, CAR_MAY_TOUCH = 0.10, 0.15
"""Chance that anything touches above which a corner, or a car, counts as doubtful although no
place of it does by itself."""

LEAST_STATED = 0.01
"""A smaller chance is stated as less than this: no model of a car is good to one in a thousand."""
