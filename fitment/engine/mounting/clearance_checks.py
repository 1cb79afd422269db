"""Mounting checks that read a clearance check's answer: brakes, gaps, cover and ride height.

They hold for exactly the setting, wheels and use that were checked. A gap is judged with its
uncertainty, by the rule of ``decision``. Millimetres and degrees.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from common.verdicts import Outcome, Verdict
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    BODY,
    HARD,
    KNUCKLE,
    LINK,
    Corner,
    CornerAnswer,
    Duty,
)
from fitment.engine.mounting.chains import gaps_beside, gaps_over_tread
from fitment.engine.mounting.decision import Gap, decisive, gap_at
from fitment.engine.mounting.law import PRACTICE, TREAD_WIDTH, Law
from fitment.engine.mounting.rule import Result, Rule, rule_of, source_of
from fitment.engine.mounting.wheel_cover import Cover, cover_of
from fitment.engine.solid.section import Section, section_of

#: Travel and lock below which a pose counts as standing, mm and degrees.
STANDING = 1.0
#: A tyre pressed so far onto something hard still turns, mm: shop judgement.
TYRE_GIVES_MM = 5.0
#: Standing on its wheels, with a fiftieth of the travel to either side for the height.
STANDING_USE = Duty("standing", ((0.0, 0.02), (1.0, 0.02)), droop_fraction=0.02)
#: Places that are the brake, as surveys name them.
BRAKE = re.compile(r"brake|calli?per|disc|rotor|brems|sattel", re.I)


def clearance_checks(
    corner: Corner, duty: Duty, answer: CornerAnswer, law: Law, axle: str
) -> list[Result]:
    """All checks of one corner that its clearance answers; ``duty`` is what it was checked for."""
    section = section_of(corner.wheel, corner.tyre)
    return [
        brakes(answer, section, law, axle),
        covered(corner, answer, section, law, axle),
        *rear_edge(corner, answer, section, law, axle),
        *gaps(answer, law, axle),
        *lock(corner, answer, section, axle),
        *chains(corner, duty, answer, law, axle),
        *height(corner, law, axle),
    ]


def not_checked(law: Law, axle: str) -> list[Result]:
    """What stands where no clearance check holds for the order as it is."""
    return [
        brake_rule(law, axle).unknown("clearance-check"),
        cover_rule(law, axle).unknown("clearance-check"),
    ]


def brake_rule(law: Law, axle: str) -> Rule:
    figure = law["caliper_mm"]
    return rule_of("brakes", figure.source, axle, least_mm=figure.value)


def brakes(answer: CornerAnswer, section: Section, law: Law, axle: str) -> Result:
    """The brake, and all else that turns with the hub inside the wheel."""
    rule = brake_rule(law, axle)
    inside = [
        place
        for place in answer.places
        if place.carried_by == KNUCKLE
        and (place.nearest_mm[1] < section.rim_radius_mm or BRAKE.search(place.place))
    ]
    if any(place.verdict == Verdict.UNMEASURED for place in inside):
        return rule.unknown("barrel-and-spokes")
    least = law["caliper_mm"].value
    worst = decisive([gap_at(place) for place in inside], least)
    if worst is not None and worst.outcome(least) == Outcome.FAILS:
        if worst.gap_mm <= 0:
            return rule.barred("found.touches", **_found(worst))
        return rule.judged(False, "found.gap", **_found(worst))
    if worst is None or not any(BRAKE.search(place.place) for place in inside):
        return rule.unknown("brake-outline")
    return _judged(rule, worst, least)


def _found(gap: Gap) -> dict[str, Any]:
    """A spot, its gap and how sure it is."""
    return {"spot": gap.spot, "gap_mm": gap.gap_mm, "sigma_mm": gap.sigma_mm}


def _judged(rule: Rule, gap: Gap, least_mm: float) -> Result:
    """What the rule says of the gap that decides, all else being known."""
    outcome = gap.outcome(least_mm)
    if outcome == Outcome.CANNOT_SAY:
        missed = gap.miss_share(least_mm)
        told = "found.gap-may-be-less"
        return rule.unknown(
            "gap-on-car", told=told, least_mm=least_mm, miss_share=missed, **_found(gap)
        )
    return rule.judged(outcome == Outcome.PASSES, "found.gap", **_found(gap))


def lock(corner: Corner, answer: CornerAnswer, section: Section, axle: str) -> list[Result]:
    """Whether the wheel can be turned from stop to stop with the car standing; nothing for a wheel
    that is not steered.

    A pose of the whole envelope that clears covers the standing ones, so only what touches
    somewhere is looked at again, at standing height alone.
    """
    if corner.limits.steer_in_deg <= 0 and corner.limits.steer_out_deg <= 0:
        return []
    rule = rule_of("lock", PRACTICE, axle, give_mm=TYRE_GIVES_MM)
    hard = [one for one in answer.places if one.surface == HARD and one.carried_by in (BODY, LINK)]
    touching = {one.place: one.shift_mm for one in hard if one.clearance_mm <= 0}
    if touching:
        blocked = _blocking(corner, section, touching)
        if blocked is not None:
            return [rule.barred("found.lock-blocked", **blocked)]
    if answer.uncovered or any(place.verdict == Verdict.UNMEASURED for place in hard):
        return [rule.unknown("rest-of-survey")]
    return [rule.judged(True, "found.lock-free")]


def _blocking(
    corner: Corner, section: Section, shifts_mm: Mapping[str, float]
) -> dict[str, Any] | None:
    """The hard spot that stops the steering with the car standing: its name, the depth of the
    overlap and the angle; None where there is none. ``shifts_mm`` holds what this car's gaps add
    to the clearance of the spots that are looked at."""
    setting = setting_of("", corner, STANDING_USE)
    coarse = section_of(corner.wheel, corner.tyre, True)
    found = closest(setting.room, section, coarse)
    axial, radius = setting.room.meridian(found.spots)
    _touch, on_tyre = section.nearest(axial, radius)
    worst: dict[str, Any] | None = None
    for index, course in enumerate(setting.room.courses):
        spot = course.feature.place
        steer_deg = abs(float(np.degrees(found.spots.steer[index])))
        if spot not in shifts_mm or steer_deg <= STANDING:
            continue
        overlap = -float(found.clearance_mm[index]) - shifts_mm[spot]
        gives = TYRE_GIVES_MM if on_tyre[index] else 0.0
        if overlap > max(gives, worst["overlap_mm"] if worst else 0.0):
            worst = {"spot": spot, "overlap_mm": overlap, "steer_deg": steer_deg}
    return worst


def cover_rule(law: Law, axle: str) -> Rule:
    if "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return rule_of("cover", source_of("shop-settings"), axle, asks="cover-no-law")
    ahead, behind = law["cover_ahead_deg"], law["cover_behind_deg"]
    return rule_of(
        "cover",
        ahead.source,
        axle,
        asks="cover-tread" if _what(law) == TREAD_WIDTH else "cover-width",
        ahead_deg=ahead.value,
        behind_deg=behind.value,
    )


def _what(law: Law) -> float:
    return law["cover_of"].value if "cover_of" in law else 1.0


def _cover(corner: Corner, answer: CornerAnswer, section: Section, law: Law) -> Cover | None:
    return cover_of(
        corner,
        answer.static,
        section,
        ahead_deg=law["cover_ahead_deg"].value,
        behind_deg=law["cover_behind_deg"].value,
        what=_what(law),
    )


def covered(corner: Corner, answer: CornerAnswer, section: Section, law: Law, axle: str) -> Result:
    """Outboard edges of the survey against the tyre, at the planned height."""
    rule = cover_rule(law, axle)
    if "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return rule.unknown("law")
    cover = _cover(corner, answer, section, law)
    if cover is None:
        return rule.unknown("body-edge")
    where = {
        "size_mm": abs(cover.covered_mm),
        "spot": cover.place,
        "angle_deg": abs(cover.at_deg),
    }
    side = "ahead" if cover.at_deg >= 0 else "behind"
    if cover.covered_mm < -law["lip_turn_mm"].value:
        return rule.judged(False, f"found.stands-out-{side}", **where)
    if cover.covered_mm < 0:
        return rule.unknown("visible-edge", told=f"found.stands-out-inner-end-{side}", **where)
    if not cover.whole:
        return rule.unknown(
            "rest-of-arc",
            told=f"found.covered-in-part-{side}",
            from_deg=-cover.from_deg,
            to_deg=cover.to_deg,
            **where,
        )
    return rule.judged(True, f"found.covered-{side}", **where)


def rear_edge(
    corner: Corner, answer: CornerAnswer, section: Section, law: Law, axle: str
) -> list[Result]:
    """How far down the cover reaches behind the wheel, where the law asks for it."""
    figure = law.get("cover_rear_edge_mm")
    if figure is None or "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return []
    rule = rule_of("rear-edge", figure.source, axle, height_mm=figure.value)
    cover = _cover(corner, answer, section, law)
    if cover is not None and cover.rear_edge_mm <= figure.value:
        return [rule.judged(True, "found.rear-edge", height_mm=cover.rear_edge_mm)]
    return [rule.unknown("rear-end")]


def gaps(answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
    """Least gaps to suspension and to body, and lock to lock, where the law names them."""
    parts = [place for place in answer.places if place.carried_by != BODY]
    body = [place for place in answer.places if place.carried_by == BODY]
    results = []
    for key, code, places in (
        ("gap_parts_mm", "gap-parts", parts),
        ("gap_body_mm", "gap-body", body),
        ("gap_lock_mm", "gap-lock", list(answer.places)),
    ):
        if figure := law.get(key):
            rule = rule_of(code, figure.source, axle, least_mm=figure.value)
            known = [place for place in places if place.verdict != Verdict.UNMEASURED]
            found = [gap_at(place) for place in known]
            missing = ["inside-wheel"] if len(known) < len(places) else []
            standing = code == "gap-lock"
            results.append(_least(rule, answer, found, figure.value, missing, standing=standing))
    return results


def _least(
    rule: Rule,
    answer: CornerAnswer,
    found: Sequence[Gap],
    least_mm: float,
    missing: Sequence[str] = (),
    *,
    standing: bool = False,
) -> Result:
    """The gap that decides; it passes only where everything round the wheel is known."""
    worst = decisive(found, least_mm)
    if worst is None:
        return rule.unknown("measured-spot")
    passes = worst.outcome(least_mm) == Outcome.PASSES
    if not passes and standing and abs(worst.at.travel_mm) > STANDING:
        told, travel = "found.gap-in-travel", worst.at.travel_mm
        return rule.unknown("standing-gap", told=told, travel_mm=travel, **_found(worst))
    more = [*missing, *(["rest-of-survey"] if answer.uncovered else [])]
    if passes and more:
        return rule.unknown(more[0], told="found.gap-in-part", **_found(worst))
    return _judged(rule, worst, least_mm)


def chains(corner: Corner, duty: Duty, answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
    """Clearance for chains: everything outside the wheel against the tread, and against the sides.

    A spot that is nearest at the side is held against the tread as well, where more is asked.
    """
    if not {"chain_tread_mm", "chain_side_mm"} & set(law):
        return []
    section, setting = section_of(corner.wheel, corner.tyre), setting_of("", corner, duty)
    nearest = np.array([one.nearest_mm for one in answer.places]).reshape(-1, 2)
    inside = section.is_inside_wheel(*nearest.T)
    outside = {one.place for one, at in zip(answer.places, inside, strict=True) if not at}
    results = []
    for key, code, gaps_to in (
        ("chain_tread_mm", "chain-tread", gaps_over_tread),
        ("chain_side_mm", "chain-side", gaps_beside),
    ):
        if figure := law.get(key):
            rule = rule_of(code, figure.source, axle, free_mm=figure.value)
            found = [one for one in gaps_to(setting, figure.value) if one.spot in outside]
            results.append(_least(rule, answer, found, figure.value))
    return results


def height(corner: Corner, law: Law, axle: str) -> list[Result]:
    """Change of ride height, by length and as a share of the travel it is taken from."""
    change = corner.planned.adjusters.ride_height_mm
    results = []
    if "height_mm" in law:
        figure = law["height_mm"]
        rule = rule_of("height", figure.source, axle, most_mm=figure.value)
        good = abs(change) <= figure.value
        results.append(rule.judged(good, "found.height", change_mm=change))
    if "height_share" in law:
        results.append(_travel_left(corner, law, axle))
    return results


def _travel_left(corner: Corner, law: Law, axle: str) -> Result:
    """The larger of the shares that height and packers take of bump and of droop.

    What one takes of bump the other may give back: a raised car has gained bump and lost droop,
    and its packer takes of what it gained.
    """
    figure, limits, adjusters = law["height_share"], corner.limits, corner.planned.adjusters
    rule = rule_of("travel-left", figure.source, axle, most_share=figure.value)
    raised = adjusters.ride_height_mm
    ways = (
        ("found.bump-taken", max(adjusters.bump_stop_mm - raised, 0.0), limits.bump_mm),
        ("found.droop-taken", max(raised, 0.0), limits.droop_mm),
    )
    if limits.bump_mm is None or any(taken and not travel for _, taken, travel in ways):
        return rule.unknown("damper-travel")
    share, code, taken, travel = max(
        (taken / travel if travel else 0.0, code, taken, travel) for code, taken, travel in ways
    )
    good = share <= figure.value + 1e-9
    return rule.judged(good, code, taken_mm=taken, travel_mm=travel, taken_share=share)
