"""The drawing of a room says what the answer says."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import scipy

from common.message import message
from common.verdicts import Verdict
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.check import corner_answer
from fitment.engine.drawing.captions import OTHER_DASHED
from fitment.engine.drawing.contour import Raster
from fitment.engine.drawing.dimension_lines import MOST_DIMENSIONS
from fitment.engine.drawing.label_layout import Placer, Request
from fitment.engine.drawing.lettering import lettered, text_lines
from fitment.engine.drawing.scene import Dimension, Fill, Hatch, Scene, Stroke
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.drawing.section_drawing import RASTER_MM, room_scene
from fitment.engine.drawing.swept import fine_sweeps, swept
from fitment.engine.findings import pose
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import BODY, EDGE, KNUCKLE, Feature
from fitment.engine.solid.section import section_of
from tests.budget import share_of
from tests.engine.drawn_rooms import (
    FEATURES,
    WHEEL,
    WIDER,
    WIDER_TYRE,
    answer_for,
    make_room,
    make_section,
    polar,
    random_poses,
)
from tests.engine.drawn_words import texts
from tests.engine.files import STRUT, check_of
from tests.engine.letters import letter

SECTION = make_section()
ROOM = make_room()
ANSWER = answer_for(ROOM, SECTION)


def demo_room():
    """The demo's front corner on the track, whose body gives under load: its fullest drawing."""
    duty = {"name": "track", "envelope": [[0, 1], [0.25, 1], [1, 0.55]], "lateral_g": 1.2}
    corner = STRUT_FRONT | {
        "planned": {"camber_deg": -2.0, "camber_by": "top_mount", "toe_deg": 0.05},
        "wheel": {"diameter_in": 18, "width_in": 9, "offset_mm": 40, "spacer_mm": 0},
        "tyre": {"size": "235/40R18"},
    }
    check = checkfile.parse({"archroom_check": 1, "duty": duty, "corners": {"LF": corner}})
    setting = setting_of("LF", check.corners["LF"], check.duty)
    wheel = section_of(setting.corner.wheel, setting.corner.tyre)
    return setting.room, wheel, corner_answer(setting)


def draw(room=ROOM, section=SECTION, answer=ANSWER, **more):
    return room_scene(room, section, answer, title="Front left", letter=letter, **more)


SCENE = draw()


def place(answer, name):
    return next(item for item in answer.places if item.place == name)


def not_dimensioned(scene):
    (line,) = (one for one in scene.legend if one.code == "legend.not-dimensioned")
    return line.params["spots"]


def hatches(scene, about):
    return [part for part in scene.parts if isinstance(part, Hatch) and part.about == about]


def dimensions(scene):
    return [part for part in scene.parts if isinstance(part, Dimension) and part.value.lines]


def dimension(scene, name):
    return next(part for part in dimensions(scene) if part.value.lines[0][0] == name)


def boxes(scene):
    """Where the labels stand in the size that a phone shows them in."""
    size = scene.narrow_text_mm
    found = []
    for part in dimensions(scene):
        (x, y), lines = part.value.at, text_lines(part.value.lines, letter)
        width, half = max(len(text) for text, _ in lines) * 0.6 * size, len(lines) * size * 0.56
        left = x if part.value.anchor == "start" else x - width
        found.append((left, y - half, left + width, y + half))
    return found


# What is drawn


def test_the_outline_encloses_the_wheel_and_the_crown_stands_at_its_radius():
    tyre, rim = (
        next(part for part in SCENE.parts if isinstance(part, Fill) and part.style == style)
        for style in ("tyre-fill", "rim-fill")
    )
    xs, ys = np.array(tyre.rings[0]).T
    assert ys.max() == pytest.approx(SECTION.tyre_radius_mm, abs=0.05)
    assert xs.max() - xs.min() == pytest.approx(SECTION.section_width_mm, abs=0.1)
    thick = [p for p in SCENE.parts if isinstance(p, Stroke) and p.style == "ink-thick"]
    assert [stroke.points for stroke in thick] == [tyre.rings[0], rim.rings[0]]


