"""Reading a corner's survey, its limits and its compliance."""

from __future__ import annotations

from itertools import pairwise
from math import isfinite

from alignment.geometry.model import Compliance, Limits
from fitment.engine.checkfile import plausible
from fitment.engine.checkfile.reader import Node, Table, Vec3, show
from fitment.engine.minimum.feature_curves import SAMPLE_STEP_MM, looked_at
from fitment.engine.model import (
    BODY,
    EDGE,
    HARD,
    INBOARD,
    KNUCKLE,
    LINK,
    OUTBOARD,
    POINTS,
    SINGLY,
    SOFT,
    STRUT_BODY,
    TEMPLATE,
    Feature,
    Learned,
    OpenArc,
    Survey,
    SurveyPoint,
    TakenAt,
)
from fitment.engine.uncertainty.compliance import COMPLIANCES

#: Features of a corner, and places along all of them that are looked at in every pose: a check
#: stays within two seconds and 200 MB for any file.
MOST_FEATURES, MOST_PLACES = 60, 800
SIDES = (INBOARD, OUTBOARD)


def read_survey(survey: Table) -> Survey:
    with survey:
        with survey.table("setting") as setting:
            camber = setting.number("camber_deg", plausible.CAMBER)
            toe = setting.number("toe_deg", plausible.TOE)
        node = survey.need("features")
        rows = node.rows(0, MOST_FEATURES) if node else []
        features = tuple(_feature(row.table()) for row in rows)
        arcs = tuple(_open_arc(row.table()) for row in survey.rows("open"))
        _refuse_repeated_places(survey, features)
        _refuse_too_much(survey, features)
    return Survey(camber_deg=camber, toe_deg=toe, features=features, open=arcs)


def _refuse_repeated_places(survey: Table, features: tuple[Feature, ...]) -> None:
    first: dict[str, int] = {}
    for index, feature in enumerate(features):
        name = feature.place.casefold()
        if name and name in first:
            survey.node.child("features", None).child(index, None).child("place", None).problem(
                f"{show(feature.place)} is named already by features[{first[name]}]; "
                "a place stands once in a corner"
            )
        first.setdefault(name, index)


def _refuse_too_much(survey: Table, features: tuple[Feature, ...]) -> None:
    """Refuse the feature with which a corner has more places to look at than a check can."""
    taken = 0.0
    for index, feature in enumerate(features):
        numbers = [(p.clock_deg, p.radius_mm, p.axial_mm) for p in feature.points]
        if not all(isfinite(number) for row in numbers or feature.xyz_mm for number in row):
            return  # a problem of it is known already, and its length is not
        if feature.carried_by == LINK or not (feature.points or feature.xyz_mm):
            continue
        taken += looked_at(feature)
        if taken > MOST_PLACES:
            key = "points" if feature.points else "xyz_mm"
            survey.node.child("features", None).child(index, None).child(key, None).problem(
                f"with the features before it a corner has {round(taken)} places to look at, not "
                f"at most {MOST_PLACES}: one for a point, and one every {SAMPLE_STEP_MM:g} mm of "
                "an edge"
            )
            return


def _feature(feature: Table) -> Feature:
    with feature:
        carried_by = feature.choice("carried_by", (BODY, KNUCKLE, STRUT_BODY, LINK))
        if carried_by == LINK:
            return _tube(feature)
        shape = feature.choice("shape", (POINTS, EDGE))
        points, xyz = _where(feature, least=2 if shape == EDGE else 1)
        taken_at = _taken_at(feature, carried_by)
        return Feature(
            place=feature.text("place"),
            carried_by=carried_by,
            shape=shape,
            points=points,
            xyz_mm=xyz,
            surface=feature.choice("surface", (HARD, SOFT), default=HARD),
            half_thickness_mm=feature.number(
                "half_thickness_mm", plausible.HALF_THICKNESS, default=0.0
            ),
            sigma_mm=feature.maybe_number("sigma_mm", plausible.SIGMA_MM),
            taken_at=taken_at,
            to_confirm=feature.flag("to_confirm"),
            turned_in_mm=_turned_in(feature, carried_by, shape),
            read=feature.choice("read", (SINGLY, TEMPLATE), default=SINGLY),
            learned=_learned(feature),
        )


def _learned(feature: Table) -> Learned | None:
    """What earlier jobs taught about this place."""
    learned = feature.maybe_table("learned")
    if learned is None:
        return None
    with learned:
        return Learned(
            shift_mm=learned.number("shift_mm", plausible.SHIFT_LEARNED),
            sigma_mm=learned.number("sigma_mm", plausible.SIGMA_MM),
            between_cars_mm=learned.number("between_cars_mm", plausible.SIGMA_MM),
            cars=int(learned.number("cars", plausible.COUNT, default=0)),
            observations=int(learned.number("observations", plausible.COUNT, default=0)),
        )


def _turned_in(feature: Table, carried_by: str, shape: str) -> float | None:
    """Only an edge of the body is a lip that can be folded."""
    if not feature.has("turned_in_mm"):
        return None
    if carried_by and carried_by != BODY:
        feature.problem(
            "turned_in_mm", f"is for the body's lips, not for what the {carried_by} carries"
        )
    elif shape and shape != EDGE:
        feature.problem("turned_in_mm", "is for an edge; points on their own have no lip")
    return feature.maybe_number("turned_in_mm", plausible.TURNED_IN)


