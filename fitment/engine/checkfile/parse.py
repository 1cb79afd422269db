"""Reading a whole check file, and the rules that join its parts."""

from __future__ import annotations

from typing import NamedTuple

from alignment.geometry.model import (
    Compliance,
    Limits,
    Planned,
    Suspension,
)
from common.corners import CORNERS
from fitment.engine.checkfile import plausible
from fitment.engine.checkfile.reader import (
    BadCheckFile,
    Node,
    Problem,
    Table,
    json_document,
    listed,
    show,
)
from fitment.engine.checkfile.setting import (
    read_planned,
    read_tyre,
    read_use,
    read_wheel,
)
from fitment.engine.checkfile.survey import read_compliance, read_limits, read_survey
from fitment.engine.checkfile.suspension import read_suspension
from fitment.engine.defaults import STREET
from fitment.engine.model import (
    BODY,
    LINK,
    STRUT_BODY,
    Check,
    Corner,
    Duty,
    GapReading,
    Present,
    Survey,
)

#: Gaps read on one corner of a car.
MOST_GAPS = 100
FORMAT_KEY = "archroom_check"
FORMAT = 1
RECORD = "record"


class Measured(NamedTuple):
    """What is known of a corner before anything is planned for it."""

    survey: Survey
    suspension: Suspension
    limits: Limits
    compliance: Compliance | None


def loads(text: str | bytes) -> Check:
    """Read a check file's text. Raises BadCheckFile with every problem in it."""
    return parse(json_document(text))


def parse(document: object) -> Check:
    """Read a check file that is already JSON. Raises BadCheckFile with every problem in it."""
    problems: list[Problem] = []
    with Node(document, "", problems).table() as file:
        _refuse_other_formats(file)
        label = file.maybe("label")
        title = label.text() if label and label.value != "" else ""
        duty = read_use(file.need("duty"))
        corners = _corners(file, duty)
    if problems or duty is None:
        raise BadCheckFile(problems)
    return Check(label=title, duty=duty, corners=corners)


def parse_corner_survey(document: object) -> Measured:
    """Read what a stored survey of one corner holds: survey, suspension, limits, compliance.

    Raises BadCheckFile with every problem in it.
    """
    problems: list[Problem] = []
    with Node(document, "", problems).table() as corner:
        measured = _measured(corner)
    if problems:
        raise BadCheckFile(problems)
    return measured


def _refuse_other_formats(file: Table) -> None:
    node = file.need(FORMAT_KEY)
    if node is not None and (type(node.value) is not int or node.value != FORMAT):
        node.problem(f"should be {FORMAT}, the only version of the format known here")


def _corners(file: Table, duty: Duty | None) -> dict[str, Corner]:
    corners = {}
    with file.table("corners") as table:
        for name in CORNERS:
            node = table.maybe(name)
            if node is not None:
                corners[name] = _corner(node.table(), duty or STREET)
        if not table.blank and all(value is None for value in table.content.values()):
            table.node.problem(f"is empty; it should hold {listed(CORNERS)}")
    return {name: corners[name] for name in table.content if name in corners}


def _corner(corner: Table, duty: Duty) -> Corner:
    with corner:
        corner.maybe(RECORD)  # who measured it and when: of no meaning to the geometry
        measured = _measured(corner)
        _refuse_nothing_surveyed(corner)
        planned = read_planned(corner.table("planned"), measured.suspension)
        wheel = read_wheel(corner.table("wheel"))
        tyre = read_tyre(corner.table("tyre"), wheel)
        _refuse_impossible_height(corner, measured.limits, planned)
        _refuse_short_table(corner, measured, planned, duty)
        return Corner(
            survey=measured.survey,
            suspension=measured.suspension,
            limits=measured.limits,
            planned=planned,
            wheel=wheel,
            tyre=tyre,
            compliance=measured.compliance,
            present=_present(corner, measured),
        )


def _refuse_nothing_surveyed(corner: Table) -> None:
    """A stored survey may have no features yet; a check needs some to hold the wheel against."""
    survey = corner.content.get("survey")
    if isinstance(survey, dict) and survey.get("features") == []:
        features = corner.node.child("survey", survey).child("features", [])
        features.problem("is empty; there is nothing to hold the wheel against")


def _present(corner: Table, measured: Measured) -> Present | None:
    """The wheel that is on this car and the gaps read with it."""
    table = corner.maybe_table("present")
    if table is None:
        return None
    with table:
        planned = read_planned(table.table("planned"), measured.suspension)
        wheel = read_wheel(table.table("wheel"))
        tyre = read_tyre(table.table("tyre"), wheel)
        gaps = tuple(_gap(row.table(), measured) for row in table.rows("gaps", 1, MOST_GAPS))
        _refuse_impossible_height(table, measured.limits, planned)
        return Present(planned, wheel, tyre, gaps)