def test_centre_plane_hub_face_and_spin_axis_are_centre_lines():
    lines = [p.points for p in SCENE.parts if isinstance(p, Stroke) and p.style == "centre-line"]
    upright = {line[0][0] for line in lines if line[0][0] == line[1][0]}
    assert upright == {0.0, SECTION.centre_axial_mm}
    assert any(line[0][1] == line[1][1] == 0.0 for line in lines)
    assert {"centre plane", "hub face", "spin axis", "outboard", "100 mm"} <= set(texts(SCENE))


def test_what_the_body_and_the_hub_carry_is_hatched_at_different_angles():
    (body,), (hub,) = hatches(SCENE, "body"), hatches(SCENE, "hub")

    def slopes(hatch):
        return {round((b[1] - a[1]) / (b[0] - a[0]), 3) for a, b in hatch.segments}

    assert slopes(body) == {1.0}
    assert slopes(hub) == {-1.0}


def test_hatching_of_places_stays_off_the_wheel():
    for hatch in (*hatches(SCENE, "body"), *hatches(SCENE, "hub")):
        ends = np.array(hatch.segments)
        points = np.concatenate([ends[:, 0] + t * (ends[:, 1] - ends[:, 0]) for t in (0.1, 0.5)])
        assert SECTION.distance(points[:, 0], points[:, 1]).min() > -1.5


def test_the_overlap_is_cross_hatched_inside_the_wheel_and_named():
    (overlap,) = hatches(SCENE, "overlap")
    ends = np.array(overlap.segments).reshape(-1, 2)
    assert SECTION.distance(ends[:, 0], ends[:, 1]).max() < 1.5
    assert any(part.style == "gap-contact" for part in SCENE.parts if isinstance(part, Stroke))
    assert sum("overlap" in text for text in texts(SCENE)) == 1


def test_a_room_without_contact_shows_no_overlap():
    features = tuple(feature for feature in FEATURES if feature.place != "frame rail")
    room = make_room(features)
    answer = answer_for(room, SECTION)
    assert all(item.verdict != Verdict.CONTACT for item in answer.places)
    scene = draw(room, SECTION, answer)
    assert hatches(scene, "overlap") == []
    assert not any("overlap" in letter(line) for line in (*texts(scene), *scene.legend))


# Regions


def region_of(name, room=ROOM):
    raster = Raster.over((-300.0, 0.0, 200.0, 420.0), RASTER_MM)
    sweep = next(item for item in fine_sweeps(room) if item.place == name)
    return raster, sweep, swept(raster, sweep)


DEMO = demo_room()


@pytest.mark.parametrize(
    ("room", "name"),
    [
        *((ROOM, name) for name in ("arch lip", "frame rail", "inner panel")),
        *((DEMO[0], name) for name in ("arch lip", "arch liner", "inner panel", "frame rail")),
    ],
)
def test_the_swept_region_holds_every_pose_and_little_else(room, name):
    """The region's border lies within a millimetre of where poses of any kind reach."""
    raster, sweep, region = region_of(name, room)
    half = sweep.half_thickness_mm
    covered = region.cover > 0.5
    rows, columns = np.nonzero(covered)
    pixels = np.stack([raster.left + columns * raster.step, raster.bottom + rows * raster.step], -1)
    poses = random_poses(room, name, 300_000)
    left, bottom, right, top = raster.box
    seen = (poses > (left + 2, bottom + 2)) & (poses < (right - 2, top - 2))
    poses = poses[seen.all(axis=1)]
    from_pixels = scipy.spatial.KDTree(pixels).query(poses)[0]
    # To the nearest pixel's centre it is at most half a diagonal where all is covered.
    assert from_pixels.max() < raster.step * np.sqrt(0.5) + 0.6
    inner = (pixels > (left + 5, bottom + 5)) & (pixels < (right - 5, top - 5))
    from_poses = scipy.spatial.KDTree(poses).query(pixels[inner.all(axis=1)])[0]
    spread = 0.5  # poses as many as these lie so close together
    assert from_poses.max() < half + raster.step / 2 + 1.0 + spread


