"""The drawing of a clearance map says what the map and the answer say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from common.message import message
from common.verdicts import Verdict
from fitment.engine.check import corner_answer
from fitment.engine.curves.clearance_map import ClearanceMap, map_of
from fitment.engine.drawing.lettering import lettered
from fitment.engine.drawing.map_drawing import map_scene
from fitment.engine.drawing.scene import Fill, Hatch, Scene, Stroke
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.findings import pose
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import BODY, HARD, LINK, PoseAt, SpotAnswer
from tests.budget import share_of
from tests.engine.drawn_words import boxes, collisions, cut_off, texts
from tests.engine.files import NAMES, REAR_STRUT, STRUT, check_of
from tests.engine.letters import letter
from tests.engine.random_corners import random_check


def drawn(check, place=None):
    """Setting, map, answer of a place and its drawing; the tightest place unless one is named."""
    name, corner = next(iter(check.corners.items()))
    setting = setting_of(name, corner, check.duty)
    answer = corner_answer(setting)
    moving = [one for one in answer.places if one.carried_by in (BODY, LINK)]
    chosen = min(moving, key=lambda one: one.clearance_mm)
    if place is not None:
        chosen = next(one for one in answer.places if one.place == place)
    assert chosen is not None
    clearances = map_of(setting, chosen)
    return clearances, chosen, map_scene(clearances, chosen, title="Front left", letter=letter)


def sloping(least: float, most: float) -> tuple[ClearanceMap, SpotAnswer]:
    """A map whose clearance falls evenly from droop to bump, at any steering angle."""
    steer, share = np.linspace(-30.0, 30.0, 13), np.linspace(0.0, 1.0, 9)
    travel = np.tile(-60.0 + 100.0 * share, (13, 1))
    values = np.tile(most + (least - most) * share, (13, 1))
    answer = SpotAnswer(
        place="arch lip",
        carried_by=BODY,
        surface=HARD,
        clearance_mm=least,
        needed_mm=5.0,
        sigma_mm=1.0,
        touch_chance=0.5,
        verdict=Verdict.CONTACT if least <= 0 else Verdict.TIGHT,
        at=PoseAt(40.0, 0.0),
        nearest_mm=(0.0, 300.0),
        touch_mm=(0.0, 300.0),
        part="tyre",
    )
    return ClearanceMap("arch lip", False, steer, share, travel, values), answer


SLOPE, SLOPE_ANSWER = sloping(-10.0, 40.0)
SCENE = map_scene(SLOPE, SLOPE_ANSWER, title="Front left", letter=letter)


def strokes(scene: Scene, style: str) -> list[Stroke]:
    return [part for part in scene.parts if isinstance(part, Stroke) and part.style == style]


def heights(scene: Scene, style: str) -> set[float]:
    """Heights of level strokes, rounded."""
    return {round(y, 1) for stroke in strokes(scene, style) for _, y in stroke.points}


def travel_at(scene: Scene, height: float) -> float:
    """Travel of a height in the drawing of the slope, from the envelope's own edge."""
    (edge,) = strokes(scene, "swept-edge")
    ys = [y for _, y in edge.points]
    return -60.0 + 100.0 * (height - min(ys)) / (max(ys) - min(ys))


def test_the_zero_line_is_thick_and_lies_where_the_clearance_is_nothing():
    (height,) = heights(SCENE, "ink-thick")
    assert travel_at(SCENE, height) == pytest.approx(20.0, abs=0.3)
    assert "touches" in texts(SCENE)


def test_the_needed_margin_is_dashed_and_named():
    (height,) = heights(SCENE, "ink-dash")
    assert travel_at(SCENE, height) == pytest.approx(10.0, abs=0.3)
    assert "5 needed" in texts(SCENE)


def test_round_figures_have_thin_lines_with_their_sign():
    assert {"+20", "+30"} <= set(texts(SCENE))


def test_the_overlap_is_hatched_and_only_there():
    (hatch,) = [part for part in SCENE.parts if isinstance(part, Hatch)]
    ys = [y for segment in hatch.segments for _, y in segment]
    assert travel_at(SCENE, min(ys)) == pytest.approx(20.0, abs=0.5)
    assert travel_at(SCENE, max(ys)) == pytest.approx(40.0, abs=0.5)


def test_ride_height_and_straight_ahead_are_centre_lines():
    lines = [stroke.points for stroke in strokes(SCENE, "centre-line")]
    assert len(lines) == 2
    level = next(line for line in lines if line[0][1] == line[1][1])
    assert travel_at(SCENE, level[0][1]) == pytest.approx(0.0, abs=0.1)


def test_the_tightest_moment_is_marked_with_its_value():
    dot = [part for part in SCENE.parts if isinstance(part, Fill)][-1]
    assert travel_at(SCENE, float(np.mean([y for _, y in dot.rings[0]]))) == pytest.approx(40.0)
    assert {"arch lip", "−10.0 overlap"} <= set(texts(SCENE))


