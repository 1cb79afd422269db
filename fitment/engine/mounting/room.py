"""Mounting checks that read a clearance check's answer: brakes, gaps, cover and ride height.

They hold for exactly the setting, wheels and use that were checked. Millimetres and degrees.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np

from common.verdicts import Verdict
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
    SpotAnswer,
)
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


def clearance_checks(corner: Corner, answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
    """All checks of one corner that its clearance answers."""
    section = section_of(corner.wheel, corner.tyre)
    return [
        brakes(answer, section, law, axle),
        covered(corner, answer, section, law, axle),
        *rear_edge(corner, answer, section, law, axle),
        *gaps(answer, law, axle),
        *lock(corner, answer, section, axle),
        *chains(answer, section, law, axle),
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
    worst = min(inside, key=lambda place: place.order_mm, default=None)
    if worst is not None and worst.clearance_mm < law["caliper_mm"].value:
        if worst.clearance_mm <= 0:
            return rule.barred("found.touches", **_found(worst))
        return rule.judged(False, "found.gap", **_found(worst))
    if worst is None or not any(BRAKE.search(place.place) for place in inside):
        return rule.unknown("brake-outline")
    return rule.judged(True, "found.gap", **_found(worst))


def _found(place: SpotAnswer) -> dict[str, Any]:
    """A spot, its gap and how sure it is."""
    return {"spot": place.place, "gap_mm": place.clearance_mm, "sigma_mm": place.sigma_mm}


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
    if figure := law.get("gap_parts_mm"):
        rule = rule_of("gap-parts", figure.source, axle, least_mm=figure.value)
        results.append(_least(rule, answer, parts, figure.value))
    if figure := law.get("gap_body_mm"):
        rule = rule_of("gap-body", figure.source, axle, least_mm=figure.value)
        results.append(_least(rule, answer, body, figure.value))
    if figure := law.get("gap_lock_mm"):
        rule = rule_of("gap-lock", figure.source, axle, least_mm=figure.value)
        places = list(answer.places)
        results.append(_least(rule, answer, places, figure.value, standing=True))
    return results


def _least(
    rule: Rule,
    answer: CornerAnswer,
    places: list[SpotAnswer],
    least: float,
    *,
    standing: bool = False,
) -> Result:
    """The tightest of some places; it passes only where everything round the wheel is known."""
    known = [place for place in places if place.verdict != Verdict.UNMEASURED]
    if not known:
        return rule.unknown("measured-spot")
    worst = min(known, key=lambda place: place.clearance_mm)
    found = _found(worst)
    if worst.clearance_mm < least and standing and abs(worst.at.travel_mm) > STANDING:
        return rule.unknown(
            "standing-gap", told="found.gap-in-travel", travel_mm=worst.at.travel_mm, **found
        )
    if worst.clearance_mm >= least and len(known) < len(places):
        return rule.unknown("inside-wheel", told="found.gap-in-part", **found)
    if worst.clearance_mm >= least and answer.uncovered:
        return rule.unknown("rest-of-survey", told="found.gap-in-part", **found)
    return rule.judged(worst.clearance_mm >= least, "found.gap", **found)


def chains(answer: CornerAnswer, section: Section, law: Law, axle: str) -> list[Result]:
    """Clearance for chains over the tread and beside the tyre, where each spot is nearest."""
    shoulder = section.tyre_radius_mm - section.mounted.shoulder_drop_mm
    results = []
    for key, on_tread in (("chain_tread_mm", True), ("chain_side_mm", False)):
        figure = law.get(key)
        if figure is None:
            continue
        code = "chain-tread" if on_tread else "chain-side"
        rule = rule_of(code, figure.source, axle, free_mm=figure.value)
        there = [
            place
            for place in answer.places
            if place.part == "tyre" and (place.touch_mm[1] >= shoulder) == on_tread
        ]
        results.append(_least(rule, answer, there, figure.value))
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
        figure = law["height_share"]
        rule = rule_of("travel-left", figure.source, axle, most_share=figure.value)
        limits = corner.limits
        taken = max(-change, 0.0) + corner.planned.adjusters.bump_stop_mm
        travel = limits.bump_mm if change <= 0 else limits.droop_mm
        taken = taken if change <= 0 else change
        if not travel:
            results.append(rule.unknown("damper-travel"))
        else:
            share = taken / travel
            results.append(
                rule.judged(
                    share <= figure.value + 1e-9,
                    "found.travel-taken",
                    taken_mm=taken,
                    travel_mm=travel,
                    taken_share=share,
                )
            )
    return results