def test_a_bar_is_drawn_with_its_thickness():
    raster, sweep, region = region_of("strut tube")
    row = int(250 / raster.step)
    width = float(region.cover[row].sum()) * raster.step
    assert width == pytest.approx(2 * sweep.half_thickness_mm, abs=0.6)


def test_single_points_on_the_hub_are_crosses_and_on_a_fixed_axle_lines():
    caliper = region_of("brake caliper")[2]
    assert caliper.cover is None
    assert [len(line) for line in caliper.lines] == [1, 1]
    panel = region_of("inner panel", make_room(steer_deg=0.0))[2]
    assert panel.cover is None
    assert all(len(line) > 3 for line in panel.lines)


def test_a_place_far_from_the_wheel_is_named_below_and_not_dimensioned():
    far = Feature("sill", BODY, EDGE, polar((80, 700, 30), (100, 720, 30)))
    room = make_room((*FEATURES, far))
    scene = draw(room, SECTION, answer_for(room, SECTION))
    assert "sill" not in texts(scene)
    assert [spot.params["spot"] for spot in not_dimensioned(scene)] == ["sill"]


# Dimensions


def test_each_dimension_says_the_answers_value_with_its_sign_and_word():
    for item in ANSWER.places:
        lines = dimension(SCENE, item.place).value.lines
        word = "overlap" if item.clearance_mm <= 0 else item.verdict
        told = message(f"drawing.gap-{word}", gap_mm=item.clearance_mm)
        assert lines[-1] == (told, "dim-text")


def test_each_dimension_is_as_long_as_its_gap():
    for item in ANSWER.places:
        shape = dimension(SCENE, item.place)
        length = float(np.hypot(*np.subtract(shape.end, shape.start)))
        assert length == pytest.approx(abs(item.clearance_mm), abs=0.01)
        assert item.touch_mm in (
            pytest.approx(shape.start, abs=1e-6),
            pytest.approx(shape.end, abs=1e-6),
        )


def test_contact_has_another_line_style_than_a_gap():
    styles = {part.value.lines[0][0]: part.style for part in dimensions(SCENE)}
    assert styles["frame rail"] == "gap-contact"
    assert styles["arch lip"] == "gap-ok"


def test_the_title_and_the_words_for_those_who_cannot_see_it():
    assert SCENE.title == "Front left"
    told = {one.params["spot"]: one.params for one in SCENE.description if "spot" in one.params}
    for item in ANSWER.places:
        assert told[item.place]["gap_mm"] == item.clearance_mm
        assert told[item.place]["pose"] == pose(item)


def test_a_gap_of_exactly_nothing_can_be_drawn():
    touching = replace(
        place(ANSWER, "arch lip"),
        clearance_mm=0.0,
        nearest_mm=place(ANSWER, "arch lip").touch_mm,
    )
    scene = draw(answer=replace(ANSWER, places=(touching,)))
    assert dimension(scene, "arch lip").value.lines[-1][0].code == "drawing.gap-overlap"
    assert "nan" not in scene_svg(lettered(scene, letter), id_prefix="a")


def test_a_corner_without_places_can_be_drawn():
    scene = draw(make_room(()), SECTION, replace(ANSWER, places=()))
    assert dimensions(scene) == []
    assert scene_svg(lettered(scene, letter), id_prefix="a")


# Two wheels


def test_another_wheel_is_dashed_and_its_differences_stand_at_the_places():
    other = section_of(WIDER, WIDER_TYRE)
    scene = draw(other_section=other)
    dashed = [p for p in scene.parts if isinstance(p, Stroke) and p.style == "other-outline"]
    assert len(dashed) == 2
    item = place(ANSWER, "arch lip")
    away = float(other.distance(np.array([item.touch_mm[0]]), np.array([item.touch_mm[1]]))[0])
    assert away < 0
    note = dimension(scene, "arch lip").value.lines[-1]
    assert (note[0].code, note[1]) == ("drawing.farther", "note")
    assert note[0].params["by_mm"] == pytest.approx(-away, abs=0.1)
    assert OTHER_DASHED in scene.legend