def test_a_place_that_is_clear_everywhere_has_no_zero_line_and_no_hatching():
    scene = map_scene(*sloping(8.0, 60.0), title="Front left", letter=letter)
    assert strokes(scene, "ink-thick") == []
    assert strokes(scene, "ink-dash") == []
    assert [part.segments for part in scene.parts if isinstance(part, Hatch)] == [()]
    none = message("describe.no-poses")
    told = message("describe.poses", touching=none, short=none, needed_mm=5.0)
    assert told in scene.description


def test_gaps_read_on_the_car_shift_the_whole_map():
    read = replace(SLOPE_ANSWER, shift_mm=10.0, clearance_mm=0.0)
    scene = map_scene(SLOPE, read, title="Front left", letter=letter)
    (height,) = heights(scene, "ink-dash")
    assert travel_at(scene, height) == pytest.approx(30.0, abs=0.3)
    assert message("legend.map-shift", shift_mm=10.0) in scene.legend


def test_the_description_tells_spans_the_least_clearance_and_how_much_touches():
    spans, least, poses = SCENE.description
    assert spans.params == pytest.approx(
        {"spot": "arch lip", "from_mm": -60.0, "to_mm": 40.0, "from_deg": -30.0, "to_deg": 30.0}
    )
    assert (least.params["gap_mm"], least.params["pose"]) == (-10.0, pose(SLOPE_ANSWER))
    assert poses.params["touching"].params["part_share"] == pytest.approx(0.2, abs=0.01)


def test_lines_of_equal_clearance_end_on_the_envelope():
    _, _, scene = drawn(check_of(STRUT))
    (edge,) = strokes(scene, "swept-edge")
    a = np.array(edge.points)
    b = np.roll(a, -1, axis=0)
    for stroke in strokes(scene, "ink-thick"):
        for end in (stroke.points[0], stroke.points[-1]):
            along = b - a
            t = ((end - a) * along).sum(axis=1) / np.maximum((along**2).sum(axis=1), 1e-9)
            foot = a + np.clip(t, 0, 1)[:, None] * along
            assert np.hypot(*(foot - end).T).min() < 0.5


def test_an_unsteered_corner_is_one_thick_curve_over_solid_ground():
    clearances, answer, scene = drawn(check_of(REAR_STRUT))
    (curve,) = strokes(scene, "ink-thick")
    assert len(curve.points) == len(clearances.share)
    (ground,) = [part for part in scene.parts if isinstance(part, Hatch)]
    assert ground.about == "touches"
    assert {"touches", f"{answer.needed_mm:g} needed"} <= set(texts(scene))


@pytest.mark.parametrize("name", NAMES)
def test_every_word_on_a_map_of_an_example_can_be_read_on_a_phone(name):
    name, corner = next(iter(check_of(name).corners.items()))
    setting = setting_of(name, corner, check_of(STRUT).duty)
    answer = corner_answer(setting)
    for place in answer.places:
        if place.carried_by == BODY:
            scene = map_scene(map_of(setting, place), place, title="A corner", letter=letter)
            assert cut_off(scene) == [], place.place
            assert collisions(scene) == [], place.place


@pytest.mark.parametrize("seed", range(16))
def test_every_word_on_a_map_of_a_random_corner_can_be_read_on_a_phone(seed):
    _, _, scene = drawn(random_check(seed))
    assert cut_off(scene) == []
    assert collisions(scene) == []
    assert len(boxes(scene)) > 8


def test_the_page_gets_classes_and_words_but_no_styles():
    svg = scene_svg(lettered(SCENE, letter), id_prefix="map")
    assert "style=" not in svg
    assert "<title" in svg
    assert "<desc" in svg


def test_a_map_is_drawn_in_a_part_of_the_time_that_its_corner_takes():
    check = check_of(STRUT)
    name, corner = next(iter(check.corners.items()))
    clearances, answer, _ = drawn(check)
    share = share_of(
        lambda: corner_answer(setting_of(name, corner, check.duty)),
        lambda: map_scene(clearances, answer, title="Left front", letter=letter),
    )
    assert share < 0.6  # 0.2 when it was written


def test_a_far_place_has_lines_above_its_least_clearance_too():
    far, answer = sloping(52.0, 110.0)
    scene = map_scene(far, answer, title="Front left", letter=letter)
    assert len(strokes(scene, "ink-thin")) > 4
    assert {"+70", "+80"} & set(texts(scene))


def test_lines_too_close_for_figures_say_what_the_first_and_last_of_them_are():
    flat, answer = sloping(46.0, 200.0)
    steer, share = np.linspace(-30.0, 30.0, 121), np.linspace(0.0, 1.0, 9)
    # all of it within four degrees
    edge = 46.0 + 60.0 * np.clip((steer + 30.0) / 4.0, 0.0, 1.0)
    values = np.repeat(edge[:, None], len(share), axis=1)
    travel = np.tile(flat.travel_mm[0], (len(steer), 1))
    upright = ClearanceMap("frame rail", False, steer, share, travel, values)
    at = PoseAt(0.0, -30.0)
    scene = map_scene(
        upright, replace(answer, at=at, verdict="clear"), title="Front left", letter=letter
    )
    words = set(texts(scene))
    assert {"+50", "+80"} & words
    assert not collisions(scene)
