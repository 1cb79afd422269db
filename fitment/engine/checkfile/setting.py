"""Reading what is planned: duty, settings, wheel and tyre."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

from alignment.geometry.kinds import ROD_PREFIX
from alignment.geometry.model import (
    CAMBER_ADJUSTERS,
    CURVES,
    LINKS,
    Adjusters,
    Planned,
    Suspension,
)
from common.units import MM_PER_INCH
from fitment.engine import defaults
from fitment.engine.checkfile import plausible
from fitment.engine.checkfile.profile import profile_fault
from fitment.engine.checkfile.reader import Node, Range, Table, listed, show
from fitment.engine.checkfile.suspension import adjusters_of
from fitment.engine.model import HARD, MEASURED, NOMINAL, PRINTED, SOFT, Duty, Tyre, Wheel
from fitment.engine.solid.designation import BadSize, Size, size_of
from fitment.engine.solid.mounted import BadSection, mounted

WHY_CAMBER_METHOD = (
    "the same camber leaves different room when another part makes it, "
    "so a planned camber names the part that makes it"
)

#: Rows of a duty's envelope: each adds two steer angles to every first look.
MOST_KNOTS = 20
LEAST_PROFILE = 4
"""Points that a traced profile needs: two beads and two shoulders."""

_ADJUSTER_RANGE: dict[str, Range] = {
    "top_mount_in_mm": plausible.SHIFT,
    "top_mount_back_mm": plausible.SHIFT,
    "lower_arm_out_mm": plausible.SHIFT,
    "upper_arm_in_mm": plausible.SHIFT,
    "knuckle_camber_deg": plausible.KNUCKLE_TURN,
    "toe_link_mm": plausible.SHIFT,
    "ride_height_mm": plausible.HEIGHT,
    "bump_stop_mm": plausible.PACKER,
}


# --- Duty -----------------------------------------------------------------------------------


def read_use(node: Node | None) -> Duty | None:
    """A duty by the name of a default one, or written out."""
    if node is None:
        return None
    if isinstance(node.value, str):
        name = node.choice(tuple(defaults.DUTIES))
        return defaults.DUTIES.get(name)
    with node.table() as duty:
        needed_hard, needed_soft = _needed(duty)
        return Duty(
            name=duty.text("name"),
            envelope=_envelope(duty),
            droop_fraction=duty.number(
                "droop_fraction", plausible.FRACTION, default=defaults.DROOP_FRACTION
            ),
            lateral_g=duty.number("lateral_g", plausible.LATERAL, default=0.0),
            needed_hard_mm=needed_hard,
            needed_soft_mm=needed_soft,
            longitudinal_g=duty.number("longitudinal_g", plausible.BRAKES, default=0.0),
            inner=duty.flag("inner"),
        )


def _needed(duty: Table) -> tuple[float, float]:
    hard, soft = defaults.NEEDED_MM[HARD], defaults.NEEDED_MM[SOFT]
    needed = duty.maybe_table("needed_mm")
    if needed is None:
        return hard, soft
    with needed:
        return (
            needed.number(HARD, plausible.NEEDED, default=hard),
            needed.number(SOFT, plausible.NEEDED, default=soft),
        )


def _envelope(duty: Table) -> tuple[tuple[float, float], ...]:
    rows = duty.rows("envelope", 2, MOST_KNOTS)
    points = tuple(row.pair(plausible.FRACTION, plausible.FRACTION) for row in rows)
    if not points:
        return points
    for (before, point), row in zip(pairwise(points), rows[1:], strict=True):
        if point[0] <= before[0]:
            row.child(0, None).problem(
                f"steer fraction {point[0]:g} does not rise above the one before, {before[0]:g}"
            )
    if points[0][0] > 0:
        rows[0].child(0, None).problem("the first steer fraction should be 0, straight ahead")
    if points[-1][0] < 1:
        rows[-1].child(0, None).problem("the last steer fraction should be 1, full lock")
    return points


# --- Settings -------------------------------------------------------------------------------


def read_planned(planned: Table, suspension: Suspension) -> Planned:
    with planned:
        toe = planned.number("toe_deg", plausible.TOE_PLANNED)
        camber = planned.maybe_number("camber_deg", plausible.CAMBER)
        camber_method = planned.text("camber_by", default="")
        if camber is not None and not planned.has("camber_by"):
            planned.problem("camber_by", f"is missing: {WHY_CAMBER_METHOD}")
        elif camber_method and camber is None:
            planned.problem("camber_by", "names a camber method, but no camber_deg is planned")
        elif camber_method:
            _refuse_strange_means(planned, camber_method, suspension)
        sigma_camber, sigma_toe, sigma_height = _sigma(planned)
        return Planned(
            toe_deg=toe,
            camber_deg=camber,
            camber_by=camber_method or None,
            adjusters=_adjusters(planned, suspension),
            sigma_camber_deg=sigma_camber,
            sigma_toe_deg=sigma_toe,
            sigma_ride_height_mm=sigma_height,
            rolled_lips=planned.flag("rolled_lips"),
        )


def _refuse_strange_means(planned: Table, camber_method: str, suspension: Suspension) -> None:
    kind = suspension.kind
    if kind == LINKS:
        rods = {ROD_PREFIX + rod.name: rod for rod in suspension.links if rod.name}
        if camber_method not in rods:
            known = listed(rods) if rods else f"{ROD_PREFIX}NAME"
            planned.problem("camber_by", f"{show(camber_method)} is not a rod here; give {known}")
        elif rods[camber_method].toe:
            planned.problem("camber_by", "is the toe rod, which sets the toe and nothing else")
    elif kind == CURVES:
        if camber_method not in suspension.camber_pivots:
            planned.problem(
                "camber_by",
                f"{show(camber_method)} has no pivot in suspension.camber_pivots about "
                f"which it turns",
            )
    elif kind and camber_method not in CAMBER_ADJUSTERS[kind]:
        planned.problem(
            "camber_by",
            f"a corner of kind {kind} has no camber method {show(camber_method)}; "
            f"give {listed(CAMBER_ADJUSTERS[kind])}",
        )


def _sigma(planned: Table) -> tuple[float | None, float | None, float | None]:
    sigma = planned.maybe_table("sigma")
    if sigma is None:
        return None, None, None
    with sigma:
        return (
            sigma.maybe_number("camber_deg", plausible.SIGMA_DEG),
            sigma.maybe_number("toe_deg", plausible.SIGMA_DEG),
            sigma.maybe_number("ride_height_mm", plausible.SIGMA_MM),
        )


def _adjusters(planned: Table, suspension: Suspension) -> Adjusters:
    table = planned.maybe_table("adjusters")
    if table is None:
        return Adjusters()
    kind = suspension.kind
    with table:
        for name in _ADJUSTER_RANGE:
            if kind and name not in adjusters_of(kind) and table.has(name):
                table.problem(name, f"a corner of kind {kind} has no such adjuster")
        return Adjusters(
            **{
                name: table.number(name, within, default=0.0)
                for name, within in _ADJUSTER_RANGE.items()
            },
            rods_mm=_rods(table, suspension),
            stated=frozenset(name for name in _ADJUSTER_RANGE if table.has(name)),
        )


def _rods(adjusters: Table, suspension: Suspension) -> dict[str, float]:
    table = adjusters.maybe_table("rods_mm")
    if table is None:
        return {}
    if suspension.kind and suspension.kind != LINKS:
        adjusters.problem("rods_mm", f"a corner of kind {suspension.kind} has no named rods")
        return {}
    names = {rod.name for rod in suspension.links}
    rods = {}
    with table:
        for name, node in table.entries():
            rods[name] = node.number(plausible.SHIFT)
            if names and name not in names:
                node.problem("is not the name of a rod of this corner")
    return rods


# --- Wheel and tyre -------------------------------------------------------------------------


_FIGURES = (
    "section_width_mm",
    "measuring_rim_in",
    "overall_diameter_mm",
    "tread_width_mm",
    "shoulder_drop_mm",
)


HOW_KNOWN = (NOMINAL, PRINTED, MEASURED)

WIDTH_OFF_MM = 8.0
"""How far the width between the flanges may lie from the marked one: two thirds of half an inch."""


def read_wheel(wheel: Table) -> Wheel:
    with wheel:
        diameter = wheel.number("diameter_in", plausible.RIM_DIAMETER)
        rows = wheel.rows("spoke_back", 0, 200)
        spoke_back = tuple(row.pair(plausible.SPOKE_BACK, plausible.SPOKE_RADIUS) for row in rows)
        for (before, point), row in zip(pairwise(spoke_back), rows[1:], strict=False):
            if point[1] < before[1]:
                row.child(1, None).problem(
                    f"radius {point[1]:g} falls; the back of the spokes is traced from the hub out"
                )
        seat = _seat_diameter(wheel, diameter)
        if any(radius > (seat or diameter * MM_PER_INCH) / 2 for _, radius in spoke_back):
            wheel.problem("spoke_back", "reaches past the bead seat of this wheel")
        marked = wheel.number("width_in", plausible.RIM_WIDTH)
        measured = wheel.maybe_number("width_mm", plausible.RIM_WIDTH_MM)
        if measured is not None and abs(measured - marked * MM_PER_INCH) > WIDTH_OFF_MM:
            wheel.problem(
                "width_mm",
                f"{measured:g} mm between the flanges is no wheel that is marked {marked:g} in",
            )
        return Wheel(
            diameter_in=diameter,
            width_in=marked,
            offset_mm=wheel.number("offset_mm", plausible.OFFSET),
            spacer_mm=wheel.number("spacer_mm", plausible.SPACER, default=0.0),
            flange_mm=wheel.number("flange_mm", plausible.FLANGE, default=defaults.FLANGE_MM),
            barrel_mm=wheel.maybe_number("barrel_mm", plausible.BARREL),
            spoke_back=spoke_back,
            width_mm=measured,
            sigma_offset_mm=wheel.maybe_number("sigma_offset_mm", plausible.SIGMA_MM),
            sigma_width_mm=wheel.maybe_number("sigma_width_mm", plausible.SIGMA_MM),
            sigma_barrel_mm=wheel.maybe_number("sigma_barrel_mm", plausible.SIGMA_MM),
            sigma_spoke_mm=wheel.maybe_number("sigma_spoke_mm", plausible.SIGMA_MM),
            sigma_flange_mm=wheel.maybe_number("sigma_flange_mm", plausible.SIGMA_MM),
            rim_diameter_mm=seat,
        )


def _seat_diameter(wheel: Table, diameter_in: float) -> float | None:
    """Diameter of the bead seat where the file states it; near the marked one."""
    seat = wheel.maybe_number("rim_diameter_mm", plausible.SEAT_DIAMETER)
    if seat is not None and abs(seat - diameter_in * MM_PER_INCH) > plausible.SEAT_OFF_MM:
        wheel.problem(
            "rim_diameter_mm", f"{seat:g} mm is no bead seat of a wheel of {diameter_in:g} in"
        )
    return seat


def read_tyre(table: Table, wheel: Wheel) -> Tyre:
    with table:
        profile = tuple(
            row.pair(plausible.PROFILE_AXIAL, plausible.PROFILE_RADIUS)
            for row in table.rows("profile", LEAST_PROFILE if table.has("profile") else 0, 400)
        )
        tyre = Tyre(
            size=table.text("size"),
            section_width_mm=table.maybe_number("section_width_mm", plausible.SECTION_WIDTH),
            measuring_rim_in=table.maybe_number("measuring_rim_in", plausible.RIM_WIDTH),
            overall_diameter_mm=table.maybe_number(
                "overall_diameter_mm", plausible.OVERALL_DIAMETER
            ),
            tread_width_mm=table.maybe_number("tread_width_mm", plausible.SECTION_WIDTH),
            shoulder_drop_mm=table.maybe_number("shoulder_drop_mm", plausible.SHOULDER_DROP),
            profile=profile,
            sigma_width_mm=table.maybe_number("sigma_width_mm", plausible.SIGMA_MM),
            sigma_diameter_mm=table.maybe_number("sigma_diameter_mm", plausible.SIGMA_MM),
            worn_mm=table.number("worn_mm", plausible.WEAR, default=0.0),
            growth_mm=table.number("growth_mm", plausible.GROWTH, default=0.0),
            largest_allowed=table.flag("largest_allowed"),
            protective_rib=table.flag("protective_rib"),
            snow=table.flag("snow"),
            width_known=_width_known(table),
            diameter_known=table.choice("diameter_known", HOW_KNOWN, default=""),
            shoulder=table.choice("shoulder", tuple(defaults.SHOULDERS), default=""),
            sigma_tread_mm=table.maybe_number("sigma_tread_mm", plausible.SIGMA_MM),
            sigma_shoulder_mm=table.maybe_number("sigma_shoulder_mm", plausible.SIGMA_MM),
        )
        _refuse_unread_as_known(table, tyre)
        _refuse_broken_profile(table, tyre, wheel)
        size = _size(table, tyre.size)
        if size is not None:
            _refuse_impossible_section(table, tyre, wheel, size)
        return tyre


def _width_known(table: Table) -> str:
    """How the section width is known; files of before said no more than that it was printed."""
    printed = table.flag("width_printed")
    known = table.choice("width_known", HOW_KNOWN, default="")
    if printed and known and known != PRINTED:
        table.problem("width_printed", f"says otherwise than width_known, {show(known)}")
    return PRINTED if printed else known


def _refuse_unread_as_known(table: Table, tyre: Tyre) -> None:
    """A dimension that is not in the file is known by the size alone."""
    for key, known, value in (
        ("width_known", tyre.width_known, tyre.section_width_mm),
        ("diameter_known", tyre.diameter_known, tyre.overall_diameter_mm),
    ):
        if known in (PRINTED, MEASURED) and value is None and table.has(key):
            table.problem(key, f"says {known}, but the file has no such figure")


def _size(table: Table, text: str) -> Size | None:
    if not text:
        return None
    try:
        return size_of(text)
    except BadSize as error:
        table.problem("size", str(error))
        return None


def _refuse_broken_profile(table: Table, tyre: Tyre, wheel: Wheel) -> None:
    unread = any(math.isnan(value) for point in tyre.profile for value in point)
    if len(tyre.profile) >= LEAST_PROFILE and not unread:
        fault = profile_fault(tyre.profile, wheel.seat_radius_mm)
        if fault:
            table.problem("profile", fault)


def _refuse_impossible_section(table: Table, tyre: Tyre, wheel: Wheel, size: Size) -> None:
    """Rules that join the tyre's figures with one another and with the wheel's."""
    if math.isnan(wheel.diameter_in) or math.isnan(wheel.width_in):
        return
    if size.rim_in != wheel.diameter_in:
        table.problem(
            "size", f"is for a {size.rim_in:g} in rim; the wheel is {wheel.diameter_in:g} in"
        )
        if tyre.overall_diameter_mm is None:
            return
    tyre = _without(tyre, [name for name in _FIGURES if math.isnan(getattr(tyre, name) or 0.0)])
    while True:
        try:
            mounted(wheel, tyre)
        except BadSection as error:
            table.problem(error.field, str(error))
            if getattr(tyre, error.field) is None:
                return
            tyre = _without(tyre, [error.field])
        else:
            return


def _without(tyre: Tyre, names: list[str]) -> Tyre:
    """The tyre with some figures treated as unknown, to look for faults in the others."""
    return replace(tyre, **dict.fromkeys(names))  # type: ignore[arg-type]
