"""Random corners that could stand on a lift: plausible, and varied on purpose.

``random_check(seed)`` always gives the same check of one corner. Joints lie where road cars
have them, a few centimetres either way; wheels and tyres are pairs that people fit; features
are laid around that wheel at gaps from a deep overlap to a hand's breadth. Draws that no
suspension could be set to are thrown away, so every check can be answered.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import (
    CURVES,
    KINDS,
    LINKS,
    STRUT,
    WISHBONES,
    Adjusters,
    Compliance,
    CurveRow,
    Limits,
    MeasuredTravel,
    Planned,
    Rod,
    SteerAxis,
    Suspension,
    TravelReading,
    Vec3,
)
from fitment.engine.defaults import DUTIES
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    BODY,
    EDGE,
    HARD,
    KNUCKLE,
    LINK,
    POINTS,
    SOFT,
    STRUT_BODY,
    Check,
    Corner,
    Duty,
    Feature,
    Survey,
    SurveyPoint,
    TakenAt,
    Tyre,
    Wheel,
)
from fitment.engine.solid.mounted import mounted

Rng = np.random.Generator

#: Joints of a front left corner from the hub-face centre, and how far each is moved about.
STRUT_JOINTS: dict[str, tuple[Vec3, float]] = {
    "strut_top": ((-30, -165, 540), 40),
    "strut_lower": ((-5, -105, 95), 20),
    "lower_ball_joint": ((8, -75, -110), 15),
    "lower_arm_front": ((25, -390, -95), 25),
    "lower_arm_rear": ((-270, -375, -90), 40),
    "tie_outer": ((-135, -85, -65), 12),
    "tie_inner": ((-145, -395, -55), 12),
}
WISHBONE_JOINTS: dict[str, tuple[Vec3, float]] = {
    "lower_ball_joint": ((13, -55, -145), 15),
    "lower_arm_front": ((148, -440, -110), 25),
    "lower_arm_rear": ((-230, -440, -100), 30),
    "upper_ball_joint": ((-20, -95, 165), 20),
    "upper_arm_front": ((120, -335, 205), 25),
    "upper_arm_rear": ((-110, -335, 190), 25),
    "tie_outer": ((-137, -80, -88), 10),
    "tie_inner": ((-150, -385, -62), 10),
}
ROD_ENDS: dict[str, tuple[Vec3, Vec3, float]] = {
    "upper front": ((110, -380, 120), (20, -85, 135), 20),
    "upper rear": ((-120, -370, 140), (-25, -80, 140), 20),
    "lower front": ((190, -420, -120), (40, -70, -130), 20),
    "lower rear": ((-60, -520, -130), (-30, -60, -135), 20),
    "toe link": ((-190, -480, -70), (-140, -75, -80), 15),
}
#: Size, rim width and offset that go together.
FITMENTS = (
    ("195/50R15", 15, 7.0, 35),
    ("205/60R16", 16, 6.5, 45),
    ("225/45R17", 17, 8.0, 42),
    ("245/40R17", 17, 9.0, 30),
    ("225/40R18", 18, 8.0, 48),
    ("265/35R18", 18, 9.5, 38),
    ("275/35R19", 19, 9.5, 30),
    ("255/55R18", 18, 8.0, 40),
    ("215/40R17", 17, 9.0, 25),  # a narrow tyre pulled over a wide rim
)


def random_check(seed: int, *, kind: str | None = None, features: int | None = None) -> Check:
    """A check of one corner that can be answered, always the same for one seed."""
    rng = np.random.default_rng([20, seed])
    kind = kind or KINDS[seed % len(KINDS)]
    for _ in range(200):
        corner, duty = _corner(rng, kind, features), _duty(rng)
        try:
            _ = setting_of("LF", corner, duty).room.sweeps  # visits every pose of a first look
        except (Unreachable, RestsOnStops):
            continue
        corner = _with_rod_and_sheet(corner, seed)
        corner, duty = _with_further_loads(corner, duty, seed)
        return Check(f"random {seed}", duty, {("LF", "RF", "LR", "RR")[seed % 4]: corner})
    raise AssertionError(f"no settable {kind} corner in 200 draws of seed {seed}")


def the_corner(check: Check) -> Corner:
    """The only corner of a random check."""
    (corner,) = check.corners.values()
    return corner


def with_corner(check: Check, corner: Corner) -> Check:
    """The same check of another corner."""
    (name,) = check.corners
    return replace(check, corners={name: corner})


def random_suspension(rng: Rng, kind: str, *, steered: bool = True) -> Suspension:
    """A suspension of one kind in its survey pose."""
    if kind == STRUT:
        pivot = _near(rng, (-5, -100, 60), 20) if rng.random() < 0.4 else None
        return Suspension(kind, joints=_joints(rng, STRUT_JOINTS), knuckle_pivot=pivot)
    if kind == WISHBONES:
        return Suspension(kind, joints=_joints(rng, WISHBONE_JOINTS))
    if kind == LINKS:
        rods = [
            Rod(name, _near(rng, inner, by), _near(rng, outer, by / 2), toe=name == "toe link")
            for name, (inner, outer, by) in ROD_ENDS.items()
        ]
        return Suspension(kind, links=tuple(rods))
    return _curves(rng, steered)


def random_plan(rng: Rng, suspension: Suspension, camber_deg: float) -> Planned:
    """A plan near the camber of the survey, by any of the means that the kind has."""
    lowered = float(rng.choice([0.0, 0.0, rng.uniform(-35, 10)]))
    adjusters = Adjusters(ride_height_mm=lowered, bump_stop_mm=float(rng.choice([0.0, 0.0, 8.0])))
    if suspension.kind == STRUT and rng.random() < 0.4:
        adjusters = replace(
            adjusters,
            top_mount_back_mm=float(rng.uniform(-5, 8)),
            lower_arm_out_mm=float(rng.uniform(-2, 4)),
        )
    if suspension.kind == LINKS and rng.random() < 0.4:
        adjusters = replace(adjusters, rods_mm={"lower rear": float(rng.uniform(-1.5, 1.5))})
    camber_method: dict[str, list[str]] = {
        STRUT: ["top_mount", "lower_arm", "knuckle"],
        WISHBONES: ["lower_arm", "upper_arm"],
        LINKS: ["rod:upper front", "rod:upper rear", "rod:lower rear"],
        CURVES: sorted(suspension.camber_pivots),
    }
    wanted = None if rng.random() < 0.2 else camber_deg + float(rng.uniform(-2.2, 0.8))
    return Planned(
        toe_deg=float(rng.uniform(-0.25, 0.25)),
        camber_deg=wanted,
        camber_by=None if wanted is None else str(rng.choice(camber_method[suspension.kind])),
        adjusters=adjusters,
        sigma_camber_deg=_maybe(rng, 0.03, 0.2),
        sigma_toe_deg=_maybe(rng, 0.02, 0.1),
        sigma_ride_height_mm=_maybe(rng, 1, 6),
    )


def random_wheels(rng: Rng) -> tuple[Wheel, Tyre]:
    """A wheel and tyre that could be bought as a pair; sometimes measured, sometimes nominal."""
    size, diameter, width, offset = FITMENTS[rng.integers(len(FITMENTS))]
    wheel = Wheel(
        float(diameter),
        float(width),
        offset + float(rng.integers(-12, 8)),
        spacer_mm=float(rng.choice([0, 0, 3, 15])),
        barrel_mm=_maybe(rng, 9, 16),
        flange_mm=float(rng.choice([12.5, 12.5, 11.0])),
        spoke_back=((4.0, 60.0), (-6.0, 110.0), (9.0, 170.0)) if rng.random() < 0.4 else (),
        sigma_offset_mm=_maybe(rng, 0.2, 1.0),
    )
    tyre = Tyre(size, sigma_width_mm=_maybe(rng, 0.5, 4.0), sigma_diameter_mm=_maybe(rng, 0.5, 3.0))
    nominal = mounted(wheel, tyre)
    if rng.random() < 0.5:
        tyre = replace(
            tyre,
            section_width_mm=round(nominal.section_width_mm + rng.uniform(-6, 8), 1),
            measuring_rim_in=float(width) - 0.5 if rng.random() < 0.5 else None,
            overall_diameter_mm=round(nominal.overall_diameter_mm + rng.uniform(-8, 6), 1),
        )
    if rng.random() < 0.3:  # a square shoulder
        s = mounted(wheel, tyre).section_width_mm
        tyre = replace(tyre, tread_width_mm=round(0.94 * s, 1), shoulder_drop_mm=6.0)
    if rng.random() < 0.2:
        tyre = replace(tyre, profile=_traced(wheel, tyre))
    return wheel, tyre


def random_feature(rng: Rng, place: str, kind: str, wheel: Wheel, tyre: Tyre) -> Feature:
    """A feature around the wheel: lip, panel, rail, lone points, caliper, strut tube."""
    size = mounted(wheel, tyre)
    centre = wheel.spacer_mm - wheel.offset_mm
    radius, half = size.tyre_radius_mm, size.section_width_mm / 2
    gap = float(rng.uniform(-10, 75))
    feature = partial(
        Feature,
        surface=HARD if rng.random() < 0.7 else SOFT,
        half_thickness_mm=float(rng.choice([0.0, 1.0, 6.0])),
        sigma_mm=_maybe(rng, 1.0, 3.0),
    )

    def cylinder(
        clocks: np.ndarray, radii: float, axial: float, wave: float
    ) -> tuple[SurveyPoint, ...]:
        return tuple(
            SurveyPoint(
                float(clock),
                float(max(20.0, radii + rng.uniform(-wave, wave))),
                float(axial + rng.uniform(-wave, wave)),
            )
            for clock in clocks
        )

    if place == "arch lip":
        clocks = np.sort(rng.uniform(-60, 60, int(rng.integers(3, 7))))
        points = cylinder(clocks, radius + gap + 25, centre + half - rng.uniform(-20, 30), 8)
        return feature(place, BODY, EDGE, points)
    if place == "inner panel":
        clocks = np.linspace(-70, 70, int(rng.integers(3, 7)))
        points = cylinder(clocks, radius - rng.uniform(5, 90), centre - half - gap - 15, 12)
        return feature(place, BODY, EDGE, points)
    if place == "frame rail":
        y = centre - half - gap - 30
        rail = ((-250.0, y - 10, 130.0), (rng.uniform(-20, 20), y, 140.0), (240.0, y + 6, 150.0))
        return feature(place, BODY, EDGE, xyz_mm=rail)
    if place == "liner":
        clocks = rng.uniform(-80, 80, int(rng.integers(2, 6)))
        points = cylinder(clocks, radius + gap + 30, centre + rng.uniform(-half, half), 15)
        return feature(place, BODY, POINTS, points)
    if place == "caliper":
        clocks = rng.uniform(60, 120, int(rng.integers(2, 5)))
        inner = size.rim_radius_mm - 14 - rng.uniform(-1, 14)
        points = cylinder(clocks, inner, -rng.uniform(2, 60), 3)
        shape = EDGE if rng.random() < 0.5 else POINTS
        return feature(place, KNUCKLE, shape, points)
    carrier = STRUT_BODY if kind == STRUT else KNUCKLE
    points = cylinder(np.array([-4.0, 2.0]), radius - 70, centre - half - gap - 8, 10)
    return feature("strut tube", carrier, EDGE, points)


PLACES = ("arch lip", "inner panel", "frame rail", "liner", "caliper", "strut tube")


def _corner(rng: Rng, kind: str, features: int | None) -> Corner:
    steered = kind != LINKS and rng.random() < 0.65
    camber, toe = float(rng.uniform(-1.8, 0.8)), float(rng.uniform(-0.2, 0.2))
    suspension = random_suspension(rng, kind, steered=steered)
    wheel, tyre = random_wheels(rng)
    limits = Limits(
        float(rng.uniform(50, 80)),
        float(rng.uniform(40, 80)),
        float(rng.uniform(25, 33)) if steered else 0.0,
        float(rng.uniform(28, 38)) if steered else 0.0,
    )
    names = PLACES if features is None else PLACES[:features]
    laid = [random_feature(rng, place, kind, wheel, tyre) for place in names]
    if rng.random() < 0.4:  # one place was read at lock or hanging
        steer = float(rng.choice([-1, 1]) * rng.uniform(5, 20)) if steered else 0.0
        laid[1] = replace(laid[1], taken_at=TakenAt(float(rng.uniform(-30, 25)), steer))
    compliance = None
    if rng.random() < 0.5:
        compliance = Compliance(
            float(rng.uniform(0.1, 0.6)), float(rng.uniform(-0.2, 0.1)), float(rng.uniform(0.3, 2))
        )
    return Corner(
        Survey(camber, toe, tuple(laid)),
        suspension,
        limits,
        random_plan(rng, suspension, camber),
        wheel,
        tyre,
        compliance,
    )


def _with_rod_and_sheet(corner: Corner, seed: int) -> Corner:
    """Some linked corners have a rod among their places, some a bump-steer sheet."""
    suspension, survey = corner.suspension, corner.survey
    if suspension.kind == CURVES:
        return corner
    if seed % 5 == 3:
        name = suspension.rod_names[(0, -1)[seed % 2]]
        rod = Feature("rod", LINK, EDGE, half_thickness_mm=9.0, link=name)
        corner = replace(corner, survey=replace(survey, features=(*survey.features, rod)))
    if seed % 7 == 5:
        rows = (
            TravelReading(-45.0, camber_deg=0.4, toe_deg=-0.15),
            TravelReading(0.0, camber_deg=0.0, toe_deg=0.0),
            TravelReading(40.0, toe_deg=0.2),
        )
        corner = replace(corner, suspension=replace(suspension, measured=MeasuredTravel(rows)))
    return corner


def _with_further_loads(corner: Corner, duty: Duty, seed: int) -> tuple[Corner, Duty]:
    """Two corners of three that give, give under braking too; what is drawn above stays as it was.

    A duty of its own brakes and has an inside wheel as often.
    """
    rng = np.random.default_rng([88, seed])
    give, brakes, inner = corner.compliance, rng.random() < 2 / 3, rng.random() < 2 / 3
    if give is not None and brakes:
        corner = replace(corner, compliance=replace(give, aft_mm_per_g=float(rng.uniform(1, 8))))
    if duty.name not in DUTIES:
        braking = float(rng.uniform(0.3, 1.2)) if brakes else 0.0
        duty = replace(duty, longitudinal_g=braking, inner=bool(inner))
    return corner, duty


def _duty(rng: Rng) -> Duty:
    duty = DUTIES[str(rng.choice(sorted(DUTIES)))]
    if rng.random() < 0.3:
        duty = replace(
            duty,
            name="own",
            envelope=((0.0, 1.0), (0.4, 0.9), (0.7, 0.85), (1.0, float(rng.uniform(0.3, 0.8)))),
            droop_fraction=float(rng.uniform(0.5, 1.0)),
            lateral_g=float(rng.uniform(0, 1.4)),
        )
    return duty


def _curves(rng: Rng, steered: bool) -> Suspension:
    gain, bend = rng.uniform(-0.03, -0.005), rng.uniform(-1.2e-4, 1.2e-4)
    bump_steer, scrub = rng.uniform(-0.006, 0.006), rng.uniform(-0.05, 0.05)
    table = tuple(
        CurveRow(
            t,
            gain * t + bend * t * t,
            bump_steer * t + 2e-5 * t * t,
            scrub * t - 4e-4 * t * t,
            0.02 * t,
        )
        for t in (-130.0, -80.0, -30.0, 0.0, 40.0, 90.0, 140.0)
    )
    axis = SteerAxis(_near(rng, (5, -75, -110), 15), rng.uniform(3, 8), rng.uniform(9, 14))
    pivots = {
        "top_mount": _near(rng, (5, -75, -110), 15),
        "lower_arm": _near(rng, (0, -150, 500), 40),
    }
    return Suspension(
        CURVES, table=table, steer_axis=axis if steered else None, camber_pivots=pivots
    )


def _traced(wheel: Wheel, tyre: Tyre) -> tuple[tuple[float, float], ...]:
    """A lop-sided profile as a gauge might trace it: eleven points, straight between them."""
    size = mounted(wheel, tyre)
    seat, high, s = size.rim_radius_mm, size.section_height_mm, size.section_width_mm
    rim = 25.4 * wheel.width_in
    half = [
        (rim / 2, seat),
        (s / 2 - 2, seat + 0.3 * high),
        (s / 2, seat + 0.5 * high),
        (s / 2 - 3, seat + 0.75 * high),
        (0.43 * s, seat + 0.93 * high),
        (0.0, seat + high),
    ]
    return (*half, *((-b - 1.5 * (0 < b < rim / 2), r) for b, r in half[-2::-1]))


def _joints(rng: Rng, where: dict[str, tuple[Vec3, float]]) -> dict[str, Vec3]:
    return {name: _near(rng, at, by) for name, (at, by) in where.items()}


def _near(rng: Rng, at: Vec3, by: float) -> Vec3:
    x, y, z = (float(part + rng.uniform(-by, by)) for part in at)
    return (x, y, z)


def _maybe(rng: Rng, low: float, high: float) -> float | None:
    return None if rng.random() < 0.5 else float(rng.uniform(low, high))


def square_section(wheel: Wheel, tyre: Tyre, points: int = 61) -> tuple[tuple[float, float], ...]:
    """A section as a shop traces it: square shoulders, a hollow under the bulge at the bead."""
    size = mounted(wheel, tyre)
    half, rim = size.section_width_mm / 2, 25.4 * wheel.width_in / 2
    seat, top = size.rim_radius_mm, size.tyre_radius_mm
    tall = top - seat
    corners = [
        (rim, seat),
        (rim + 0.2 * (half - rim), seat + 0.2 * tall),
        (half, seat + 0.5 * tall),
        (0.97 * half, seat + 0.85 * tall),
        (0.9 * half, top - 2.0),
        (0.0, top),
    ]
    side = corners + [(-b, r) for b, r in corners[-2::-1]]
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(side, axis=0).T))])
    at = np.linspace(0.0, length[-1], points)
    b, r = (np.interp(at, length, column) for column in np.array(side).T)
    return tuple((float(x), float(y)) for x, y in zip(b, r, strict=True))
