"""The corners that are timed: ordinary ones, on a street duty, with every place clear.

A steered strut with three edges (arch lip, inner panel, rail) and lone points; the same
numbers every time. Every repetition differs a little in camber and offset, so that nothing that
was kept from the last one can be used again.
"""

from __future__ import annotations

from dataclasses import replace

from alignment.geometry.model import Adjusters, Compliance, Limits, Planned, Suspension
from fitment.engine.defaults import STREET
from fitment.engine.model import (
    BODY,
    EDGE,
    KNUCKLE,
    Check,
    Corner,
    Feature,
    Survey,
    SurveyPoint,
    Tyre,
    Wheel,
)

LIP = tuple(
    SurveyPoint(clock, radius, axial)
    for clock, radius, axial in (
        (-60.0, 402.0, 68.0),
        (-30.0, 388.0, 82.0),
        (0.0, 384.0, 88.0),
        (30.0, 389.0, 81.0),
        (60.0, 404.0, 66.0),
    )
)
PANEL = tuple(
    SurveyPoint(clock, 300.0 + 0.2 * abs(clock), -262.0)
    for clock in (-70.0, -35.0, 0.0, 35.0, 70.0)
)
RAIL = ((-260.0, -335.0, 190.0), (0.0, -322.0, 198.0), (250.0, -335.0, 202.0))
STRUT = Suspension(
    "strut",
    joints={
        "strut_top": (-32.0, -168.0, 545.0),
        "strut_lower": (-6.0, -104.0, 96.0),
        "lower_ball_joint": (8.0, -72.0, -112.0),
        "lower_arm_front": (22.0, -392.0, -94.0),
        "lower_arm_rear": (-268.0, -378.0, -90.0),
        "tie_outer": (-134.0, -86.0, -66.0),
        "tie_inner": (-146.0, -396.0, -54.0),
    },
)


def strut_corner(points: int = 20, *, steered: bool = True, loaded: bool = True) -> Corner:
    """A front corner with three edges and this many lone points."""
    marks = tuple(
        SurveyPoint(
            -80.0 + 160.0 * i / max(points - 1, 1), 392.0 + 3.0 * (i % 5), -90.0 + 7 * (i % 9)
        )
        for i in range(points)
    )
    caliper = tuple(SurveyPoint(75.0 + 15 * i, 172.0, -24.0 - 12 * i) for i in range(3))
    features = (
        Feature("arch lip", BODY, EDGE, LIP, half_thickness_mm=1.0, sigma_mm=1.5),
        Feature("inner panel", BODY, EDGE, PANEL),
        Feature("frame rail", BODY, EDGE, xyz_mm=RAIL),
        *((Feature("liner", BODY, points=marks, surface="soft"),) if points else ()),
        Feature("caliper", KNUCKLE, points=caliper),
    )
    return Corner(
        Survey(-1.0, 0.05, features),
        STRUT,
        Limits(60.0, 60.0, 30.0 if steered else 0.0, 36.0 if steered else 0.0),
        Planned(0.05, -2.3, "top_mount", Adjusters(ride_height_mm=-15.0)),
        Wheel(17, 8.0, 42.0, barrel_mm=12.0, spoke_back=((2.0, 60.0), (6.0, 190.0))),
        Tyre("225/45R17", section_width_mm=228.0, measuring_rim_in=7.5, overall_diameter_mm=634.0),
        Compliance(0.4, -0.1, 1.5) if loaded else None,
    )


def check_of(corner: Corner, turn: int = 0, corners: tuple[str, ...] = ("LF",)) -> Check:
    """A check of such corners, its camber and offset shifted a little for every ``turn``."""
    camber = (corner.planned.camber_deg or 0.0) + 1e-4 * turn
    shifted = replace(
        corner,
        planned=replace(corner.planned, camber_deg=camber),
        wheel=replace(corner.wheel, offset_mm=corner.wheel.offset_mm + 1e-3 * turn),
    )
    each = {
        name: replace(
            shifted, wheel=replace(shifted.wheel, offset_mm=shifted.wheel.offset_mm + 0.1 * i)
        )
        for i, name in enumerate(corners)
    }
    return Check("benchmark", STREET, each)
