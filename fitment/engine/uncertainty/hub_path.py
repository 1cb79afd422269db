"""What measured curves leave unknown of the hub over travel.

A corner without joints is known by camber and toe at a few heights. Where the hub went sideways or
fore and aft nobody may have read: none is taken then, with an uncertainty that grows with travel.
Where a table states uncertainties of its own they count instead. Millimetres, degrees.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array
from alignment.geometry.model import CurveRow
from fitment.engine import defaults
from fitment.engine.defaults import DefaultSigma

if TYPE_CHECKING:
    from typing import Protocol

    from fitment.engine.minimum.closest import Closest
    from fitment.engine.minimum.setting import Setting
    from fitment.engine.solid.section import Section

    class Book(Protocol):
        """Hands out a stated uncertainty, or an assumed one and notes it."""

        def sigma(self, stated: float | None, default: DefaultSigma) -> float: ...


#: Steps of the central differences, mm and degrees.
STEP_MM, STEP_DEG = 1.0, 0.05
#: By column of the table: what its share of a doubt is called.
SOURCES: dict[str, str] = {
    "camber_deg": "camber over travel",
    "toe_deg": "toe over travel",
    "out_mm": "hub sideways over travel",
    "forward_mm": "hub fore and aft over travel",
}
GROWTH: dict[str, DefaultSigma] = {
    "out_mm": defaults.HUB_OUT,
    "forward_mm": defaults.HUB_FORWARD,
}


def over_travel(
    setting: Setting, section: Section, found: Closest, book: Book
) -> list[tuple[str, Array]]:
    """By source the share (mm, per feature) that unread or uncertain curves have in its doubt."""
    table = setting.corner.suspension.table
    if not table or not np.any(setting.room.moving):
        return []
    spots, envelope = found.spots, setting.envelope
    travel = envelope.travel(spots.steer, spots.share, spots.loaded)
    points, hub, spin = setting.room.seen(spots)
    moving = setting.room.moving[spots.which]

    def seen(shift: Array, camber_deg: float = 0.0, toe_deg: float = 0.0) -> Array:
        camber = frames.camber_of(spin) + np.radians(camber_deg)
        turned = frames.spin_axis(camber, frames.toe_of(spin) + np.radians(toe_deg))
        return section.distance(*frames.meridian(points, hub + shift, turned))

    still = np.zeros(3)
    slopes: dict[str, Callable[[float], Array]] = {
        "camber_deg": lambda h: seen(still, camber_deg=h),
        "toe_deg": lambda h: seen(still, toe_deg=h),
        "out_mm": lambda h: seen(np.array([0.0, h, 0.0])),
        "forward_mm": lambda h: seen(np.array([h, 0.0, 0.0])),
    }
    rows = []
    for column, gap in slopes.items():
        sigma = sigma_at(table, column, travel, book) * moving
        if np.any(sigma > 0):
            step = STEP_DEG if column.endswith("_deg") else STEP_MM
            rows.append((SOURCES[column], (gap(step) - gap(-step)) / (2 * step) * sigma))
    return rows


def sigma_at(table: Sequence[CurveRow], column: str, travel: Array, book: Book) -> Array:
    """Standard uncertainty of one column at travels (n,), straight between the rows.

    None at the survey height itself, from which changes are counted.
    """
    at = np.array([row.travel_mm for row in table])
    rows = np.array([_of_row(row, column, book) for row in table])
    return np.asarray(np.interp(travel, at, rows), float)


def _of_row(row: CurveRow, column: str, book: Book) -> float:
    if row.travel_mm == 0:
        return 0.0
    stated: float | None = getattr(row.sigma, column)
    if stated is not None:
        return stated
    if column not in row.unread:
        return 0.0
    return book.sigma(None, GROWTH[column]) * abs(row.travel_mm)