def _gap(gap: Table, measured: Measured) -> GapReading:
    places = [f.place for f in measured.survey.features if f.carried_by in (BODY, LINK)]
    with gap:
        place = gap.text("place")
        if place and place not in places:
            gap.problem("place", f"{show(place)} is not a body place of this survey")
        steer = gap.number("steer_deg", plausible.STEER, default=0.0)
        if steer and not _steers(measured.limits):
            gap.problem("steer_deg", "this wheel does not steer, by its limits")
        return GapReading(
            place=place,
            gap_mm=gap.number("gap_mm", plausible.GAP),
            travel_mm=gap.number("travel_mm", plausible.TRAVEL, default=0.0),
            steer_deg=steer,
            sigma_mm=gap.maybe_number("sigma_mm", plausible.SIGMA_MM),
        )


def _measured(corner: Table) -> Measured:
    survey = read_survey(corner.table("survey"))
    suspension = read_suspension(corner.table("suspension"))
    limits = read_limits(corner.table("limits"))
    compliance = corner.maybe("compliance")
    _refuse_strange_carriers(corner, survey, suspension)
    _refuse_missing_axis(corner, suspension, limits)
    _refuse_strange_poses(corner, survey, suspension, limits)
    return Measured(
        survey,
        suspension,
        limits,
        None if compliance is None else read_compliance(compliance),
    )


def _below(corner: Table, *path: str | int) -> Node:
    node = corner.node
    for key in path:
        node = node.child(key, None)
    return node


def _steers(limits: Limits) -> bool:
    return limits.steer_in_deg > 0 or limits.steer_out_deg > 0


def _refuse_strange_carriers(corner: Table, survey: Survey, suspension: Suspension) -> None:
    for index, feature in enumerate(survey.features):
        if feature.carried_by == LINK and suspension.kind and feature.link:
            _refuse_strange_rod(corner, index, feature.link, suspension)
        if feature.carried_by == STRUT_BODY and suspension.kind and not suspension.has_strut:
            _below(corner, "survey", "features", index, "carried_by").problem(
                f"a corner of kind {suspension.kind} has no strut; body or knuckle carries it"
            )


def _refuse_strange_rod(corner: Table, index: int, link: str, suspension: Suspension) -> None:
    names = suspension.rod_names
    if link not in names:
        known = f"give {listed(names)}" if names else "measured curves have none"
        _below(corner, "survey", "features", index, "link").problem(
            f"{show(link)} is not a rod of this corner; {known}"
        )


def _refuse_missing_axis(corner: Table, suspension: Suspension, limits: Limits) -> None:
    if suspension.is_read_as_curves and _steers(limits) and suspension.steer_axis is None:
        _below(corner, "suspension", "steer_axis").problem("is missing, and this wheel steers")


def _refuse_strange_poses(
    corner: Table, survey: Survey, suspension: Suspension, limits: Limits
) -> None:
    """Readings taken in a pose that this corner cannot have, or that the curves do not hold."""
    for index, feature in enumerate(survey.features):
        if feature.taken_at is None:
            continue
        pose = _below(corner, "survey", "features", index, "taken_at")
        if abs(feature.taken_at.steer_deg) > 0 and not _steers(limits):
            pose.child("steer_deg", None).problem("this wheel does not steer, by its limits")
        if suspension.table:
            low, high = suspension.table[0].travel_mm, suspension.table[-1].travel_mm
            travel = feature.taken_at.travel_mm
            if travel < low or travel > high:
                pose.child("travel_mm", None).problem(
                    f"{travel:g} mm is outside the curves, {low:g} to {high:g} mm"
                )


def _refuse_impossible_height(corner: Table, limits: Limits, planned: Planned) -> None:
    """The planned static height has to lie between the stops."""
    height, packer = planned.adjusters.ride_height_mm, planned.adjusters.bump_stop_mm
    static = 0.0 - height
    bump = limits.bump_mm
    moved = ("planned", "adjusters", "ride_height_mm") if height else ()
    if bump is not None and bump - packer < static:
        packed = f" less a packer of {packer:g} mm" if packer else ""
        blame = moved or ("limits", "bump_mm")
        if bump >= static:
            blame = ("planned", "adjusters", "bump_stop_mm")
        _below(corner, *blame).problem(
            f"puts the hub at {static:g} mm of travel, but the bump stop stands at "
            f"{bump:g} mm{packed}: the car would rest on its stops"
        )
    if static < -limits.droop_mm:
        _below(corner, *(moved or ("limits", "droop_mm"))).problem(
            f"puts the hub at {static:g} mm of travel, below the droop stop at "
            f"{-limits.droop_mm:g} mm"
        )


def _refuse_short_table(corner: Table, measured: Measured, planned: Planned, duty: Duty) -> None:
    """Curves are never drawn on past their ends, so they have to cover the duty's travel."""
    table, limits = measured.suspension.table, measured.limits
    if not table or not duty.envelope:
        return
    static = 0.0 - planned.adjusters.ride_height_mm
    low = static - duty.droop_fraction * (static + limits.droop_mm)
    high = static
    if limits.bump_mm is not None:
        room = limits.bump_mm - planned.adjusters.bump_stop_mm - static
        high = static + max(bump for _, bump in duty.envelope) * room
    first, last = table[0].travel_mm, table[-1].travel_mm
    if min(low, static) < first or max(high, static) > last:
        _below(corner, "suspension", "table").problem(
            f"covers travel from {first:g} to {last:g} mm, while the duty visits "
            f"{min(low, static):g} to {max(high, static):g} mm; curves are never drawn on "
            "past their ends"
        )
