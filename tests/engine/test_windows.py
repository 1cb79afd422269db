"""Windows against whole checks: their ends, their points, and what lies between."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from common.verdicts import Verdict
from fitment.engine.check import decided, run
from fitment.engine.drawing.lettering import lettered
from fitment.engine.drawing.scene import Stroke, Words
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.drawing.window_drawing import window_scene
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import (
    INBOARD,
    KNUCKLE,
    NOMINAL,
    OUTBOARD,
    Check,
    Corner,
    CornerAnswer,
    Feature,
    OpenArc,
    SurveyPoint,
)
from fitment.engine.solid.mounted import mounted
from fitment.engine.windows.data import Interval, NoWindow, Window
from fitment.engine.windows.search import offset_window, width_window
from tests.engine.letters import letter
from tests.engine.random_corners import random_check, the_corner, with_corner

#: Corners of every kind of suspension with an end that lies inside what is asked.
SEEDS = (4, 14, 17, 19)
#: A clearance that the check finds anew is off by so much at most, mm.
FOUND_MM = 0.03


@cache
def roomy(seed: int, least_mm: float = 8.0) -> Check:
    """A drawn corner that was looked at all round, without the spots that touch already."""
    check = random_check(seed)
    corner = the_corner(check)
    arcs = tuple(OpenArc(side, -180.0, 180.0, 900.0) for side in (INBOARD, OUTBOARD))
    survey = replace(corner.survey, open=arcs)
    limits = replace(corner.limits, bump_mm=corner.limits.bump_mm or 60.0)
    check = with_corner(check, replace(corner, survey=survey, limits=limits))
    answer = answered(check)
    keep = {one.place for one in answer.places if one.is_measured and one.clearance_mm > least_mm}
    features = tuple(one for one in survey.features if one.place in keep)
    return with_corner(check, replace(the_corner(check), survey=replace(survey, features=features)))


@cache
def untraced(seed: int) -> Check:
    """The same with a tyre of which no section was traced."""
    corner = the_corner(roomy(seed))
    return with_corner(roomy(seed), replace(corner, tyre=replace(corner.tyre, profile=())))


def answered(check: Check) -> CornerAnswer:
    (answer,) = run(check).corners.values()
    return answer


def ready(check: Check) -> Setting:
    ((name, corner),) = check.corners.items()
    return setting_of(name, corner, check.duty)


def verdict(check: Check, change: Callable[[Corner], Corner]) -> Verdict:
    return answered(with_corner(check, change(the_corner(check)))).verdict


@cache
def offsets(seed: int) -> Window:
    return offset_window([ready(roomy(seed))])


@cache
def widths(seed: int) -> Window:
    return width_window([ready(untraced(seed))])


def with_offset(at_mm: float) -> Callable[[Corner], Corner]:
    return lambda corner: replace(corner, wheel=replace(corner.wheel, offset_mm=at_mm))


def with_spacer(at_mm: float) -> Callable[[Corner], Corner]:
    return lambda corner: replace(corner, wheel=replace(corner.wheel, spacer_mm=at_mm))


def with_width(at_mm: float) -> Callable[[Corner], Corner]:
    def changed(corner: Corner) -> Corner:
        tyre, wheel = corner.tyre, corner.wheel
        more = at_mm - mounted(wheel, tyre).section_width_mm
        if tyre.largest_allowed:
            more /= 1.04
        stated = tyre.section_width_mm
        if stated is None:
            plain = replace(tyre, largest_allowed=False)
            wide = mounted(wheel, plain).section_width_mm + more
            return replace(corner, tyre=replace(tyre, section_width_mm=wide, width_known=NOMINAL))
        return replace(corner, tyre=replace(tyre, section_width_mm=stated + more))

    return changed


def hold_ends(
    check: Check, interval: Interval, change: Callable[[float], Callable[[Corner], Corner]]
) -> int:
    """Hold that a whole check clears just inside and not just outside; how many ends there were."""
    ends = ((interval.low_mm, -0.1), (interval.high_mm, 0.1))
    held = 0
    for (at, beyond), is_open in zip(ends, interval.is_open, strict=True):
        assert verdict(check, change(at)).clears
        if not is_open:
            assert not verdict(check, change(at + beyond)).clears
            held += 1
    return held


@pytest.mark.parametrize("seed", SEEDS)
def test_an_offset_clears_just_inside_and_not_just_outside(seed: int) -> None:
    assert sum(hold_ends(roomy(seed), one, with_offset) for one in offsets(seed).clears) > 0


@pytest.mark.parametrize("seed", [17, 19])
def test_a_width_clears_just_inside_and_not_just_outside(seed: int) -> None:
    window = widths(seed)
    assert window.clears
    for one in window.clears:
        hold_ends(untraced(seed), one, with_width)


def test_some_width_is_too_wide() -> None:
    assert any(not one.is_open[1] for seed in SEEDS for one in widths(seed).clears)


@pytest.mark.parametrize("seed", [4, 17, 19])
def test_a_spacer_clears_as_far_as_is_said(seed: int) -> None:
    spacer = offsets(seed).spacer
    assert spacer is not None
    assert spacer.low_mm >= 0
    assert verdict(roomy(seed), with_spacer(spacer.low_mm)).clears
    assert verdict(roomy(seed), with_spacer(spacer.high_mm)).clears
    if not spacer.is_open[1]:
        assert not verdict(roomy(seed), with_spacer(spacer.high_mm + 0.1)).clears
    if spacer.low_mm > 0:
        assert not verdict(roomy(seed), with_spacer(spacer.low_mm - 0.1)).clears


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_asked_is_what_a_check_says(seed: int) -> None:
    both = ((offsets, roomy, with_offset), (widths, untraced, with_width))
    for window, check, change in ((w(seed), c(seed), change) for w, c, change in both):
        for one in window.asked[:: max(1, len(window.asked) // 3)]:
            answer = answered(with_corner(check, change(one.at_mm)(the_corner(check))))
            assert one.verdict == answer.verdict
            for place in answer.places:
                said = one.spots[0, place.place]
                assert said.clearance_mm == pytest.approx(place.clearance_mm, abs=1e-6)
                assert said.sigma_mm == pytest.approx(place.sigma_mm, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_between_two_values_the_line_is_as_near_as_is_said(seed: int) -> None:
    rng = np.random.default_rng(seed)
    both = ((offsets, roomy, with_offset), (widths, untraced, with_width))
    for window, setting, change in ((w(seed), ready(c(seed)), change) for w, c, change in both):
        at = [one.at_mm for one in window.asked]
        drawn = {k: [o.spots[k].clearance_mm for o in window.asked] for k in window.between_mm}
        for value in rng.uniform(at[0], at[-1], 6):
            corner = change(float(value))(setting.corner)
            for spot in decided(replace(setting, corner=corner)).parts.spots:
                key = (0, spot.place)
                line = float(np.interp(value, at, drawn[key]))
                assert abs(line - spot.clearance_mm) <= window.between_mm[key] + FOUND_MM


def test_the_ends_may_lie_on_either_side_of_what_is_tried() -> None:
    """The fourth is doubtful as it is, and clears with more offset, or less spacer."""
    window = offsets(4)
    near = window.nearest
    assert near is not None
    assert near.low_mm > window.now_mm
    assert window.spacer is not None
    assert window.spacer.high_mm < window.spacer_now_mm


def test_two_sides_clear_together_where_each_does() -> None:
    one, other = ready(roomy(19)), ready(roomy(19, 12.0))
    together = offset_window([one, other])
    assert together.clears == offsets(19).clears
    assert {side for side, _ in together.asked[0].spots} == {0, 1}


def test_what_is_not_measured_clears_nowhere_and_says_why() -> None:
    window = offset_window([ready(random_check(0))])
    assert window.clears == ()
    assert window.missing
    assert window.spacer is None


def test_a_spot_of_which_nothing_is_known_is_named_and_left_out() -> None:
    """A spot inside a wheel whose spokes were not measured: the others still have a window."""
    check = roomy(19)
    corner = the_corner(check)
    inside = Feature("brake", carried_by=KNUCKLE, points=(SurveyPoint(0.0, 120.0, -20.0),))
    wheel = replace(corner.wheel, barrel_mm=None, spoke_back=())
    survey = replace(corner.survey, features=(*corner.survey.features, inside))
    changed = with_corner(check, replace(corner, survey=survey, wheel=wheel))
    assert answered(changed).verdict == Verdict.UNMEASURED
    window = offset_window([ready(changed)])
    assert "brake" in window.unknown
    assert window.clears
    codes = [one.code for one in window_scene(window, title="", letter=letter).legend]
    assert "legend.window-unknown" in codes


def test_a_traced_section_has_no_other_width() -> None:
    setting = ready(roomy(19))
    tyre = replace(setting.corner.tyre, profile=((-100.0, 250.0), (0.0, 320.0), (100.0, 250.0)))
    with pytest.raises(NoWindow):
        width_window([replace(setting, corner=replace(setting.corner, tyre=tyre))])


# The strip


def test_a_strip_says_what_clears_and_where_it_touches() -> None:
    window = offsets(19)
    scene = window_scene(window, title="Offsets", letter=letter)
    said = [line for part in scene.parts if isinstance(part, Words) for line, _ in part.lines]
    codes = [line.code for line in said if not isinstance(line, str)]
    assert "window.offset-between" in codes
    assert any(code.startswith("window.spacer") for code in codes)
    styles = [part.style for part in scene.parts if isinstance(part, Stroke)]
    touches = any(a.spots[s].clearance_mm < 0 for a in window.asked for s in window.limiting(3))
    assert ("gap-contact" in styles) is touches
    svg = scene_svg(lettered(scene, letter), id_prefix="strip")
    assert svg.startswith("<svg")


def test_a_strip_of_what_is_not_measured_has_no_interval() -> None:
    scene = window_scene(offset_window([ready(random_check(0))]), title="Offsets", letter=letter)
    codes = [line.code for line in scene.legend if not isinstance(line, str)]
    assert "legend.window-missing" in codes
