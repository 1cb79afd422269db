"""Levers against the whole check: one thing is changed a little, and everything is done again.

The check searches for its tightest moments anew and knows nothing of levers. A clearance that has
a corner there (its slopes to the two sides differ) or that overlaps has no derivative to compare.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from alignment.geometry.model import CURVES, Adjusters
from fitment.engine.check import CannotCheck, run
from fitment.engine.model import Check, Corner, CornerAnswer, Effect
from tests.engine.random_corners import random_check, the_corner, with_corner
from tests.nights import day_and_night

#: Steps of the whole check, mm and degrees: the search promises 0.02 mm and keeps it far better
#: between neighbours.
STEP_MM, STEP_DEG = 0.5, 0.02
#: Slopes of both sides that differ by more than this (mm per mm or degree) have a corner between.
CORNER, CORNER_DEG = 0.05, 0.5
#: What a lever may be off by: an absolute part, and a share of itself.
OFF, OFF_DEG, SHARE = 0.03, 0.3, 0.03
#: A share with every kind of suspension, and more of them.
BY_DAY = (1, 2, 4, 11)
MORE = (3, 6, 8, 9, *range(3000, 3080))


def answered(check: Check) -> CornerAnswer:
    (answer,) = run(check).corners.values()
    return answer


def as_it_stands(corner: Corner, answer: CornerAnswer) -> Corner:
    """The corner with every adjuster stated where the check solved it to; camber follows."""
    if corner.suspension.kind == CURVES:
        return corner
    plain = {name: value for name, value in answer.adjusters.items() if name != "rods_mm"}
    rods = answer.adjusters.get("rods_mm", {})
    adjusters = Adjusters(**plain, rods_mm=rods)
    plan = replace(corner.planned, camber_deg=None, camber_by=None, adjusters=adjusters)
    return replace(corner, planned=plan)


def changed(corner: Corner, name: str, by: float) -> Corner:
    """The corner with the thing that a lever names larger by this much."""
    wheel, tyre, plan = corner.wheel, corner.tyre, corner.planned
    adjusters = plan.adjusters
    if name == "spacer":
        return replace(corner, wheel=replace(wheel, spacer_mm=wheel.spacer_mm + by))
    if name == "wheel offset":
        return replace(corner, wheel=replace(wheel, offset_mm=wheel.offset_mm + by))
    if name == "section width":
        return replace(
            corner, tyre=replace(tyre, section_width_mm=(tyre.section_width_mm or 0.0) + by)
        )
    if name == "overall diameter":
        return replace(
            corner, tyre=replace(tyre, overall_diameter_mm=(tyre.overall_diameter_mm or 0.0) + by)
        )
    if name == "camber":
        return replace(corner, planned=replace(plan, camber_deg=(plan.camber_deg or 0.0) + by))
    if name.startswith("rod:"):
        rods = {**adjusters.rods_mm, name[4:]: adjusters.rods_mm.get(name[4:], 0.0) + by}
        adjusters = replace(adjusters, rods_mm=rods)
    else:
        adjusters = replace(adjusters, **{name: getattr(adjusters, name) + by})
    return replace(corner, planned=replace(plan, adjusters=adjusters))


def plain_corner(seed: int) -> tuple[Check, Corner]:
    """A random corner whose tyre is smooth and measured, so that its dimensions can change."""
    check = random_check(seed)
    corner = the_corner(check)
    tyre = replace(
        corner.tyre,
        profile=(),
        section_width_mm=corner.tyre.section_width_mm or 225.0,
        overall_diameter_mm=corner.tyre.overall_diameter_mm or 640.0,
        tread_width_mm=None,
        shoulder_drop_mm=8.0,
    )
    corner = replace(corner, tyre=tyre)
    here = as_it_stands(corner, answered(with_corner(check, corner)))
    return check, here


def slopes(check: Check, corner: Corner, effect: Effect) -> Iterator[tuple[int, float, float]]:
    """Places with a slope: index, mm per unit by the whole check, degrees of camber per unit."""
    step = STEP_DEG if effect.unit == "°" else STEP_MM
    rows = []
    for by in (-step, 0.0, step):
        try:
            rows.append(answered(with_corner(check, changed(corner, effect.name, by))))
        except CannotCheck:
            return
    behind, here, ahead = rows
    camber = (ahead.static.camber_deg - behind.static.camber_deg) / (2 * step)
    for index, places in enumerate(zip(behind.places, here.places, ahead.places, strict=True)):
        less, now, more = (place.clearance_mm for place in places)
        after, before = (more - now) / step, (now - less) / step
        if now > 0.5 and abs(after - before) < (CORNER_DEG if effect.unit == "°" else CORNER):
            yield index, (more - less) / (2 * step), camber


@cache
def compared(seed: int) -> list[str]:
    """Names of the levers that were compared on a random corner, one entry for each place."""
    check, corner = plain_corner(seed)
    answer, found = answered(with_corner(check, corner)), []
    assert answer.effects
    for effect in answer.effects:
        for index, slope, camber in slopes(check, corner, effect):
            off = OFF_DEG if effect.unit == "°" else OFF
            where = f"seed {seed}, {effect.name}, {answer.places[index].place}"
            assert effect.by_place[index] == pytest.approx(slope, abs=off, rel=SHARE), where
            if not effect.name.startswith(("section", "overall", "wheel", "spacer")):
                assert effect.camber_deg == pytest.approx(camber, abs=2e-3, rel=0.01), where
            found.append(effect.name)
    return found


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, MORE))
def test_effects_are_what_the_whole_check_changes_by(seed: int) -> None:
    compared(seed)


def test_every_kind_of_effect_was_compared() -> None:
    """Guards the comparison above against comparing nothing."""
    names = [name for seed in BY_DAY for name in compared(seed)]
    assert len(names) > 100
    assert {"spacer", "wheel offset", "section width", "overall diameter"} <= set(names)
    assert {"ride_height_mm", "top_mount_in_mm", "lower_arm_out_mm"} <= set(names)
    assert {"upper_arm_in_mm", "knuckle_camber_deg", "bump_stop_mm", "camber"} <= set(names)
    assert any(name.startswith("rod:") for name in names)
