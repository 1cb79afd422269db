"""Usual curves of kinds of suspension: a start where a wheel's movement was not measured.

To look at and never to book on: a corner that stands on them is unmeasured. Every figure is
from memory, without a source, and its uncertainty is meant to hold most cars of the kind.
Changes from the survey height in millimetres and degrees, bump positive; camber negative with the
top inboard, toe positive with the front edge inboard, out and forward positive.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from alignment.geometry.model import CURVES

SOURCE = "from memory, no source"
#: Travels of the rows, mm, and the steering axis that front corners are given.
TRAVELS_MM = (-120.0, -80.0, -40.0, 0.0, 40.0, 80.0, 120.0)
#: Droop where the height of the hanging wheel was not read, mm.
DROOP_MM = 60.0
AXIS = {"point": [0.0, -85.0, 0.0], "caster_deg": 5.5, "inclination_deg": 12.5}


@dataclass(frozen=True)
class Typical:
    """One kind: change per mm of travel (camber also per mm²), and sigma per mm of travel.

    ``radius_mm`` is how long the arms are that carry the hub inwards as they rise and fall.
    """

    camber: float
    camber_bend: float
    toe: float
    radius_mm: float
    sigma_camber: float
    sigma_toe: float
    sigma_out: float
    sigma_forward: float

    def row(self, travel: float) -> dict[str, Any]:
        """The row of a table at one travel."""
        away = abs(travel)
        return {
            "travel_mm": travel,
            "camber_deg": round(self.camber * travel + self.camber_bend * travel**2, 3),
            "toe_deg": round(self.toe * travel, 3),
            "out_mm": round(-(travel**2) / (2 * self.radius_mm), 2) if self.radius_mm else 0.0,
            "forward_mm": 0.0,
            "sigma": {
                "camber_deg": round(self.sigma_camber * away, 3),
                "toe_deg": round(self.sigma_toe * away, 3),
                "out_mm": round(self.sigma_out * away, 2),
                "forward_mm": round(self.sigma_forward * away, 2),
            },
        }


KINDS: Mapping[str, Typical] = {
    "a strut front": Typical(-0.012, 1.0e-4, -0.002, 340, 0.012, 0.006, 0.06, 0.05),
    "a double-wishbone front": Typical(-0.022, -5e-5, -0.002, 330, 0.010, 0.006, 0.06, 0.05),
    "a strut rear": Typical(-0.014, 1.0e-4, 0.003, 380, 0.012, 0.006, 0.06, 0.06),
    "a multi-link rear": Typical(-0.022, -5e-5, 0.003, 380, 0.010, 0.006, 0.06, 0.06),
    "a trailing-arm rear": Typical(0.0, 0.0, 0.0, 0, 0.006, 0.004, 0.02, 0.10),
    "a beam axle rear": Typical(0.0, 0.0, 0.0, 0, 0.006, 0.003, 0.04, 0.08),
}
FRONTS = tuple(name for name in KINDS if name.endswith("front"))


def suspension_of(name: str, *, steered: bool) -> dict[str, Any]:
    """A check file's ``suspension`` from a kind of :data:`KINDS`; KeyError without one."""
    kind = KINDS[name]
    document: dict[str, Any] = {
        "kind": CURVES,
        "typical": name,
        "table": [kind.row(travel) for travel in TRAVELS_MM],
    }
    if steered:
        document["steer_axis"] = dict(AXIS)
    return document
