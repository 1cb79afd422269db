"""Corners that no car has, each with what must be said of it.

``CASES`` maps a name to a check file's content and to words that its refusal holds; None where the
corner, strange as it is, has an answer.
"""

from __future__ import annotations

from typing import Any

from tests.engine.files import CURVES, LINKS, STRUT, document, put, wishbones_name

WISHBONES = wishbones_name()
Case = tuple[Any, tuple[str, ...] | None]


def corner_of(tree: Any) -> Any:
    (corner,) = tree["corners"].values()
    return corner


def spoilt(name: str, *changes: tuple[str, object], duty: object = None) -> Any:
    """An example with changes to its corner, by path."""
    tree = document(name)
    for path, value in changes:
        put(corner_of(tree), path, value)
    return tree if duty is None else tree | {"duty": duty}


def joint(name: str, which: str, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> list[float]:
    """A joint of an example, moved by so much."""
    at = corner_of(document(name))["suspension"][which]
    return [at[0] + x, at[1] + y, at[2] + z]


def rods(*rows: tuple[str, float, float], length: float = 300.0) -> list[dict[str, Any]]:
    """Rods across the car at (x, z), the last of which sets the toe."""
    return [
        {"name": n, "inner": [x, -100 - length, z], "outer": [x, -100, z], "toe": n == rows[-1][0]}
        for n, x, z in rows
    ]


def planned(camber: float, by: str) -> list[tuple[str, object]]:
    return [("planned.camber_deg", camber), ("planned.camber_by", by)]


FIRST_ROD = corner_of(document(LINKS))["suspension"]["links"][0]["name"]
LOADED = {"name": "x", "envelope": [[0, 1], [1, 1]], "lateral_g": 4}
SHEET = [{"travel_mm": at, "toe_deg": -at / 50} for at in (-5, 0, 5)]

CASES: dict[str, Case] = {
    # Rods too short, arms over centre
    "tie rod without length": (
        spoilt(STRUT, ("suspension.tie_inner", joint(STRUT, "tie_outer", y=-9))),
        ("suspension.tie_outer: lies on tie_inner",),
    ),
    "tie rod of 12 mm": (
        spoilt(STRUT, ("suspension.tie_inner", joint(STRUT, "tie_outer", y=-12))),
        ("the tie rod or toe link stops it", "of steering at static height"),
    ),
    "tie rod of 25 mm": (
        spoilt(STRUT, ("suspension.tie_inner", joint(STRUT, "tie_outer", y=-25))),
        ("the tie rod or toe link stops it", "mm of travel"),
    ),
    "front of the arm 15 mm long": (
        spoilt(STRUT, ("suspension.lower_arm_front", joint(STRUT, "lower_ball_joint", x=15))),
        ("the lower arm, front rod stops it", "of steering at static height"),
    ),
    "an arm of 40 mm": (
        spoilt(
            STRUT,
            ("suspension.lower_arm_front", joint(STRUT, "lower_ball_joint", x=100, y=-40)),
            ("suspension.lower_arm_rear", joint(STRUT, "lower_ball_joint", x=-100, y=-40)),
        ),
        ("the lock is at the end of the linkage", "mm of travel from static height"),
    ),
    "an arm that hangs from above": (
        spoilt(
            STRUT,
            ("suspension.lower_arm_front", joint(STRUT, "lower_ball_joint", x=100, z=300)),
            ("suspension.lower_arm_rear", joint(STRUT, "lower_ball_joint", x=-100, z=300)),
        ),
        ("the lower arm, rear rod stops it",),
    ),
    "ball joint on the arm's own axis": (
        spoilt(
            STRUT,
            ("suspension.lower_arm_front", joint(STRUT, "lower_ball_joint", x=100)),
            ("suspension.lower_arm_rear", joint(STRUT, "lower_ball_joint", x=-100)),
        ),
        ("lies on the bush axis of the lower arm",),
    ),
    "tie rod end on the steering axis": (
        spoilt(STRUT, ("suspension.tie_outer", joint(STRUT, "lower_ball_joint", x=-1, z=20))),
        ("stops it after", "of steering at static height"),
    ),
    "five rods side by side": (
        spoilt(
            LINKS,
            (
                "suspension.links",
                rods(
                    ("a", 100, -100),
                    ("b", -100, -100),
                    ("c", 100, 100),
                    ("d", -100, 100),
                    ("e", 0, 0),
                ),
            ),
        ),
        ("the planned setting", "stops it after 0 %"),
    ),
    "all joints at one height": (
        spoilt(
            WISHBONES,
            *(
                (f"suspension.{name}", [at[0], at[1], 0.0])
                for name, at in corner_of(document(WISHBONES))["suspension"].items()
                if isinstance(at, list)
            ),
        ),
        ("the planned setting", "stops it after 0 %"),
    ),
    "a strut that lies down": (
        spoilt(STRUT, ("suspension.strut_top", joint(STRUT, "strut_lower", y=-300, z=1))),
        ("stops it after",),
    ),
    "a strut upside down": (
        spoilt(
            STRUT,
            ("suspension.strut_top", joint(STRUT, "strut_lower")),
            ("suspension.strut_lower", joint(STRUT, "strut_top")),
        ),
        ("suspension.strut_top: lies below strut_lower",),
    ),
    "wishbones upside down": (
        spoilt(
            WISHBONES,
            ("suspension.upper_ball_joint", joint(WISHBONES, "lower_ball_joint")),
            ("suspension.lower_ball_joint", joint(WISHBONES, "upper_ball_joint")),
        ),
        ("suspension.upper_ball_joint: lies below lower_ball_joint",),
    ),
    # Lock and travel beyond the linkage
    "lock of 70° on a strut": (
        spoilt(STRUT, ("limits.steer_out_deg", 70), ("limits.steer_in_deg", 70)),
        ("70.0° of steering", "the tie rod or toe link stops it"),
    ),
    "lock of 60° on wishbones": (
        spoilt(WISHBONES, ("limits.steer_out_deg", 60), ("limits.steer_in_deg", 60)),
        ("60.0° of steering", "the tie rod or toe link stops it"),
    ),
    "lock of 90°": (spoilt(STRUT, ("limits.steer_out_deg", 90)), ("limits.steer_out_deg",)),
    "bump of 350 mm": (
        spoilt(STRUT, ("limits.bump_mm", 350)),
        ("the lock is at the end of the linkage", "mm of travel from static height"),
    ),
    "droop of 390 mm on five links": (
        spoilt(LINKS, ("limits.droop_mm", 390)),
        ("mm of travel from static height", "stops it after"),
    ),
    "lock and travel at once": (
        spoilt(
            STRUT, ("limits.steer_out_deg", 69), ("limits.droop_mm", 399), ("limits.bump_mm", 399)
        ),
        ("69.0° of steering", "stops it"),
    ),
    "a reading taken at 300 mm of travel": (
        spoilt(STRUT, ("survey.features[0].taken_at", {"travel_mm": 300, "steer_deg": 0})),
        ("+300.0 mm of travel", "stops it"),
    ),
    "a sheet of 5 mm that stands instead of the model": (
        spoilt(STRUT, ("suspension.measured", {"use": "instead", "rows": SHEET})),
        ("beyond the measured sheet (−5.0 mm to +5.0 mm)",),
    ),
    "curves that end before the stops": (
        spoilt(CURVES, ("limits.bump_mm", 150)),
        ("suspension.table: covers travel", "never drawn on"),
    ),
    # Heights and packers
    "200 mm higher": (
        spoilt(STRUT, ("planned.adjusters", {"ride_height_mm": 200})),
        ("below the droop stop",),
    ),
    "200 mm lower": (
        spoilt(STRUT, ("planned.adjusters", {"ride_height_mm": -200}), ("limits.bump_mm", 390)),
        ("stops it after",),
    ),
    "a packer longer than the bump": (
        spoilt(STRUT, ("planned.adjusters", {"bump_stop_mm": 150})),
        ("puts the hub at 0 mm", "would rest on its stops"),
    ),
    # Settings that no adjuster gives
    "20° of camber by the upper arm": (
        spoilt(WISHBONES, *planned(-20, "upper_arm")),
        ("the lock is at the end of the linkage", "°"),
    ),
    "20° of camber by one rod": (
        spoilt(LINKS, *planned(-20, f"rod:{FIRST_ROD}")),
        ("stops it after",),
    ),
    "45° of camber": (spoilt(STRUT, *planned(-45, "top_mount")), ("planned.camber_deg",)),
    "30° of toe": (spoilt(STRUT, ("planned.toe_deg", 30)), ("planned.toe_deg",)),
    "a tyre traced through itself": (
        spoilt(STRUT, ("tyre.profile", [[-100, 200], [100, 320], [100, 200], [-100, 320]])),
        ("tyre.profile: crosses itself",),
    ),
    # Strange, and answered
    "20° of camber by the top mount": (spoilt(STRUT, *planned(-20, "top_mount")), None),
    "20° of camber by the lower arm": (spoilt(STRUT, *planned(20, "lower_arm")), None),
    "a tie rod arm of 15 mm": (
        spoilt(STRUT, ("suspension.tie_outer", joint(STRUT, "lower_ball_joint", x=-15, z=30))),
        None,
    ),
    "an edge through the hub": (
        spoilt(
            STRUT,
            (
                "survey.features[0]",
                {
                    "place": "bar",
                    "carried_by": "body",
                    "shape": "edge",
                    "xyz_mm": [[-300, 0, 0], [300, 0, 0]],
                },
            ),
        ),
        None,
    ),
    "20 mm/g of give at 4 g": (
        spoilt(
            STRUT,
            (
                "compliance",
                {"camber_deg_per_g": 5, "toe_deg_per_g": 5, "lateral_mm_per_g": 20},
            ),
            duty=LOADED,
        ),
        None,
    ),
    "no travel and no lock used": (
        spoilt(STRUT, duty={"name": "x", "envelope": [[0, 0], [1, 0]], "droop_fraction": 0}),
        None,
    ),
}
REFUSED = {name: case for name, case in CASES.items() if case[1] is not None}
ANSWERED = {name: case for name, case in CASES.items() if case[1] is None}
