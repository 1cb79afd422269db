"""A scene's lines, and what becomes of them in SVG."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from fitment.engine.drawing.contour import (
    Raster,
    closed,
    hatched,
    narrowed,
    off_border,
    simplified,
    traced,
    widened,
)
from fitment.engine.drawing.scene import (
    FILL,
    PEN,
    TEXT,
    Dimension,
    Fill,
    Hatch,
    ScaleBar,
    Scene,
    Stroke,
    Words,
)
from fitment.engine.drawing.scene_svg import scene_svg

CSS = Path(__file__).parents[2] / "static" / "drawing.css"
SVG = "{http://www.w3.org/2000/svg}"
SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
HOLE = ((10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0))


def area(ring):
    points = np.array(ring)
    after = np.roll(points, -1, axis=0)
    return 0.5 * float((points[:, 0] * after[:, 1] - after[:, 0] * points[:, 1]).sum())


def disc(raster, x, y, radius):
    columns = raster.left + np.arange(raster.columns) * raster.step
    rows = raster.bottom + np.arange(raster.rows) * raster.step
    return np.hypot(columns - x, rows[:, None] - y) < radius


def make_scene(*parts, title="A room", description=("What is in it",)):
    return Scene(title, description, (-10.0, -5.0, 90.0, 45.0), parts)


# Contours


def test_the_outline_of_a_disc_stays_within_half_a_millimetre_of_it():
    raster = Raster.over((0.0, 0.0, 100.0, 100.0), 1.25)
    (ring,) = traced(raster, disc(raster, 50.0, 48.0, 30.0))
    away = np.hypot(*(np.array(ring) - (50.0, 48.0)).T)
    assert np.all(np.abs(away - 30.0) < 0.7)
    assert area(ring) > 0


def test_a_hole_is_traced_the_other_way_round():
    raster = Raster.over((0.0, 0.0, 100.0, 100.0), 1.0)
    mask = disc(raster, 50.0, 50.0, 40.0) & ~disc(raster, 50.0, 50.0, 20.0)
    areas = sorted(area(ring) for ring in traced(raster, mask))
    assert areas[0] == pytest.approx(-math.pi * 400, rel=0.08)
    assert areas[1] == pytest.approx(math.pi * 1600, rel=0.04)


def test_two_pixels_that_touch_at_a_corner_do_not_break_the_tracing():
    raster = Raster.over((0.0, 0.0, 60.0, 60.0), 1.0)
    mask = raster.empty()
    mask[10:30, 10:30] = mask[30:50, 30:50] = True
    assert sum(area(ring) for ring in traced(raster, mask)) == pytest.approx(800, rel=0.1)


def test_an_empty_mask_has_no_outline():
    raster = Raster.over((0.0, 0.0, 10.0, 10.0))
    assert traced(raster, raster.empty()) == ()


def test_what_the_border_cuts_off_is_cut_on_the_border_and_not_drawn_along_it():
    raster = Raster.over((0.0, 0.0, 60.0, 60.0), 1.0)
    (ring,) = traced(raster, disc(raster, 0.0, 30.0, 20.0))
    assert min(x for x, _ in ring) == 0.0
    (line,) = off_border(ring, raster.box)
    assert line[0][0] == line[-1][0] == 0.0
    assert all(x > 0.5 for x, _ in line[1:-1])


def test_an_outline_off_the_border_is_kept_whole():
    assert off_border(HOLE, (0.0, 0.0, 40.0, 40.0)) == ((*HOLE, HOLE[0]),)


def test_inside_agrees_with_the_rings_even_with_a_hole():
    raster = Raster.over((-5.0, -5.0, 45.0, 45.0), 1.0)
    mask = raster.inside((SQUARE, HOLE))
    assert mask.sum() == pytest.approx(1600 - 400, abs=60)
    assert not mask[25, 25]
    assert mask[10, 25]


def test_points_outside_and_points_that_are_no_numbers_are_not_plotted():
    raster = Raster.over((0.0, 0.0, 10.0, 10.0))
    x, y = np.array([5.0, -3.0, 99.0, np.nan]), np.array([2.0, 5.0, 5.0, 5.0])
    mask = raster.plotted(x, y)
    assert np.argwhere(mask).tolist() == [[2, 5]]


def test_widening_is_a_disc_and_closing_fills_a_gap():
    raster = Raster.over((0.0, 0.0, 40.0, 40.0))
    mask = raster.empty()
    mask[20, 20] = True
    expected = disc(raster, 20.0, 20.0, 5.31)
    assert np.array_equal(widened(mask, 5.0), expected)
    mask[20, 23] = True
    assert closed(mask, 2)[20, 20:24].all()
    assert np.array_equal(narrowed(widened(mask, 0.0), 0.0), mask)


def test_simplifying_keeps_the_shape():
    angle = np.linspace(0.0, 2 * math.pi, 400, endpoint=False)
    ring = 100.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    short = simplified(ring, 0.2)
    assert len(short) < 150
    assert area(short) == pytest.approx(area(ring), rel=0.01)


@pytest.mark.parametrize("angle", [0.0, 45.0, 90.0, 135.0])
def test_hatching_lies_inside_its_area_and_covers_it_evenly(angle):
    segments = hatched((SQUARE, HOLE), angle, 2.0)
    for (x0, y0), (x1, y1) in segments:
        for share in (0.02, 0.5, 0.98):
            x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
            assert -1e-6 <= x <= 40.000001
            assert -1e-6 <= y <= 40.000001
            assert not (10.001 < x < 29.999 and 10.001 < y < 29.999)
        assert math.degrees(math.atan2(y1 - y0, x1 - x0)) % 180 == pytest.approx(angle, abs=1e-6)
    length = sum(math.dist(a, b) for a, b in segments)
    assert length * 2.0 == pytest.approx(1200, rel=0.06)


# Dimensions


def test_arrows_of_a_wide_gap_stand_inside_and_of_a_narrow_one_outside():
    value = Words((60.0, 0.0), (("+40", "dim-text"),))
    wide = list(Dimension((0.0, 0.0), (40.0, 0.0), value).marks())
    narrow = list(Dimension((0.0, 0.0), (3.0, 0.0), value).marks())

    def bases(marks):
        return [mark.rings[0][1][0] for mark in marks if isinstance(mark, Fill)]

    assert bases(wide) == [9.0, 31.0]
    assert bases(narrow) == [-9.0, 12.0]
    assert wide[-1] is value


def test_a_dimension_moved_aside_gets_extension_lines_from_its_points():
    value = Words((0.0, 60.0), (("+5", "dim-text"),))
    shape = Dimension((0.0, 0.0), (0.0, 5.0), value, offset_mm=10.0)
    assert shape.shifted == ((-10.0, 0.0), (-10.0, 5.0))
    extensions = [mark.points for mark in shape.marks() if isinstance(mark, Stroke)][:2]
    assert [points[0] for points in extensions] == [(0.0, 0.0), (0.0, 5.0)]
    assert [points[1] for points in extensions] == [(-13.0, 0.0), (-13.0, 5.0)]


def test_turning_a_dimension_moves_its_leader_and_nothing_else():
    value = Words((0.0, 0.0), (("+5", "dim-text"),))
    shape = Dimension((0.0, 0.0), (5.0, 0.0), value, leader_mm=10.0, offset_mm=4.0)
    assert shape.elbow == (15.0, 4.0)
    assert shape.turned.elbow == (-10.0, 4.0)
    assert shape.turned.shifted == tuple(reversed(shape.shifted))


def test_a_dimension_of_nothing_still_has_a_direction():
    value = Words((0.0, 0.0), ())
    assert Dimension((1.0, 1.0), (1.0, 1.0), value).direction == (0.0, 1.0)


# SVG


def svg_of(scene, id_prefix="lf"):
    return ElementTree.fromstring(scene_svg(scene, id_prefix=id_prefix))


def test_title_and_description_are_there_named_and_escaped():
    text = scene_svg(
        make_scene(title="Wheel <b> & tyre", description=('"near" & <far>',)), id_prefix="lf"
    )
    root = ElementTree.fromstring(text)
    assert "<b>" not in text
    assert root.get("role") == "img"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title.text == "Wheel <b> & tyre"
    assert desc.text == '"near" & <far>'
    assert root.get("aria-labelledby") == title.get("id") == "lf-title"
    assert root.get("aria-describedby") == desc.get("id") == "lf-desc"


def test_every_id_begins_with_the_prefix_and_a_prefix_that_is_none_is_refused():
    root = svg_of(make_scene(), "rear-left")
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert ids
    assert all(name.startswith("rear-left-") for name in ids)
    for bad in ("", "1a", 'a"b', "a b"):
        with pytest.raises(ValueError, match="beginning of an id"):
            scene_svg(make_scene(), id_prefix=bad)


def test_text_stays_text_and_is_escaped():
    words = Words((0.0, 0.0), (("lip <5 & more", "label"), ("+5.8 tight", "dim-text")), "end")
    root = svg_of(make_scene(words))
    (text,) = root.iter(f"{SVG}text")
    assert [span.text for span in text] == ["lip <5 & more", "+5.8 tight"]
    assert text.get("text-anchor") == "end"


def test_nothing_carries_a_style_a_colour_or_a_size_of_its_own():
    root = svg_of(
        make_scene(
            Stroke(SQUARE, "ink-thick", closed=True),
            Fill((SQUARE, HOLE), "tyre-fill"),
            Hatch((((0.0, 0.0), (1.0, 1.0)),), "hatch-body"),
            Words((0.0, 0.0), (("x", "label"),)),
            ScaleBar((0.0, 0.0), 50.0, "50 mm"),
        )
    )
    allowed = {"class", "d", "x", "y", "dy", "text-anchor", "fill-rule", "id", "role", "viewBox"}
    allowed |= {"aria-labelledby", "aria-describedby"}
    for element in root.iter():
        assert set(element.keys()) <= allowed


def test_the_drawing_is_turned_over_and_moved_to_the_viewport():
    root = svg_of(make_scene(Stroke(((-10.0, 45.0), (90.0, -5.0)), "ink-thin")))
    assert root.get("viewBox") == "0 0 100 50"
    (path,) = root.iter(f"{SVG}path")
    assert path.get("d") == "M0 0L100 50"


def test_every_style_of_a_scene_has_a_rule_in_the_style_sheet():
    rules = set(re.findall(r"\.([a-z][a-z-]+)", CSS.read_text()))
    assert {*PEN, *FILL, *TEXT} - {"label", "name"} <= rules


def test_the_style_sheet_keeps_text_readable_on_a_phone():
    css = CSS.read_text()
    sizes = {
        int(width): float(size)
        for width, size in re.findall(
            r"max-width: (\d+)px\) \{\s*svg\.scene \.words \{ font-size: ([\d.]+)px", css
        )
    }
    assert sizes[420] == Scene.narrow_text_mm
    widths = [328, 421, 561]
    for width, size in zip(widths, (sizes[420], sizes[560], sizes[720]), strict=True):
        assert size * width / 480 >= 12.0
