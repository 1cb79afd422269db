"""Writing a check as a check file: the way back of ``parse``."""

from __future__ import annotations

from typing import Any

from alignment.geometry.model import (
    CURVES,
    JOINTS,
    LINKS,
    Adjusters,
    Compliance,
    CurveRow,
    FittedTo,
    Limits,
    Planned,
    Suspension,
)
from fitment.engine.checkfile.parse import FORMAT, FORMAT_KEY
from fitment.engine.checkfile.suspension import SHEET_USES
from fitment.engine.model import (
    SINGLY,
    Check,
    Corner,
    Duty,
    Feature,
    Present,
    Survey,
    SurveyPoint,
    Tyre,
    Wheel,
)

Json = dict[str, Any]

#: What changes a tyre from how it left the maker; written only where it does.
AS_IT_IS = (
    "worn_mm growth_mm largest_allowed width_known diameter_known shoulder protective_rib snow"
)


def dump(check: Check) -> Json:
    """The check as a document that ``parse`` reads back to an equal check."""
    document: Json = {FORMAT_KEY: FORMAT}
    if check.label:
        document["label"] = check.label
    document["duty"] = dump_use(check.duty)
    document["corners"] = {name: dump_corner(corner) for name, corner in check.corners.items()}
    return document


def dump_use(duty: Duty) -> Json:
    return {
        "name": duty.name,
        "envelope": [list(point) for point in duty.envelope],
        "droop_fraction": duty.droop_fraction,
        "lateral_g": duty.lateral_g,
        "longitudinal_g": duty.longitudinal_g,
        "inner": duty.inner,
        "needed_mm": {"hard": duty.needed_hard_mm, "soft": duty.needed_soft_mm},
    }


def dump_corner(corner: Corner) -> Json:
    return {
        **dump_corner_survey(corner.survey, corner.suspension, corner.limits, corner.compliance),
        "planned": dump_planned(corner.planned),
        "wheel": dump_wheel(corner.wheel),
        "tyre": dump_tyre(corner.tyre),
        **({"present": _present(corner.present)} if corner.present else {}),
    }


def _present(present: Present) -> Json:
    return {
        "planned": dump_planned(present.planned),
        "wheel": dump_wheel(present.wheel),
        "tyre": dump_tyre(present.tyre),
        "gaps": [_fields(gap, "place gap_mm travel_mm steer_deg sigma_mm") for gap in present.gaps],
    }


def dump_corner_survey(
    survey: Survey,
    suspension: Suspension,
    limits: Limits,
    compliance: Compliance | None = None,
) -> Json:
    """The part of a corner that a stored survey holds; see ``parse_corner_survey``."""
    document: Json = {
        "survey": _survey(survey),
        "suspension": _suspension(suspension),
        "limits": {
            "bump_mm": limits.bump_mm,  # null: not known
            **_fields(limits, "droop_mm steer_in_deg steer_out_deg"),
        },
    }
    if compliance is not None and compliance.assumed:
        document["compliance"] = compliance.assumed
    elif compliance is not None:
        document["compliance"] = _fields(
            compliance,
            "camber_deg_per_g toe_deg_per_g lateral_mm_per_g aft_mm_per_g tyre_side_mm_per_g",
        )
    return document


def _fields(row: object, names: str) -> Json:
    """Named attributes of a row; None is left out."""
    values = {name: getattr(row, name) for name in names.split()}
    return {name: value for name, value in values.items() if value is not None}


def _survey(survey: Survey) -> Json:
    document: Json = {"setting": _fields(survey, "camber_deg toe_deg")}
    if survey.open:
        document["open"] = [_fields(arc, "side from_deg to_deg beyond_mm") for arc in survey.open]
    document["features"] = [_feature(feature) for feature in survey.features]
    return document


def _feature(feature: Feature) -> Json:
    document = _fields(feature, "place carried_by surface shape half_thickness_mm sigma_mm")
    if feature.turned_in_mm is not None:
        document["turned_in_mm"] = feature.turned_in_mm
    if feature.to_confirm:
        document["to_confirm"] = True
    if feature.read != SINGLY:
        document["read"] = feature.read
    if feature.learned is not None:
        document["learned"] = _fields(
            feature.learned, "shift_mm sigma_mm between_cars_mm cars observations"
        )
    if feature.link:
        return document | {"link": feature.link}
    if feature.taken_at is not None:
        document["taken_at"] = _fields(feature.taken_at, "travel_mm steer_deg")
    if feature.xyz_mm:
        document["xyz_mm"] = [list(point) for point in feature.xyz_mm]
    else:
        document["points"] = [_point(point) for point in feature.points]
    return document