def _tube(feature: Table) -> Feature:
    """A rod as an obstacle: its joints say where it is, so it has no points of its own."""
    for key in ("points", "xyz_mm", "taken_at", "turned_in_mm"):
        if feature.has(key):
            feature.problem(key, "has no place in a tube, which runs between the joints of its rod")
    return Feature(
        place=feature.text("place"),
        carried_by=LINK,
        shape=feature.choice("shape", (EDGE,), default=EDGE),
        surface=feature.choice("surface", (HARD, SOFT), default=HARD),
        half_thickness_mm=feature.number(
            "half_thickness_mm", plausible.HALF_THICKNESS, default=0.0
        ),
        sigma_mm=feature.maybe_number("sigma_mm", plausible.SIGMA_MM),
        link=feature.text("link"),
        to_confirm=feature.flag("to_confirm"),
        learned=_learned(feature),
    )


def _where(feature: Table, least: int) -> tuple[tuple[SurveyPoint, ...], tuple[Vec3, ...]]:
    """A feature's points about the hub, or in the corner's frame: one of the two."""
    has_points, has_xyz = feature.has("points"), feature.has("xyz_mm")
    if has_points and has_xyz:
        feature.problem("xyz_mm", "stands beside points; a feature is given in one of the two")
    elif not has_points and not has_xyz and not feature.blank:
        feature.problem("points", "is missing, and so is xyz_mm; one of the two is needed")
    about_hub = feature.rows("points", least) if has_points else []
    in_frame = feature.rows("xyz_mm", least) if has_xyz else []
    if least > 1:
        _refuse_standing_still(about_hub)
        _refuse_standing_still(in_frame)
    return (
        tuple(_point(row.table()) for row in about_hub),
        tuple(row.point(plausible.PLACE) for row in in_frame),
    )


def _refuse_standing_still(rows: list[Node]) -> None:
    for before, row in pairwise(rows):
        if before.value == row.value:
            row.problem("is the same as the point before it, so the edge goes nowhere")


def _point(point: Table) -> SurveyPoint:
    with point:
        return SurveyPoint(
            clock_deg=point.number("clock_deg", plausible.CLOCK),
            radius_mm=point.number("radius_mm", plausible.RADIUS),
            axial_mm=point.number("axial_mm", plausible.AXIAL),
        )


def _taken_at(feature: Table, carried_by: str) -> TakenAt | None:
    pose = feature.maybe_table("taken_at")
    if pose is None:
        return None
    if carried_by in (KNUCKLE, STRUT_BODY):
        feature.problem(
            "taken_at",
            f"is for body features; what the {carried_by} carries moves with the hub",
        )
    if feature.has("xyz_mm"):
        feature.problem(
            "taken_at",
            "goes with points about the hub; xyz_mm is fixed to the survey pose",
        )
    with pose:
        return TakenAt(
            travel_mm=pose.number("travel_mm", plausible.TRAVEL),
            steer_deg=pose.number("steer_deg", plausible.STEER, default=0.0),
        )


def _open_arc(arc: Table) -> OpenArc:
    with arc:
        start = arc.number("from_deg", plausible.CLOCK)
        end = arc.number("to_deg", plausible.CLOCK)
        if end <= start:
            arc.problem("to_deg", f"{end:g}° should come after from_deg, {start:g}°")
        return OpenArc(
            side=arc.choice("side", SIDES),
            from_deg=start,
            to_deg=end,
            beyond_mm=arc.number("beyond_mm", plausible.OPEN_BEYOND),
        )


def read_limits(limits: Table) -> Limits:
    with limits:
        steer_in = limits.number("steer_in_deg", plausible.LOCK, default=0.0)
        steer_out = limits.number("steer_out_deg", plausible.LOCK, default=0.0)
        for here, there, key in (
            (steer_in, steer_out, "steer_in_deg"),
            (steer_out, steer_in, "steer_out_deg"),
        ):
            if here == 0 and there > 0:
                limits.problem(key, "is missing or 0 while the wheel steers the other way")
        bump = limits.maybe_number("bump_mm", plausible.STOP)
        droop = limits.number("droop_mm", plausible.STOP)
        if bump is not None and bump + droop <= 0:
            limits.problem("bump_mm", f"{bump:g} mm with droop {droop:g} mm leaves no travel")
        return Limits(bump, droop, steer_in, steer_out)


def read_compliance(node: Node) -> Compliance | None:
    """What was measured, or the name of a kind of bushes to take instead; None for neither."""
    if isinstance(node.value, str):
        kind = node.choice(tuple(COMPLIANCES))
        return COMPLIANCES[kind].mean if kind else None
    with node.table() as compliance:
        return Compliance(
            camber_deg_per_g=compliance.maybe_number("camber_deg_per_g", plausible.ELASTIC_ANGLE),
            toe_deg_per_g=compliance.maybe_number("toe_deg_per_g", plausible.ELASTIC_ANGLE),
            lateral_mm_per_g=compliance.maybe_number("lateral_mm_per_g", plausible.ELASTIC_SHIFT),
            aft_mm_per_g=compliance.maybe_number("aft_mm_per_g", plausible.ELASTIC_SHIFT),
            tyre_side_mm_per_g=compliance.maybe_number("tyre_side_mm_per_g", plausible.TYRE_SIDE),
        )
