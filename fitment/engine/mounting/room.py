"""Mounting checks that read a room check's answer: brakes, gaps, cover and ride height.

They hold for exactly the setting, wheels and use that were checked. Millimetres and degrees.
"""

from __future__ import annotations

import re

from common.verdicts import Verdict
from fitment.engine.model import BODY, KNUCKLE, Corner, CornerAnswer, SpotAnswer
from fitment.engine.mounting.law import TREAD_WIDTH, Law
from fitment.engine.mounting.rule import Result, Rule, plus, rule_of
from fitment.engine.mounting.wheel_cover import Cover, cover_of
from fitment.engine.solid.section import Section, section_of

#: Travel and lock below which a pose counts as standing, mm and degrees.
STANDING = 1.0
#: Places that are the brake, as surveys name them.
BRAKE = re.compile(r"brake|calli?per|disc|rotor|brems|sattel", re.I)


def clearance_checks(corner: Corner, answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
    """All checks of one corner that its room answers."""
    section = section_of(corner.wheel, corner.tyre)
    return [
        brakes(answer, section, law, axle),
        covered(corner, answer, section, law, axle),
        *rear_edge(corner, answer, section, law, axle),
        *gaps(answer, law, axle),
        *chains(answer, section, law, axle),
        *height(corner, law, axle),
    ]


def not_checked(law: Law, axle: str) -> list[Result]:
    """What stands where no room check holds for the order as it is."""
    return [
        brake_rule(law, axle).unknown("a room check of this order as it is"),
        cover_rule(law, axle).unknown("a room check of this order as it is"),
    ]


def brake_rule(law: Law, axle: str) -> Rule:
    figure = law["caliper_mm"]
    return rule_of(
        "Brake and spokes",
        "The brake clears barrel and spokes by {least} mm.",
        figure.source,
        axle,
        least=figure.value,
    )


def brakes(answer: CornerAnswer, section: Section, law: Law, axle: str) -> Result:
    """The brake, and whatever else turns with the hub inside the wheel."""
    rule = brake_rule(law, axle)
    inside = [
        place
        for place in answer.places
        if place.carried_by == KNUCKLE and place.nearest_mm[1] < section.rim_radius_mm
    ]
    if any(place.verdict == Verdict.UNMEASURED for place in inside):
        return rule.unknown("barrel and back of the spokes of this wheel")
    worst = min(inside, key=lambda place: place.clearance_mm, default=None)
    if worst is not None and worst.clearance_mm < law["caliper_mm"].value:
        return rule.judged(False, "{place}: {gap} ± {sigma} mm.", **_found(worst))
    if worst is None or not any(BRAKE.search(place.place) for place in inside):
        return rule.unknown("the brake's outline in the survey")
    return rule.judged(True, "{place}: {gap} ± {sigma} mm.", **_found(worst))


def _found(place: SpotAnswer) -> dict[str, float | str]:
    """A place, its gap and how sure it is, as sentences name them."""
    return {
        "place": place.place.capitalize(),
        "gap": plus(place.clearance_mm, 1),
        "sigma": f"{place.sigma_mm:.1f}",
    }


def cover_rule(law: Law, axle: str) -> Rule:
    if "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return rule_of(
            "Cover of the wheel",
            "The body covers the wheel over the arc that the law asks for; the shop has chosen "
            "no law.",
            "Law and practice, in the shop's settings",
            axle,
        )
    ahead, behind = law["cover_ahead_deg"], law["cover_behind_deg"]
    return rule_of(
        "Cover of the wheel",
        "The body covers the tread from {ahead}° ahead of to {behind}° behind straight up."
        if _what(law) == TREAD_WIDTH
        else "The body covers the whole width of the tyre from {ahead}° ahead of to {behind}° "
        "behind straight up.",
        ahead.source,
        axle,
        ahead=ahead.value,
        behind=behind.value,
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
        return rule.unknown("the law that the shop goes by")
    cover = _cover(corner, answer, section, law)
    if cover is None:
        return rule.unknown("a body edge outboard of the wheel")
    where: dict[str, float | str] = {
        "size": f"{abs(cover.covered_mm):.1f}",
        "place": cover.place,
        "angle": f"{abs(cover.at_deg):.0f}",
    }
    ahead = cover.at_deg >= 0
    if cover.covered_mm < -law["lip_turn_mm"].value:
        return rule.judged(
            False,
            "Stands out {size} mm past the {place}, {angle}° ahead."
            if ahead
            else "Stands out {size} mm past the {place}, {angle}° behind.",
            **where,
        )
    if cover.covered_mm < 0:
        return rule.unknown(
            "the visible outer edge of the body",
            sentence="Stands out {size} mm past the {place}, {angle}° ahead. The edge surveyed is "
            "the lip's inner end; the visible one may cover it."
            if ahead
            else "Stands out {size} mm past the {place}, {angle}° behind. The edge surveyed is "
            "the lip's inner end; the visible one may cover it.",
            **where,
        )
    if not cover.whole:
        return rule.unknown(
            "the rest of the arc",
            sentence="{size} mm inside the {place} where it is least, {angle}° ahead. Measured "
            "only from {behind}° behind to {before}° ahead."
            if ahead
            else "{size} mm inside the {place} where it is least, {angle}° behind. Measured only "
            "from {behind}° behind to {before}° ahead.",
            behind=f"{-cover.from_deg:.0f}",
            before=f"{cover.to_deg:.0f}",
            **where,
        )
    return rule.judged(
        True,
        "{size} mm inside the {place} where it is least, {angle}° ahead."
        if ahead
        else "{size} mm inside the {place} where it is least, {angle}° behind.",
        **where,
    )


def rear_edge(
    corner: Corner, answer: CornerAnswer, section: Section, law: Law, axle: str
) -> list[Result]:
    """How far down the cover reaches behind the wheel, where the law asks for it."""
    figure = law.get("cover_rear_edge_mm")
    if figure is None or "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return []
    rule = rule_of(
        "Rear edge of the cover",
        "Behind the wheel the cover reaches down to {height} mm above the axle.",
        figure.source,
        axle,
        height=figure.value,
    )
    cover = _cover(corner, answer, section, law)
    if cover is not None and cover.rear_edge_mm <= figure.value:
        height = f"{cover.rear_edge_mm:.0f}"
        return [rule.judged(True, "Measured down to {height} mm above it.", height=height)]
    return [rule.unknown("the rear end of the body's edge")]


def gaps(answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
    """Least gaps to suspension and to body, and lock to lock, where the law names them."""
    parts = [place for place in answer.places if place.carried_by != BODY]
    body = [place for place in answer.places if place.carried_by == BODY]
    results = []
    if figure := law.get("gap_parts_mm"):
        rule = rule_of(
            "Gap to the suspension",
            "At least {least} mm to parts of the suspension, over all the travel and lock of the "
            "use.",
            figure.source,
            axle,
            least=figure.value,
        )
        results.append(_least(rule, answer, parts, figure.value))
    if figure := law.get("gap_body_mm"):
        rule = rule_of(
            "Gap to the body",
            "At least {least} mm to the body, over all the travel and lock of the use.",
            figure.source,
            axle,
            least=figure.value,
        )
        results.append(_least(rule, answer, body, figure.value))
    if figure := law.get("gap_lock_mm"):
        rule = rule_of(
            "Gap from lock to lock",
            "At least {least} mm lock to lock, over all the travel and lock of the use.",
            figure.source,
            axle,
            least=figure.value,
        )
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
        return rule.unknown("a measured place")
    worst = min(known, key=lambda place: place.clearance_mm)
    found = _found(worst)
    if worst.clearance_mm < least and standing and abs(worst.at.travel_mm) > STANDING:
        return rule.unknown(
            "the gap standing still",
            sentence="{place}: {gap} ± {sigma} mm, at {travel} mm of travel; standing it is more.",
            travel=plus(worst.at.travel_mm, 0),
            **found,
        )
    if worst.clearance_mm >= least and len(known) < len(places):
        return rule.unknown(
            "the room inside the wheel",
            sentence="{place}: {gap} ± {sigma} mm; not all is known.",
            **found,
        )
    if worst.clearance_mm >= least and answer.uncovered:
        return rule.unknown(
            "the rest of the survey",
            sentence="{place}: {gap} ± {sigma} mm; not all is known.",
            **found,
        )
    return rule.judged(worst.clearance_mm >= least, "{place}: {gap} ± {sigma} mm.", **found)


def chains(answer: CornerAnswer, section: Section, law: Law, axle: str) -> list[Result]:
    """Room for chains over the tread and beside the tyre, by where each place comes nearest."""
    shoulder = section.tyre_radius_mm - section.mounted.shoulder_drop_mm
    results = []
    for key, on_tread in (("chain_tread_mm", True), ("chain_side_mm", False)):
        figure = law.get(key)
        if figure is None:
            continue
        rule = rule_of(
            "Chains over the tread" if on_tread else "Chains beside the tyre",
            "{free} mm free over the tread." if on_tread else "{free} mm free beside the tyre.",
            figure.source,
            axle,
            free=figure.value,
        )
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
        rule = rule_of(
            "Ride height",
            "Changed by {most} mm at most against the height of the survey.",
            figure.source,
            axle,
            most=figure.value,
        )
        good = abs(change) <= figure.value
        results.append(rule.judged(good, "{change} mm.", change=plus(change, 0)))
    if "height_share" in law:
        figure = law["height_share"]
        rule = rule_of(
            "Travel left",
            "No more than {most} % of the travel in that direction is taken by height and packers.",
            figure.source,
            axle,
            most=f"{100 * figure.value:.0f}",
        )
        limits = corner.limits
        taken = max(-change, 0.0) + corner.planned.adjusters.bump_stop_mm
        travel = limits.bump_mm if change <= 0 else limits.droop_mm
        taken = taken if change <= 0 else change
        if not travel:
            results.append(rule.unknown("the travel of the damper"))
        else:
            share = taken / travel
            results.append(
                rule.judged(
                    share <= figure.value + 1e-9,
                    "{taken} of {travel} mm, {share} %.",
                    taken=taken,
                    travel=travel,
                    share=f"{100 * share:.0f}",
                )
            )
    return results