def _point(point: SurveyPoint) -> Json:
    return _fields(point, "clock_deg radius_mm axial_mm")


def _suspension(suspension: Suspension) -> Json:
    document: Json = {"kind": suspension.kind}
    for name in JOINTS.get(suspension.kind, ()):
        document[name] = list(suspension.joints[name])
    if suspension.knuckle_pivot is not None:
        document["knuckle_pivot"] = list(suspension.knuckle_pivot)
    if suspension.kind == LINKS:
        document["links"] = [
            {"name": rod.name, "inner": list(rod.inner), "outer": list(rod.outer)}
            | ({"toe": True} if rod.toe else {})
            for rod in suspension.links
        ]
    if suspension.kind == CURVES:
        document |= _curves(suspension)
    if suspension.measured is not None:
        document["measured"] = {
            "use": SHEET_USES[suspension.measured.instead],
            "rows": [
                _fields(row, "travel_mm camber_deg toe_deg") for row in suspension.measured.rows
            ],
        }
    if suspension.sigma_joints_mm is not None:
        document["sigma_joints_mm"] = suspension.sigma_joints_mm
    if suspension.fitted is not None:
        document["fitted"] = dump_fitted(suspension.fitted)
    if suspension.reach:
        document["reach"] = {name: list(span) for name, span in suspension.reach.items()}
    return document


def dump_fitted(fitted: FittedTo) -> Json:
    return {
        "sigma_deg": fitted.sigma_deg,
        "rows": [_fields(row, "travel_mm camber_deg toe_deg") for row in fitted.rows],
    }


def _curves(suspension: Suspension) -> Json:
    document: Json = {"table": [_curve_row(row) for row in suspension.table]}
    if suspension.typical:
        document["typical"] = suspension.typical
    axis = suspension.steer_axis
    if axis is not None:
        document["steer_axis"] = {
            "point": list(axis.point),
            "caster_deg": axis.caster_deg,
            "inclination_deg": axis.inclination_deg,
        }
    if suspension.camber_pivots:
        document["camber_pivots"] = {
            name: list(point) for name, point in suspension.camber_pivots.items()
        }
    return document


def _curve_row(row: CurveRow) -> Json:
    document = _fields(row, "travel_mm camber_deg toe_deg out_mm forward_mm")
    for key in row.unread:
        document.pop(key)
    sigma = _fields(row.sigma, "camber_deg toe_deg out_mm forward_mm")
    if row.carried_on:
        document["carried_on"] = True
    return document | ({"sigma": sigma} if sigma else {})


def dump_planned(planned: Planned) -> Json:
    document = _fields(planned, "camber_deg camber_by toe_deg")
    if planned.rolled_lips:
        document["rolled_lips"] = True
    adjusters = dump_adjusters(planned.adjusters)
    if adjusters:
        document["adjusters"] = adjusters
    sigma = {
        "camber_deg": planned.sigma_camber_deg,
        "toe_deg": planned.sigma_toe_deg,
        "ride_height_mm": planned.sigma_ride_height_mm,
    }
    stated = {name: value for name, value in sigma.items() if value is not None}
    if stated:
        document["sigma"] = stated
    return document


def dump_adjusters(adjusters: Adjusters) -> Json:
    """Adjusters that are stated, or stand away from the survey pose."""
    names = (
        "top_mount_in_mm top_mount_back_mm lower_arm_out_mm upper_arm_in_mm "
        "knuckle_camber_deg toe_link_mm ride_height_mm bump_stop_mm"
    )
    document = {
        name: value
        for name, value in _fields(adjusters, names).items()
        if value or name in adjusters.stated
    }
    if adjusters.rods_mm:
        document["rods_mm"] = dict(adjusters.rods_mm)
    return document


def dump_wheel(wheel: Wheel) -> Json:
    document = _fields(
        wheel,
        "diameter_in width_in width_mm offset_mm spacer_mm flange_mm barrel_mm sigma_offset_mm "
        "sigma_width_mm sigma_barrel_mm sigma_spoke_mm sigma_flange_mm rim_diameter_mm",
    )
    if wheel.spoke_back:
        document["spoke_back"] = [list(point) for point in wheel.spoke_back]
    return document


def dump_tyre(tyre: Tyre) -> Json:
    document = _fields(
        tyre,
        "size section_width_mm measuring_rim_in overall_diameter_mm tread_width_mm "
        "shoulder_drop_mm sigma_width_mm sigma_diameter_mm sigma_tread_mm sigma_shoulder_mm",
    )
    document |= {name: value for name, value in _fields(tyre, AS_IT_IS).items() if value}
    if tyre.profile:
        document["profile"] = [list(point) for point in tyre.profile]
    return document
