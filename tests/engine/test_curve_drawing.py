"""The plot of a corner's curves says what the curves say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.hub_position import Curve
from fitment.engine.curves.corner_curves import (
    CAMBER,
    CASTER,
    OUTBOARD,
    TOE,
    Mark,
    Read,
    corner_curves,
)
from fitment.engine.drawing.axes import scale_over, signed, spread, tick_step
from fitment.engine.drawing.curve_drawing import INCHES, LOCK, corner_curve_scene, curve_scene
from fitment.engine.drawing.scene import Hatch, Stroke, Words
from fitment.engine.drawing.scene_svg import scene_svg
from tests.budget import share_of
from tests.engine.drawn_words import collisions, cut_off, texts
from tests.engine.files import LINKS, STRUT, check_of
from tests.engine.random_corners import random_check

TRAVEL = np.linspace(-60.0, 40.0, 21)


def line(start: float, slope: float, at=TRAVEL) -> Curve:
    """A curve that is straight in everything."""
    value = start + slope * at
    return Curve(at, value, value / 10, None, 10 * value, 0 * at)


BEFORE, AFTER = line(-0.5, -0.02), line(-1.2, -0.02)
MARKS = (Mark(-60.0, "droop stop", -1), Mark(0.0, "ride height"), Mark(40.0, "bump stop", 1))
READ = (Read(-40.0, 0.3, 0.03), Read(0.0, -0.5, None), Read(30.0, -1.1, -0.1))


def draw(quantity=CAMBER, **more):
    pair = (("before", BEFORE), ("after", AFTER))
    return curve_scene(pair, quantity, title="Left front: camber", marks=MARKS, **more)


SCENE = draw(readings=READ)


def strokes(scene, style):
    return [part for part in scene.parts if isinstance(part, Stroke) and part.style == style]


def test_before_is_dashed_and_after_is_thick_and_their_ends_say_so():
    (dashed,), (thick,) = strokes(SCENE, "ink-dash"), strokes(SCENE, "ink-thick")
    assert len(dashed.points) == len(thick.points) == len(TRAVEL)
    assert all(a[1] < b[1] for a, b in zip(thick.points, dashed.points, strict=True))
    ends = {part.lines for part in SCENE.parts if isinstance(part, Words) and len(part.lines) > 1}
    assert ends == {
        (("before", "label"), ("−1.30°", "dim-text")),
        (("after", "label"), ("−2.00°", "dim-text")),
    }


def test_inches_rename_the_axis_and_change_no_line():
    metric, imperial = draw(readings=READ), draw(readings=READ, unit=INCHES)
    words = {text for part in imperial.parts if isinstance(part, Words) for text, _ in part.lines}
    assert "travel from ride height, inches (+ bump)" in words
    assert {"−2.0", "+0.5", "−2.00°"} <= words, "ticks are inches, angles stay degrees"
    assert "at +1.57 in" in imperial.description
    assert " mm" not in imperial.description
    for style in ("ink-thick", "ink-dash", "swept-edge"):
        for one, two in zip(strokes(metric, style), strokes(imperial, style), strict=True):
            assert np.allclose(one.points, two.points, atol=1e-6)
    shift = draw(OUTBOARD, unit=INCHES)
    assert "at +1.57 in" in shift.description
    assert any(
        text.endswith(" in")
        for part in shift.parts
        if isinstance(part, Words)
        for text, _ in part.lines
    )


def test_nothing_is_a_line_where_the_figures_cross_it():
    (zero,) = [
        p for p in strokes(SCENE, "ink-thin") if p.points[0][1] == p.points[1][1] and is_long(p)
    ]
    assert zero.points[0][1] == pytest.approx(tick_height("0"))
    away = curve_scene((("after", line(-2.0, 0.0)),), CAMBER, title="x")
    assert not [
        p for p in strokes(away, "ink-thin") if p.points[0][1] == p.points[1][1] and is_long(p)
    ]


def is_long(stroke):
    return len(stroke.points) == 2 and abs(stroke.points[0][0] - stroke.points[1][0]) > 100.0


def tick_height(text):
    words = [p for p in SCENE.parts if isinstance(p, Words) and p.lines == ((text, "label"),)]
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
    assert "Before: +0.70° at −60 mm, −0.50° at ride height, −1.30° at +40 mm." in SCENE.description
    assert "3 readings are marked with crosses." in SCENE.description
    assert "droop stop at −60 mm" in SCENE.description


def test_a_flat_line_looks_flat():
    scene = curve_scene((("after", line(-1.0, 1e-6)),), CAMBER, title="x")
    (thick,) = strokes(scene, "ink-thick")
    ys = [y for _, y in thick.points]
    assert max(ys) - min(ys) < 1.0


def test_lines_that_end_together_have_their_names_apart():
    twins = curve_scene((("before", AFTER), ("after", AFTER)), CAMBER, title="x")
    assert collisions(twins) == []


def test_a_height_close_under_a_stop_still_finds_room_for_its_name():
    marks = (Mark(-60.0, "droop stop", -1), Mark(0.0, "ride height"), Mark(-3.0, "as surveyed"))
    marks = (*marks, Mark(6.0, "bump stop", 1))
    scene = curve_scene(
        (("after", line(-1.0, -0.02, TRAVEL[:13])),), CAMBER, title="x", marks=marks
    )
    assert collisions(scene) == []
    assert cut_off(scene) == []


def test_a_corner_without_a_steering_axis_has_no_caster_to_draw():
    with pytest.raises(ValueError, match="no caster"):
        draw(CASTER)
    check = check_of(LINKS)
    curves = corner_curves(next(iter(check.corners.values())), check.duty)
    with pytest.raises(ValueError, match="does not steer"):
        corner_curve_scene(curves, TOE, title="x", over=LOCK)


def test_what_could_not_be_drawn_is_said_below_the_drawing():
    check = check_of(STRUT)
    corner = next(iter(check.corners.values()))
    corner = replace(corner, limits=replace(corner.limits, bump_mm=None))
    scene = corner_curve_scene(corner_curves(corner, check.duty), CAMBER, title="x")
    assert scene.legend[-1] == "Bump stop not known: drawn 60 mm into bump."


@pytest.mark.parametrize("seed", range(16))
def test_every_word_on_a_plot_of_a_random_corner_can_be_read_on_a_phone(seed):
    check = random_check(seed)
    (corner,) = check.corners.values()
    curves = corner_curves(corner, check.duty)
    scenes = [corner_curve_scene(curves, one, title="x") for one in curves.quantities]
    if curves.steer_after is not None:
        scenes.append(corner_curve_scene(curves, CAMBER, title="x", over=LOCK))
    for scene in scenes:
        assert cut_off(scene) == []
        assert collisions(scene) == []


def test_the_page_gets_classes_and_words_but_no_styles():
    svg = scene_svg(SCENE, id_prefix="curve")
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


def test_a_value_that_rounds_to_nothing_has_no_sign():
    assert [signed(value, 1) for value in (-0.04, 0.0, 0.06, -1.0)] == ["0", "0", "+0.1", "−1.0"]


def test_labels_are_spread_no_farther_than_they_must():
    assert spread([50.0, 52.0], 10.0, 0.0, 100.0) == pytest.approx([46.0, 56.0])
    assert spread([52.0, 50.0, 90.0], 10.0, 0.0, 100.0) == pytest.approx([56.0, 46.0, 90.0])
    assert spread([99.0, 98.0], 10.0, 0.0, 100.0) == pytest.approx([95.0, 85.0])
