"""Invented cars for the demonstration and for tests, measured all round.

Two car models: a coupé on struts in front and behind whose rear arches are close, and an
estate on double wishbones and five links whose front liner is near at full lock.
Millimetres and degrees, as in a check file.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

Document = dict[str, Any]
Row = tuple[float, float, float]


def feature(
    place: str,
    rows: Sequence[Row],
    *,
    carried_by: str = "body",
    shape: str = "edge",
    surface: str = "hard",
    half: float = 0.0,
    sigma: float = 2.0,
    turned_in: float | None = None,
) -> Document:
    """A place from rows of clock angle, radius and axial."""
    lip = {} if turned_in is None else {"turned_in_mm": turned_in}
    return lip | {
        "place": place,
        "carried_by": carried_by,
        "shape": shape,
        "surface": surface,
        "half_thickness_mm": half,
        "sigma_mm": sigma,
        "points": [
            {"clock_deg": clock, "radius_mm": radius, "axial_mm": axial}
            for clock, radius, axial in rows
        ],
    }


def straight(place: str, ends: Sequence[Row], **values: Any) -> Document:
    """A place along straight lines through x, y, z."""
    document = feature(place, (), **values)
    del document["points"]
    document["xyz_mm"] = [list(end) for end in ends]
    return document


def tube(place: str, rod: str, *, radius: float) -> Document:
    """A rod as a tube between its joints, which moves with them."""
    return {
        "place": place,
        "carried_by": "link",
        "link": rod,
        "shape": "edge",
        "surface": "hard",
        "half_thickness_mm": radius,
        "sigma_mm": 2.0,
    }


#: Below bumper and sill there is the ground: looked at, and nothing there.
BELOW: list[Document] = [
    {"side": side, "from_deg": 112, "to_deg": 248, "beyond_mm": 80}
    for side in ("outboard", "inboard")
]

STRUT_FRONT: Document = {
    "survey": {
        "setting": {"camber_deg": -1.4, "toe_deg": 0.05},
        "open": BELOW,
        "features": [
            feature(
                "arch lip",
                [
                    (-112, 412, 56),
                    (-75, 376, 70),
                    (-45, 371, 84),
                    (0, 368, 90),
                    (45, 372, 86),
                    (75, 379, 74),
                    (112, 416, 58),
                ],
                half=2.0,
                sigma=1.5,
            ),
            feature(
                "arch liner",
                [
                    (-112, 432, -60),
                    (-85, 412, -60),
                    (-40, 408, -60),
                    (0, 405, -60),
                    (40, 408, -60),
                    (85, 412, -60),
                    (112, 434, -60),
                ],
                surface="soft",
            ),
            feature(
                "inner panel",
                [
                    (-85, 355, -352),
                    (-45, 335, -318),
                    (0, 350, -262),
                    (45, 335, -318),
                    (85, 355, -352),
                ],
                surface="soft",
                sigma=2.5,
            ),
            straight("frame rail", [(-300, -372, 40), (300, -368, 55)], half=4.0),
            straight(
                "strut tube",
                [(-15, -186, 110), (-33, -222, 330)],
                carried_by="strut",
                half=25.0,
                sigma=1.0,
            ),
            feature(
                "brake caliper",
                [(-95, 194, -62), (-95, 186, -28), (-75, 196, -55), (-75, 184, -26)],
                carried_by="knuckle",
                shape="points",
                sigma=1.0,
            ),
        ],
    },
    "suspension": {
        "kind": "strut",
        "strut_top": [-42, -238, 430],
        "strut_lower": [-12, -178, 62],
        "lower_ball_joint": [6, -92, -96],
        "lower_arm_front": [12, -425, -74],
        "lower_arm_rear": [-255, -430, -82],
        "tie_outer": [-128, -122, -52],
        "tie_inner": [-134, -459, -38],
        "reach": {"toe_link_mm": [-14, 14]},
    },
    "limits": {"bump_mm": 62, "droop_mm": 60, "steer_in_deg": 33, "steer_out_deg": 37},
    "compliance": {"camber_deg_per_g": 0.4, "toe_deg_per_g": -0.08, "lateral_mm_per_g": 1.5},
}

STRUT_REAR: Document = {
    "survey": {
        "setting": {"camber_deg": -1.1, "toe_deg": 0.1},
        "features": [
            feature(
                "arch lip",
                [(-75, 372, 84), (-45, 366, 96), (0, 362, 101), (45, 366, 97), (75, 373, 86)],
                half=2.0,
                sigma=1.5,
                turned_in=14.0,
            ),
            feature(
                "inner panel",
                [
                    (-80, 362, -205),
                    (-40, 352, -212),
                    (0, 348, -218),
                    (40, 352, -212),
                    (80, 362, -205),
                ],
                surface="soft",
                sigma=2.5,
            ),
            straight(
                "strut tube",
                [(6, -190, 95), (14, -222, 320)],
                carried_by="strut",
                half=24.0,
                sigma=1.0,
            ),
            feature(
                "brake caliper",
                [(70, 176, -58), (70, 172, -24), (90, 176, -58), (90, 172, -24)],
                carried_by="knuckle",
                shape="points",
                sigma=1.0,
            ),
        ],
    },
    "suspension": {
        "kind": "strut",
        "strut_top": [18, -238, 440],
        "strut_lower": [4, -186, 70],
        "lower_ball_joint": [0, -96, -98],
        "lower_arm_front": [205, -420, -82],
        "lower_arm_rear": [-30, -425, -90],
        "tie_outer": [-124, -100, -60],
        "tie_inner": [-126, -458, -52],
        "reach": {"toe_link_mm": [-9, 9]},
    },
    "limits": {"bump_mm": 66, "droop_mm": 62},
    "compliance": {"camber_deg_per_g": 0.35, "toe_deg_per_g": 0.04, "lateral_mm_per_g": 1.2},
}

WISHBONES_FRONT: Document = {
    "survey": {
        "setting": {"camber_deg": -0.4, "toe_deg": 0.08},
        "open": BELOW,
        "features": [
            feature(
                "arch lip",
                [
                    (-112, 414, 66),
                    (-75, 376, 84),
                    (-45, 370, 97),
                    (0, 367, 104),
                    (45, 371, 99),
                    (75, 379, 87),
                    (112, 418, 68),
                ],
                half=2.0,
                sigma=1.5,
            ),
            feature(
                "inner panel",
                [
                    (-112, 425, -352),
                    (-85, 365, -360),
                    (-45, 345, -330),
                    (0, 365, -275),
                    (45, 345, -330),
                    (85, 365, -360),
                    (112, 428, -352),
                ],
                surface="soft",
                sigma=2.5,
            ),
            feature(
                "arch liner",
                [
                    (-128, 396, -66),
                    (-115, 380, -72),
                    (-102, 371, -74),
                    (-90, 370, -74),
                    (-78, 376, -72),
                    (-66, 392, -66),
                ],
                surface="soft",
                half=1.5,
            ),
            straight("frame rail", [(-300, -392, 35), (300, -388, 50)], half=4.0),
            straight(
                "upper ball joint",
                [(-20, -128, 150), (-20, -150, 158)],
                carried_by="knuckle",
                half=16.0,
                sigma=1.0,
            ),
            feature(
                "brake caliper",
                [(-95, 178, -60), (-95, 172, -28), (-75, 180, -54), (-75, 170, -26)],
                carried_by="knuckle",
                shape="points",
                sigma=1.0,
            ),
        ],
    },
    "suspension": {
        "kind": "wishbones",
        "lower_ball_joint": [8, -88, -132],
        "lower_arm_front": [148, -428, -112],
        "lower_arm_rear": [-236, -430, -120],
        "upper_ball_joint": [-22, -136, 152],
        "upper_arm_front": [112, -348, 161],
        "upper_arm_rear": [-116, -352, 134],
        "tie_outer": [-132, -114, -72],
        "tie_inner": [-140, -390, -64],
        "reach": {
            "toe_link_mm": [-12, 12],
            "lower_arm_out_mm": [0, 9],
            "upper_arm_in_mm": [-8, 8],
        },
    },
    "limits": {"bump_mm": 64, "droop_mm": 66, "steer_in_deg": 32, "steer_out_deg": 36},
    "compliance": {"camber_deg_per_g": 0.25, "toe_deg_per_g": -0.06, "lateral_mm_per_g": 1.0},
}

LINKS_REAR: Document = {
    "survey": {
        "setting": {"camber_deg": -1.3, "toe_deg": 0.12},
        "features": [
            feature(
                "arch lip",
                [(-75, 376, 92), (-45, 369, 102), (0, 366, 107), (45, 369, 103), (75, 377, 94)],
                half=2.0,
                sigma=1.5,
            ),
            feature(
                "inner panel",
                [
                    (-80, 364, -216),
                    (-40, 355, -222),
                    (0, 352, -228),
                    (40, 355, -222),
                    (80, 364, -216),
                ],
                surface="soft",
                sigma=2.5,
            ),
            tube("toe link", "toe link", radius=8.0),
            feature(
                "brake caliper",
                [(70, 166, -58), (70, 162, -24), (90, 166, -58), (90, 162, -24)],
                carried_by="knuckle",
                shape="points",
                sigma=1.0,
            ),
        ],
    },
    "suspension": {
        "kind": "links",
        "links": [
            {"name": "lower front", "inner": [172, -428, -88], "outer": [20, -112, -130]},
            {"name": "lower rear", "inner": [-110, -424, -100], "outer": [-46, -110, -128]},
            {"name": "upper front", "inner": [66, -356, 140], "outer": [16, -136, 138]},
            {"name": "upper rear", "inner": [-104, -360, 149], "outer": [-38, -128, 137]},
            {
                "name": "toe link",
                "inner": [-162, -406, -2],
                "outer": [-140, -102, -24],
                "toe": True,
            },
        ],
        "reach": {"toe_link_mm": [-6, 6], "rod:upper front": [-4, 4], "rod:upper rear": [-4, 4]},
    },
    "limits": {"bump_mm": 62, "droop_mm": 60},
    "compliance": {"camber_deg_per_g": 0.3, "toe_deg_per_g": 0.03, "lateral_mm_per_g": 0.8},
}
