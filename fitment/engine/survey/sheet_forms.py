"""The conversion that each form of reading takes, with the references that it is counted from."""

from __future__ import annotations

from fitment.engine.survey import surveying
from fitment.engine.survey.reading_values import Needed, clock_of
from fitment.engine.survey.readings import CROWN, OUTER_WALL, Reading
from fitment.engine.survey.sheet_references import References
from fitment.engine.survey.surveying import BadReading, Pose, Taken


def as_read(references: References, reading: Reading, there: Pose) -> Taken:
    """The point that a reading gives about the hub as it stood. Raises BadReading."""
    need = Needed(reading)
    match reading.form:
        case "plumb_line":
            taken, _ = surveying.plumb_line(
                rim=references.rim,
                cap=references.cap,
                height_mm=need["height_mm"],
                line_top_mm=need["line_top_mm"],
                line_bottom_mm=need["line_bottom_mm"],
                lip_radius_mm=need["lip_radius_mm"],
                toe_deg=there.toe_deg,
            )
            return taken
        case "straightedge":
            return surveying.straightedge(
                rim=references.rim,
                block_mm=need["block_mm"],
                along_mm=need["along_mm"],
                edge_mm=need["edge_mm"],
                clock_deg=clock_of(reading, there),
            )
        case "tape":
            return surveying.tape(
                cap=references.cap,
                tape_mm=need["tape_mm"],
                axial_mm=need["axial_mm"],
                clock_deg=clock_of(reading, there),
            )
        case "hub_bar":
            return surveying.hub_bar(
                thickness_mm=need["thickness_mm"],
                along_mm=need["along_mm"],
                depth_mm=need["depth_mm"],
                outboard=reading.text("depth_side") == "outboard",
                clock_deg=clock_of(reading, there),
            )
        case "gap":
            clock = clock_of(reading, there)
            return surveying.gap(
                spot=spot_of(references, reading), gap_mm=need["gap_mm"], clock_deg=clock
            )
    raise BadReading("", "This form gives no point.")


def spot_of(references: References, reading: Reading) -> surveying.Spot:
    """Where on the present tyre a gap was tapped. Raises BadReading while it is not known."""
    if references.section is None:
        raise BadReading("", "Read the wheel and tyre on the car, and the front space, first.")
    if reading.text("spot") in ("", CROWN):
        return surveying.crown_spot(references.section, reading.number("beside_mm") or 0.0)
    outboard = reading.text("spot") == OUTER_WALL
    return surveying.wall_spot(
        references.section, outboard=outboard, radius_mm=reading.number("at_radius_mm")
    )