def test_the_same_wheel_twice_differs_nowhere():
    scene = draw(other_section=SECTION)
    assert not any(text.endswith(("nearer", "farther")) for text in texts(scene))


def test_a_spacer_moves_the_outline_by_its_thickness():
    spaced = section_of(replace(WHEEL, spacer_mm=5.0), WIDER_TYRE)
    plain = section_of(WHEEL, WIDER_TYRE)
    outlines = [draw(section=s).parts[0].rings[0] for s in (plain, spaced)]
    shift = np.array(outlines[1]) - np.array(outlines[0])
    assert np.allclose(shift, (5.0, 0.0))


# Labels


def test_labels_never_cover_each_other_or_leave_the_drawing():
    crowd = tuple(
        Feature(f"bracket {i}", KNUCKLE, points=polar((0, r, -165.0)))
        for i, r in enumerate(range(215, 305, 15))
    )
    for features in (FEATURES, (*FEATURES, *crowd)):
        room = make_room(features)
        scene = draw(room, SECTION, answer_for(room, SECTION))
        found = boxes(scene)
        assert len(found) == min(len(features), MOST_DIMENSIONS)
        left, bottom, right, top = scene.viewport
        for x0, y0, x1, y1 in found:
            assert left <= x0
            assert x1 <= right
            assert bottom <= y0
            assert y1 <= top
        for one, two in combinations(found, 2):
            apart = one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]
            assert apart


def test_of_many_places_the_tightest_are_dimensioned_and_the_others_listed():
    crowd = tuple(
        Feature(f"bracket {i}", KNUCKLE, points=polar((0, 250.0, -165.0 - 6 * i))) for i in range(9)
    )
    room = make_room(crowd)
    answer = answer_for(room, SECTION)
    scene = draw(room, SECTION, answer)
    tightest = sorted(answer.places, key=lambda item: item.clearance_mm)[:MOST_DIMENSIONS]
    assert {part.value.lines[0][0] for part in dimensions(scene)} == {p.place for p in tightest}
    assert "bracket 7" in [spot.params["spot"] for spot in not_dimensioned(scene)]


def test_a_long_name_is_broken_over_lines():
    long = Feature("rear edge of the inner arch panel", KNUCKLE, points=polar((0, 250, -170)))
    room = make_room((long,))
    (shape,) = dimensions(draw(room, SECTION, answer_for(room, SECTION)))
    lines = text_lines(shape.value.lines, letter)
    assert [text for text, _ in lines[:-1]] == ["rear edge of the", "inner arch panel"]


def test_a_label_with_nowhere_to_go_does_not_stop_the_drawing():
    raster = Raster.over((0.0, 0.0, 30.0, 30.0))
    placer = Placer(raster, np.zeros((31, 31), dtype=np.float32), 18.0)
    (placed,) = placer.arrange([Request((((5.0, 5.0), (1.0, 0.0)),), ("far too long for it",))])
    assert placed.at == (5.0, 5.0)


def test_the_text_size_of_the_layout_is_readable_on_a_phone():
    assert Scene.narrow_text_mm * 328 / SCENE.width_mm >= 12.0


def test_the_demos_fullest_corner_is_drawn_while_one_more_could_be_checked():
    room, section, answer = DEMO
    check = check_of(STRUT)
    name, corner = next(iter(check.corners.items()))
    share = share_of(
        lambda: corner_answer(setting_of(name, corner, check.duty)),
        lambda: draw(room, section, answer),
    )
    assert share < 1.5  # 0.55 when it was written


def test_a_scene_that_is_not_lettered_cannot_be_written():
    with pytest.raises(TypeError, match="lettered"):
        scene_svg(SCENE, id_prefix="a")
