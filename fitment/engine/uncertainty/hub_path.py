"""What measured curves leave unknown of the hub over travel.

A corner without joints is known by camber and toe at a few heights, each row with an error of its
own where one is stated. Where the hub went sideways may not be read: the arc of a level arm is
taken then, half of it uncertain; fore and aft none is taken, with an uncertainty that grows with
travel. Either is one unknown for the whole path, for the arm that makes it is one. Millimetres,
degrees.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Flags
from alignment.geometry.model import CurveRow, level_arm_out_mm
from fitment.engine import defaults
from fitment.engine.minimum.setting import Setting
from fitment.engine.uncertainty.inputs import SURVEY, Inputs, Ledger
from fitment.engine.uncertainty.moments import LinearMoments

#: By column of the table: what its share of an uncertainty is called.
SOURCES: dict[str, str] = {
    "camber_deg": "camber over travel",
    "toe_deg": "toe over travel",
    "out_mm": "hub sideways over travel",
    "forward_mm": "hub fore and aft over travel",
}


def hub_path_inputs(setting: Setting, moments: LinearMoments, ledger: Ledger) -> list[Inputs]:
    """Inputs of the curves; none where they were read, or where joints are known instead."""
    table = setting.corner.suspension.table
    moving = setting.room.moving[moments.which]
    if not table or not moving.any():
        return []
    spots, envelope = moments.spots, setting.envelope
    travel = envelope.travel(spots.steer, spots.share, spots.loaded)
    static = np.full(len(travel), envelope.static_travel)
    camber, toe = frames.camber_of(moments.spin), frames.toe_of(moments.spin)
    by_camber, by_toe = moments.tilt(camber, toe)
    slopes = {
        "camber_deg": np.radians(by_camber),
        "toe_deg": np.radians(by_toe),
        "out_mm": -moments.push[:, 1],
        "forward_mm": -moments.push[:, 0],
    }
    blocks = []
    for column, slope in slopes.items():
        keys, change = changes_at(table, column, travel, ledger)
        if not keys:
            continue
        if column == "toe_deg" or (
            column == "camber_deg" and setting.corner.planned.camber_deg is not None
        ):  # at static height it is what was planned
            change = change - changes_at(table, column, static, ledger)[1]
        mm = slope[:, None] * change * moving[:, None]
        source = SOURCES[column]
        blocks.append(Inputs(source, SURVEY, tuple((source, table, key) for key in keys), mm))
    return blocks


def changes_at(
    table: Sequence[CurveRow], column: str, travel: Array, ledger: Ledger
) -> tuple[tuple[Hashable, ...], Array]:
    """Unknowns of one column, and what one standard deviation of each adds at travels, (n, k).

    A row's own error fades to nothing at the rows beside it, and at the survey height, from
    which changes are counted; what was not read is one unknown.
    """
    at = np.array([row.travel_mm for row in table])
    keys: list[Hashable] = []
    columns = []
    for index, row in enumerate(table):
        stated: float | None = getattr(row.sigma, column)
        if stated and row.travel_mm:
            keys.append(index)
            columns.append(np.interp(travel, at, stated * (np.arange(len(at)) == index)))
    unread = np.array([_is_unread(row, column) for row in table])
    if unread.any():
        keys.append("unread")
        columns.append(_unread(table, column, unread, travel, ledger))
    if not keys:
        return (), np.zeros((len(travel), 0))
    return tuple(keys), np.stack(columns, axis=-1)


def _is_unread(row: CurveRow, column: str) -> bool:
    return column in row.unread and getattr(row.sigma, column) is None and row.travel_mm != 0


def _unread(
    table: Sequence[CurveRow], column: str, unread: Flags, travel: Array, ledger: Ledger
) -> Array:
    """One standard deviation (mm) of where the hub went at travels (n,), where not read."""
    at = np.array([row.travel_mm for row in table])
    if column == "forward_mm":
        rows = ledger.sigma(None, defaults.HUB_FORWARD) * at * unread
        return np.asarray(np.interp(travel, at, rows), float)
    share = ledger.sigma(None, defaults.HUB_OUT)
    if all(unread | (at == 0)):
        return share * level_arm_out_mm(travel)
    return np.asarray(np.interp(travel, at, share * level_arm_out_mm(at) * unread), float)
