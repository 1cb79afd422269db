"""Mounting checks that read a room check's answer: brakes, gaps, cover and ride height.

They hold for exactly the setting, wheels and use that were checked. Millimetres and degrees.
"""

from __future__ import annotations

from fitment.engine.cover import Cover, cover_of
from fitment.engine.law import TREAD_WIDTH, Law
from fitment.engine.model import BODY, KNUCKLE, UNMEASURED, Corner, CornerAnswer, PlaceAnswer
from fitment.engine.mounting import Result, Rule, plus
from fitment.engine.section import Section, section_of

#: Travel and lock below which a pose counts as standing, mm and degrees.
STANDING = 1.0


def room_checks(corner: Corner, answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
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
    return Rule(
        "Brake and spokes",
        f"The brake clears barrel and spokes by {figure.value:g} mm.",
        figure.source,
        axle,
    )


def brakes(answer: CornerAnswer, section: Section, law: Law, axle: str) -> Result:
    """The brake, and whatever else turns with the hub inside the wheel."""
    rule = brake_rule(law, axle)
    inside = [
        place
        for place in answer.places
        if place.carried_by == KNUCKLE and place.nearest_mm[1] < section.rim_radius_mm
    ]
    if not inside:
        return rule.unknown("the brake's outline in the survey")
    if any(place.verdict == UNMEASURED for place in inside):
        return rule.unknown("barrel and back of the spokes of this wheel")
    worst = min(inside, key=lambda place: place.clearance_mm)
    return rule.judged(
        worst.clearance_mm >= law["caliper_mm"].value,
        f"{worst.place.capitalize()}: {plus(worst.clearance_mm, 1)} ± {worst.sigma_mm:.1f} mm.",
    )


def cover_rule(law: Law, axle: str) -> Rule:
    if "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return Rule(
            "Cover of the wheel",
            "The body covers the wheel over the arc that the law asks for; the shop has chosen "
            "no law.",
            "Law and practice, in the shop's settings",
            axle,
        )
    ahead, behind = law["cover_ahead_deg"], law["cover_behind_deg"]
    what = "tread" if _what(law) == TREAD_WIDTH else "whole width of the tyre"
    return Rule(
        "Cover of the wheel",
        f"The body covers the {what} from {ahead.value:g}° ahead of to {behind.value:g}° behind "
        "straight up.",
        ahead.source,
        axle,
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
    where = f"{abs(cover.at_deg):.0f}° {'ahead' if cover.at_deg >= 0 else 'behind'}"
    if cover.covered_mm < 0:
        sentence = f"Stands out {-cover.covered_mm:.1f} mm past the {cover.place}, {where}."
        if -cover.covered_mm > law["lip_turn_mm"].value:
            return rule.judged(False, sentence)
        return rule.unknown(
            "the visible outer edge of the body",
            sentence=f"{sentence} The edge surveyed is the lip's inner end; the visible one may "
            "cover it.",
        )
    sentence = f"{cover.covered_mm:.1f} mm inside the {cover.place} where it is least, {where}."
    if not cover.whole:
        return rule.unknown(
            "the rest of the arc",
            sentence=f"{sentence} Measured only from {-cover.from_deg:.0f}° behind to "
            f"{cover.to_deg:.0f}° ahead.",
        )
    return rule.judged(True, sentence)


def rear_edge(
    corner: Corner, answer: CornerAnswer, section: Section, law: Law, axle: str
) -> list[Result]:
    """How far down the cover reaches behind the wheel, where the law asks for it."""
    figure = law.get("cover_rear_edge_mm")
    if figure is None or "cover_ahead_deg" not in law or "cover_behind_deg" not in law:
        return []
    rule = Rule(
        "Rear edge of the cover",
        f"Behind the wheel the cover reaches down to {figure.value:g} mm above the axle.",
        figure.source,
        axle,
    )
    cover = _cover(corner, answer, section, law)
    if cover is not None and cover.rear_edge_mm <= figure.value:
        return [rule.judged(True, f"Measured down to {cover.rear_edge_mm:.0f} mm above it.")]
    return [rule.unknown("the rear end of the body's edge")]


def gaps(answer: CornerAnswer, law: Law, axle: str) -> list[Result]:
    """Least gaps to suspension and to body, and lock to lock, where the law names them."""
    parts = [place for place in answer.places if place.carried_by != BODY]
    body = [place for place in answer.places if place.carried_by == BODY]
    results = []
    for key, title, places, words in (
        ("gap_parts_mm", "Gap to the suspension", parts, "to parts of the suspension"),
        ("gap_body_mm", "Gap to the body", body, "to the body"),
        ("gap_lock_mm", "Gap from lock to lock", list(answer.places), "lock to lock"),
    ):
        figure = law.get(key)
        if figure is None:
            continue
        rule = Rule(
            title,
            f"At least {figure.value:g} mm {words}, over all the travel and lock of the use.",
            figure.source,
            axle,
        )
        results.append(_least(rule, places, figure.value, standing=key == "gap_lock_mm"))
    return results


def _least(rule: Rule, places: list[PlaceAnswer], least: float, *, standing: bool) -> Result:
    known = [place for place in places if place.verdict != UNMEASURED]
    if not known:
        return rule.unknown("a measured place")
    worst = min(known, key=lambda place: place.clearance_mm)
    gap = plus(worst.clearance_mm, 1)
    sentence = f"{worst.place.capitalize()}: {gap} ± {worst.sigma_mm:.1f} mm"
    if worst.clearance_mm < least and standing and abs(worst.at.travel_mm) > STANDING:
        return rule.unknown(
            "the gap standing still",
            sentence=f"{sentence}, at {plus(worst.at.travel_mm, 0)} mm of travel; "
            "standing it is more.",
        )
    if worst.clearance_mm >= least and len(known) < len(places):
        return rule.unknown("the room inside the wheel", sentence=f"{sentence}; not all is known.")
    return rule.judged(worst.clearance_mm >= least, f"{sentence}.")


def chains(answer: CornerAnswer, section: Section, law: Law, axle: str) -> list[Result]:
    """Room for chains over the tread and beside the tyre, by where each place comes nearest."""
    shoulder = section.tyre_radius_mm - section.mounted.shoulder_drop_mm
    results = []
    for key, title, on_tread in (
        ("chain_tread_mm", "Chains over the tread", True),
        ("chain_side_mm", "Chains beside the tyre", False),
    ):
        figure = law.get(key)
        if figure is None:
            continue
        rule = Rule(
            title,
            f"{figure.value:g} mm free {'over the tread' if on_tread else 'beside the tyre'}.",
            figure.source,
            axle,
        )
        there = [
            place
            for place in answer.places
            if place.part == "tyre" and (place.touch_mm[1] >= shoulder) == on_tread
        ]
        results.append(_least(rule, there, figure.value, standing=False))
    return results


def height(corner: Corner, law: Law, axle: str) -> list[Result]:
    """Change of ride height, by length and as a share of the travel it is taken from."""
    change = corner.planned.adjusters.ride_height_mm
    results = []
    if "height_mm" in law:
        figure = law["height_mm"]
        rule = Rule(
            "Ride height",
            f"Changed by {figure.value:g} mm at most against the height of the survey.",
            figure.source,
            axle,
        )
        results.append(rule.judged(abs(change) <= figure.value, f"{plus(change, 0)} mm."))
    if "height_share" in law:
        figure = law["height_share"]
        rule = Rule(
            "Travel left",
            f"No more than {100 * figure.value:.0f} % of the travel in that direction is taken by "
            "height and packers.",
            figure.source,
            axle,
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
                    f"{taken:g} of {travel:g} mm, {100 * share:.0f} %.",
                )
            )
    return results
