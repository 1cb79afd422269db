"""Reading a corner's suspension: joints, rods or curves, and what its adjusters can reach."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from alignment.geometry.kinds import (
    ADJUSTERS,
    CURVES,
    JOINTS,
    KINDS,
    LINKS,
    ROD_PREFIX,
    kind_of,
)
from alignment.geometry.model import (
    CurveRow,
    CurveSigma,
    FittedTo,
    MeasuredTravel,
    Rod,
    SteerAxis,
    Suspension,
    TravelReading,
)
from fitment.engine.checkfile import plausible
from fitment.engine.checkfile.reader import Node, Table, Vec3, show

#: Columns of curves that may be left out: where the hub went was not read.
CURVE_SHIFTS = ("out_mm", "forward_mm")
#: What a bump-steer sheet does to the model.
SHEET_USES = ("correct", "instead")


def read_suspension(suspension: Table) -> Suspension:
    with suspension:
        kind = suspension.choice("kind", KINDS)
        joints = {name: suspension.point(name, plausible.PLACE) for name in JOINTS.get(kind, ())}
        _refuse_short_rods(suspension, kind, joints)
        _refuse_upside_down(suspension, kind, joints)
        pivot = suspension.maybe("knuckle_pivot") if kind_of(kind).has_strut else None
        links = _links(suspension) if kind == LINKS else ()
        curves = kind == CURVES
        if not kind:
            _ask_for_everything(suspension)
        return Suspension(
            kind=kind,
            joints=joints,
            knuckle_pivot=pivot.point(plausible.PLACE) if pivot else None,
            links=links,
            table=_curve_table(suspension) if curves else (),
            steer_axis=_steer_axis(suspension) if curves else None,
            camber_pivots=_camber_pivots(suspension) if curves else {},
            reach=_reach(suspension, kind, links),
            measured=_measured(suspension),
            typical=_typical(suspension) if curves else "",
            sigma_joints_mm=None
            if curves
            else suspension.maybe_number("sigma_joints_mm", plausible.SIGMA_MM),
            fitted=None if curves else _fitted(suspension),
        )


def _ask_for_everything(suspension: Table) -> None:
    """Without a kind it is open which keys belong, so none is called unknown."""
    suspension.asked.update(suspension.content)


def _refuse_short_rods(suspension: Table, kind: str, joints: dict[str, Vec3]) -> None:
    for start, end, what in kind_of(kind).apart:
        if math.dist(joints[start], joints[end]) < plausible.SHORTEST_ROD_MM:
            suspension.problem(end, f"lies on {start}, so {what} has no length")
    for arm in kind_of(kind).arms:
        front, rear = joints[f"{arm}_arm_front"], joints[f"{arm}_arm_rear"]
        if _from_line(joints[f"{arm}_ball_joint"], front, rear) < plausible.SHORTEST_ROD_MM:
            suspension.problem(
                f"{arm}_ball_joint",
                f"lies on the bush axis of the {arm} arm, which has no reach",
            )


def _refuse_upside_down(suspension: Table, kind: str, joints: dict[str, Vec3]) -> None:
    for upper, lower in kind_of(kind).above:
        if joints[upper][2] < joints[lower][2]:
            suspension.problem(
                upper,
                f"lies below {lower}: the two may be swapped; z counts upwards from the hub",
            )


def _from_line(point: Vec3, start: Vec3, end: Vec3) -> float:
    """Distance of a point from the line through two others; NaN where there is no line."""
    along = [b - a for a, b in zip(start, end, strict=True)]
    out = [b - a for a, b in zip(start, point, strict=True)]
    length = math.hypot(*along)
    if not length >= plausible.SHORTEST_ROD_MM:
        return math.nan
    share = sum(a * b for a, b in zip(along, out, strict=True)) / length**2
    return math.hypot(*(b - share * a for a, b in zip(along, out, strict=True)))


def _links(suspension: Table) -> tuple[Rod, ...]:
    rods = []
    names: set[str] = set()
    for row in suspension.rows("links", 5, 5):
        with row.table() as rod:
            name = rod.text("name")
            if name and name in names:
                rod.problem("name", f"{show(name)} is the name of an earlier rod")
            names.add(name)
            inner = rod.point("inner", plausible.PLACE)
            outer = rod.point("outer", plausible.PLACE)
            if math.dist(inner, outer) < plausible.SHORTEST_ROD_MM:
                rod.problem("outer", "lies on inner, so the rod has no length")
            rods.append(Rod(name, inner, outer, rod.flag("toe")))
    marked = sum(rod.toe for rod in rods)
    if len(rods) == 5 and marked != 1:
        suspension.problem(
            "links",
            f"has {marked} rods marked as the toe rod; exactly one sets the toe",
        )
    return tuple(rods)


def _curve_table(suspension: Table) -> tuple[CurveRow, ...]:
    rows = []
    nodes = suspension.rows("table", 2)
    for node in nodes:
        with node.table() as row:
            rows.append(
                CurveRow(
                    travel_mm=row.number("travel_mm", plausible.TRAVEL),
                    camber_deg=row.number("camber_deg", plausible.CAMBER),
                    toe_deg=row.number("toe_deg", plausible.TOE),
                    out_mm=row.number("out_mm", plausible.CURVE_SHIFT, default=0.0),
                    forward_mm=row.number("forward_mm", plausible.CURVE_SHIFT, default=0.0),
                    sigma=_curve_sigma(row),
                    unread=frozenset(key for key in CURVE_SHIFTS if not row.has(key)),
                    carried_on=row.flag("carried_on"),
                )
            )
    _refuse_falling(rows, nodes)
    if rows:
        _refuse_lost_zero(suspension, rows)
    return tuple(rows)


def _curve_sigma(row: Table) -> CurveSigma:
    table = row.maybe_table("sigma")
    if table is None:
        return CurveSigma()
    with table as sigma:
        return CurveSigma(
            camber_deg=sigma.maybe_number("camber_deg", plausible.SIGMA_DEG),
            toe_deg=sigma.maybe_number("toe_deg", plausible.SIGMA_DEG),
            out_mm=sigma.maybe_number("out_mm", plausible.SIGMA_MM),
            forward_mm=sigma.maybe_number("forward_mm", plausible.SIGMA_MM),
        )


def _refuse_falling(rows: Sequence[CurveRow | TravelReading], nodes: Sequence[Node]) -> None:
    """Rows of a table over travel have to rise in travel."""
    for (before, after), node in zip(pairwise(rows), nodes[1:], strict=False):
        if after.travel_mm <= before.travel_mm:
            node.child("travel_mm", None).problem(
                f"{after.travel_mm:g} does not rise above the row before, {before.travel_mm:g}"
            )


def _refuse_lost_zero(suspension: Table, rows: list[CurveRow]) -> None:
    zero = next((index for index, row in enumerate(rows) if row.travel_mm == 0), None)
    if zero is None:
        if not any(math.isnan(row.travel_mm) for row in rows):
            suspension.problem("table", "has no row for travel 0, the survey height")
        return
    row = rows[zero]
    changes = (row.camber_deg, row.toe_deg, row.out_mm, row.forward_mm)
    if any(abs(change) > 0 for change in changes):
        suspension.node.child("table", None).child(zero, None).problem(
            "should be all zeros: the table holds changes from the survey height"
        )


def _typical(suspension: Table) -> str:
    node = suspension.maybe("typical")
    return node.text() if node else ""


def _measured(suspension: Table) -> MeasuredTravel | None:
    """A bump-steer sheet: changes of camber and toe over travel, none at the survey height."""
    sheet = suspension.maybe_table("measured")
    if sheet is None:
        return None
    with sheet:
        use = sheet.choice("use", SHEET_USES, default=SHEET_USES[0])
        rows = _travel_readings(sheet.rows("rows", 2))
        zero = next((row for row in rows if row.travel_mm == 0), None)
        if rows and zero is None:
            sheet.problem("rows", "has no row for travel 0, the survey height")
        if zero and (zero.camber_deg or zero.toe_deg):
            sheet.problem("rows", "should change nothing at travel 0, the survey height")
        return MeasuredTravel(tuple(rows), instead=use == SHEET_USES[1])


def _travel_readings(nodes: list[Node]) -> list[TravelReading]:
    rows = []
    for node in nodes:
        with node.table() as row:
            rows.append(
                TravelReading(
                    travel_mm=row.number("travel_mm", plausible.TRAVEL),
                    camber_deg=row.maybe_number("camber_deg", plausible.CAMBER),
                    toe_deg=row.maybe_number("toe_deg", plausible.TOE),
                )
            )
    _refuse_falling(rows, nodes)
    return rows


def _fitted(suspension: Table) -> FittedTo | None:
    """The readings that the joints were fitted to, by which they are better known."""
    fitted = suspension.maybe_table("fitted")
    if fitted is None:
        return None
    with fitted:
        return FittedTo(
            rows=tuple(_travel_readings(fitted.rows("rows", 1))),
            sigma_deg=fitted.number("sigma_deg", plausible.READING_DEG),
        )


def _steer_axis(suspension: Table) -> SteerAxis | None:
    axis = suspension.maybe_table("steer_axis")
    if axis is None:
        return None
    with axis:
        return SteerAxis(
            point=axis.point("point", plausible.PLACE),
            caster_deg=axis.number("caster_deg", plausible.CASTER),
            inclination_deg=axis.number("inclination_deg", plausible.INCLINATION),
        )


def _camber_pivots(suspension: Table) -> dict[str, Vec3]:
    pivots = suspension.maybe_table("camber_pivots")
    if pivots is None:
        return {}
    with pivots:
        return {name: node.point(plausible.PLACE) for name, node in pivots.entries()}


def adjusters_of(kind: str) -> tuple[str, ...]:
    """Names of the adjusters that a kind has, ``rods_mm`` aside."""
    return tuple(name for name, kinds in ADJUSTERS.items() if kind in kinds)


def _reach(suspension: Table, kind: str, links: tuple[Rod, ...]) -> dict[str, tuple[float, float]]:
    table = suspension.maybe_table("reach")
    if table is None or not kind:
        return {}
    known = (*adjusters_of(kind), *(ROD_PREFIX + rod.name for rod in links))
    reach = {}
    with table:
        for name, node in table.entries():
            if name not in known:
                node.problem(f"a corner of kind {kind} has no such adjuster")
                continue
            low, high = node.pair(plausible.HEIGHT, plausible.HEIGHT)
            if low > high:
                node.problem(f"the least, {low:g}, is above the greatest, {high:g}")
            reach[name] = (low, high)
    return reach
