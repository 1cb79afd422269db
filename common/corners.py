"""The corners and axles of a car: their keys in files and tables, and their English names.

Left and right are the driver's, looking forward.
"""

from __future__ import annotations

from collections.abc import Mapping

FRONT, REAR = "front", "rear"

#: The axles in the order in which people read them, with their names.
AXLE_NAMES: Mapping[str, str] = {FRONT: "front axle", REAR: "rear axle"}
AXLES: tuple[str, ...] = tuple(AXLE_NAMES)

#: The corners in the order in which people read them, with their names.
CORNER_NAMES: Mapping[str, str] = {
    "LF": "front left",
    "RF": "front right",
    "LR": "rear left",
    "RR": "rear right",
}
CORNERS: tuple[str, ...] = tuple(CORNER_NAMES)

#: The corners of an axle, left first.
AXLE_CORNERS: Mapping[str, tuple[str, str]] = {FRONT: ("LF", "RF"), REAR: ("LR", "RR")}

#: The corner on the other side of the same axle.
OTHER_SIDE: Mapping[str, str] = {"LF": "RF", "RF": "LF", "LR": "RR", "RR": "LR"}

_AXLE_OF = {corner: axle for axle, pair in AXLE_CORNERS.items() for corner in pair}


def axle_of(corner: str) -> str:
    """The axle that a corner belongs to. Raises KeyError for what is no corner."""
    return _AXLE_OF[corner]


def is_left(corner: str) -> bool:
    """Whether a corner is on the left side. Raises KeyError for what is no corner."""
    return AXLE_CORNERS[_AXLE_OF[corner]][0] == corner
