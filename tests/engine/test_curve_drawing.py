"""The plot of a corner's curves says what the curves say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.hub_position import Curve
from common.message import message
from fitment.engine.curves.corner_curves import (
    CAMBER,
    CASTER,
    OUTBOARD,
    TOE,
    Mark,
    Read,
    corner_curves,
)
from fitment.engine.drawing.axes import scale_over, spread, tick_step
from fitment.engine.drawing.curve_drawing import (
    INCHES,
    LOCK,
    NothingToDraw,
    corner_curve_scene,
    curve_scene,
)
from fitment.engine.drawing.lettering import lettered
from fitment.engine.drawing.scene import Hatch, Stroke, Words
from fitment.engine.drawing.scene_svg import scene_svg
from tests.budget import share_of
from tests.engine.drawn_words import collisions, cut_off, texts
from tests.engine.files import LINKS, STRUT, check_of
from tests.engine.letters import letter
from tests.engine.random_corners import random_check

TRAVEL = np.linspace(-60.0, 40.0, 21)


def line(start: float, slope: float, at=TRAVEL) -> Curve:
    """A curve that is straight in everything."""
    value = start + slope * at
    return Curve(at, value, value / 10, None, 10 * value, 0 * at)


BEFORE, AFTER = line(-0.5, -0.02), line(-1.2, -0.02)
BEFORE_NAME, AFTER_NAME = message("curve.before"), message("curve.after")
DROOP, HEIGHT, BUMP, SURVEYED = (
    message(f"mark.{name}") for name in ("droop-stop", "ride-height", "bump-stop", "as-surveyed")
)
MARKS = (Mark(-60.0, DROOP, -1), Mark(0.0, HEIGHT), Mark(40.0, BUMP, 1))
READ = (Read(-40.0, 0.3, 0.03), Read(0.0, -0.5, None), Read(30.0, -1.1, -0.1))


def draw(quantity=CAMBER, **more):
    pair = ((BEFORE_NAME, BEFORE), (AFTER_NAME, AFTER))
    return scene_of(pair, quantity, marks=MARKS, **more)


def scene_of(curves, quantity=CAMBER, **more):
    return curve_scene(curves, quantity, title="Front left: camber", letter=letter, **more)


def told(scene, code):
    return [one.params for one in scene.description if one.code == code]


SCENE = draw(readings=READ)


def strokes(scene, style):
    return [part for part in scene.parts if isinstance(part, Stroke) and part.style == style]


def test_before_is_dashed_and_after_is_thick_and_their_ends_say_so():
    (dashed,), (thick,) = strokes(SCENE, "ink-dash"), strokes(SCENE, "ink-thick")
    assert len(dashed.points) == len(thick.points) == len(TRAVEL)
    assert all(a[1] < b[1] for a, b in zip(thick.points, dashed.points, strict=True))
    ends = {part.lines for part in SCENE.parts if isinstance(part, Words) and len(part.lines) > 1}
    assert {tuple(letter(text) for text, _ in lines) for lines in ends} == {
        ("before", "−1.30°"),
        ("after", "−2.00°"),
    }


def test_inches_rename_the_axis_and_change_no_line():
    metric, imperial = draw(readings=READ), draw(readings=READ, unit=INCHES)
    assert message("axis.over-travel", unit=message("unit.in")) in codes(imperial)
    assert {"−2.0", "+0.5", "−2.00°"} <= set(texts(imperial)), "ticks are inches, angles degrees"
    assert [letter(one["last_at"]) for one in told(imperial, "describe.line")] == ["+1.57 in"] * 2
    for style in ("ink-thick", "ink-dash", "swept-edge"):
        for one, two in zip(strokes(metric, style), strokes(imperial, style), strict=True):
            assert np.allclose(one.points, two.points, atol=1e-6)
    shift = draw(OUTBOARD, unit=INCHES)
    assert letter(told(shift, "describe.line")[0]["last_at"]) == "+1.57 in"
    assert any(text.endswith(" in") for text in texts(shift))


def codes(scene):
    return [text for part in scene.parts if isinstance(part, Words) for text, _ in part.lines]


def test_nothing_is_a_line_where_the_figures_cross_it():
    (zero,) = [
        p for p in strokes(SCENE, "ink-thin") if p.points[0][1] == p.points[1][1] and is_long(p)
    ]
    assert zero.points[0][1] == pytest.approx(tick_height("0"))
    away = scene_of(((AFTER_NAME, line(-2.0, 0.0)),))
    assert not [
        p for p in strokes(away, "ink-thin") if p.points[0][1] == p.points[1][1] and is_long(p)
    ]


def is_long(stroke):
    return len(stroke.points) == 2 and abs(stroke.points[0][0] - stroke.points[1][0]) > 100.0


def tick_height(text):
    words = [
        p for p in SCENE.parts if isinstance(p, Words) and [letter(t) for t, _ in p.lines] == [text]
    ]
    return next(part.at[1] for part in words if part.anchor == "end")


def test_stops_are_walls_hatched_on_the_far_side():
    first, last = [part for part in SCENE.parts if isinstance(part, Hatch)]
    (thick,) = strokes(SCENE, "ink-thick")
    left, right = thick.points[0][0], thick.points[-1][0]
    assert max(x for segment in first.segments for x, _ in segment) == pytest.approx(left)
    assert min(x for segment in last.segments for x, _ in segment) == pytest.approx(right)
    assert {"droop stop", "bump stop", "ride height"} <= set(texts(SCENE))


def test_readings_are_crosses_where_they_were_read():
    walls = 2
    arms = strokes(SCENE, "swept-edge")[walls:]
    assert len(arms) == 2 * len(READ)
    (dashed,) = strokes(SCENE, "ink-dash")
    x, y = np.array(dashed.points).T
    for one, reading in zip(arms[::2], READ, strict=True):
        (x0, y0), (x1, y1) = one.points
        travel = np.interp((x0 + x1) / 2, x, TRAVEL)
        camber = np.interp((y0 + y1) / 2, y[::-1], BEFORE.camber_deg[::-1])
        assert (travel, camber) == pytest.approx((reading.at, reading.camber_deg), abs=1e-6)


def test_a_quantity_that_was_not_read_has_no_cross():
    assert len(strokes(draw(TOE, readings=READ), "swept-edge")) == 2 + 2 * 2
    assert len(strokes(draw(OUTBOARD, readings=READ), "swept-edge")) == 2


def test_ticks_show_their_sign_and_zero_none():
    ticks = [text for text in texts(SCENE) if text[0] in "+−" or text == "0"]
    assert {"−40", "−20", "0", "+20", "+40"} <= set(ticks)
    assert {"−1.0", "−0.5"} <= set(ticks)


def test_the_description_tells_the_figures_at_ends_and_ride_height():
    before = told(SCENE, "describe.line")[0]
    assert before.pop("line") == BEFORE_NAME
    assert {name: letter(text) for name, text in before.items()} == {
        "first": "+0.70°",
        "first_at": "−60 mm",
        "middle": "−0.50°",
        "middle_at": "ride height",
        "last": "−1.30°",
        "last_at": "+40 mm",
    }
    assert told(SCENE, "describe.readings") == [{"count": 3}]
    (marks,) = told(SCENE, "describe.marks")
    assert [letter(one.params["mark"]) for one in marks["marks"]] == ["droop stop", "bump stop"]


def test_a_flat_line_looks_flat():
    scene = scene_of(((AFTER_NAME, line(-1.0, 1e-6)),))
    (thick,) = strokes(scene, "ink-thick")
    ys = [y for _, y in thick.points]
    assert max(ys) - min(ys) < 1.0


def test_lines_that_end_together_have_their_names_apart():
    twins = scene_of(((BEFORE_NAME, AFTER), (AFTER_NAME, AFTER)))
    assert collisions(twins) == []


def test_a_height_close_under_a_stop_still_finds_room_for_its_name():
    marks = (Mark(-60.0, DROOP, -1), Mark(0.0, HEIGHT), Mark(-3.0, SURVEYED))
    marks = (*marks, Mark(6.0, BUMP, 1))
    scene = scene_of(((AFTER_NAME, line(-1.0, -0.02, TRAVEL[:13])),), marks=marks)
    assert collisions(scene) == []
    assert cut_off(scene) == []


def test_a_corner_without_a_steering_axis_has_no_caster_to_draw():
    with pytest.raises(NothingToDraw) as refused:
        draw(CASTER)
    assert refused.value.message == message("draw.no-axis", curve=BEFORE_NAME)
    check = check_of(LINKS)
    curves = corner_curves(next(iter(check.corners.values())), check.duty)
    with pytest.raises(NothingToDraw) as refused:
        corner_curve_scene(curves, TOE, title="x", letter=letter, over=LOCK)
    assert refused.value.message == message("draw.no-steering")


def test_what_could_not_be_drawn_is_said_below_the_drawing():
    check = check_of(STRUT)
    corner = next(iter(check.corners.values()))
    corner = replace(corner, limits=replace(corner.limits, bump_mm=None))
    scene = corner_curve_scene(corner_curves(corner, check.duty), CAMBER, title="x", letter=letter)
    assert scene.legend[-1] == message("curve-note.no-bump", drawn_mm=60.0)


@pytest.mark.parametrize("seed", range(16))
def test_every_word_on_a_plot_of_a_random_corner_can_be_read_on_a_phone(seed):
    check = random_check(seed)
    (corner,) = check.corners.values()
    curves = corner_curves(corner, check.duty)
    scenes = [
        corner_curve_scene(curves, one, title="x", letter=letter) for one in curves.quantities
    ]
    if curves.steer_after is not None:
        scenes.append(corner_curve_scene(curves, CAMBER, title="x", letter=letter, over=LOCK))
    for scene in scenes:
        assert cut_off(scene) == []
        assert collisions(scene) == []


def test_the_page_gets_classes_and_words_but_no_styles():
    svg = scene_svg(lettered(SCENE, letter), id_prefix="curve")
    assert "style=" not in svg
    assert "<title" in svg
    assert "<desc" in svg


def test_a_plot_is_drawn_in_a_small_part_of_the_time_that_its_curves_take():
    check = check_of(STRUT)
    (corner, *_) = check.corners.values()
    share = share_of(lambda: corner_curves(corner, check.duty), lambda: draw(readings=READ))
    assert share < 0.15  # 0.03 when it was written


@pytest.mark.parametrize(
    ("span", "most", "step"), [(100.0, 6, 20.0), (0.9, 9, 0.2), (7.0, 8, 1.0), (61.0, 7, 20.0)]
)
def test_steps_between_ticks_are_round(span, most, step):
    assert tick_step(span, most) == pytest.approx(step)
    assert len(scale_over(0.0, span, 0.0, 1.0, most).ticks) <= most


def test_labels_are_spread_no_farther_than_they_must():
    assert spread([50.0, 52.0], 10.0, 0.0, 100.0) == pytest.approx([46.0, 56.0])
    assert spread([52.0, 50.0, 90.0], 10.0, 0.0, 100.0) == pytest.approx([56.0, 46.0, 90.0])
    assert spread([99.0, 98.0], 10.0, 0.0, 100.0) == pytest.approx([95.0, 85.0])
