"""The drawing of the sectors that want looking at."""

from __future__ import annotations

import math

import pytest

from common.message import message
from fitment.engine.drawing.scene import Hatch, Stroke, Words
from fitment.engine.drawing.sector_drawing import MIDDLES, RADIUS_MM, arcs_of, sector_scene
from fitment.engine.model import INBOARD, OUTBOARD, Sector

SECTORS = (
    Sector(OUTBOARD, -15.0, 380.0, 0.0, "seen"),
    Sector(OUTBOARD, 0.0, 380.0, 4.0, "seen"),
    Sector(OUTBOARD, 60.0, 360.0, 25.0, "missing"),
    Sector(OUTBOARD, 75.0, 362.0, 30.0, "missing"),
    Sector(INBOARD, 0.0, 400.0, 0.0, "passed"),
    Sector(INBOARD, 15.0, 400.0, 0.0, "seen"),
    Sector(INBOARD, 180.0, 350.0, 12.0, "open"),
)


def strokes(style: str) -> list[Stroke]:
    scene = sector_scene(SECTORS, title="Front left")
    return [part for part in scene.parts if isinstance(part, Stroke) and part.style == style]


def clock_and_radius(side: str, point: tuple[float, float]) -> tuple[float, float]:
    x, y = (at - middle for at, middle in zip(point, MIDDLES[side], strict=True))
    return math.degrees(math.atan2(x, y)), math.hypot(x, y) * 400.0 / RADIUS_MM


@pytest.mark.parametrize(
    ("style", "expected"),
    [
        ("ink-thick", [(OUTBOARD, -15.0, 380.0), (OUTBOARD, 0.0, 380.0), (INBOARD, 15.0, 400.0)]),
        ("missing-edge", [(OUTBOARD, 60.0, 360.0), (OUTBOARD, 75.0, 362.0)]),
        ("ink-dash", [(INBOARD, 180.0, 350.0)]),
    ],
)
def test_every_sector_has_an_edge_as_far_out_as_the_wheel_sweeps(
    style: str, expected: list[tuple[str, float, float]]
) -> None:
    found = strokes(style)
    assert len(found) == len(expected)
    for stroke, (side, clock, reach) in zip(found, expected, strict=True):
        ends = [clock_and_radius(side, point) for point in (stroke.points[0], stroke.points[-1])]
        assert [end[1] for end in ends] == pytest.approx([reach, reach])
        turned = [(end[0] - clock + 180.0) % 360.0 - 180.0 for end in ends]
        assert turned == pytest.approx([-7.5, 7.5])


def test_what_is_to_be_looked_at_is_hatched_and_written_and_nothing_else_is() -> None:
    scene = sector_scene(SECTORS, title="Front left")
    hatched = [part for part in scene.parts if isinstance(part, Hatch)]
    assert [part.about for part in hatched] == [OUTBOARD, OUTBOARD]
    texts = [line for part in scene.parts if isinstance(part, Words) for line, _ in part.lines]
    assert message("sectors.arc", from_deg=52.5, to_deg=82.5) in texts
    assert texts.count(message("sectors.none-missing")) == 1, "inboard all was looked at"


def test_a_line_shows_how_far_the_wheel_goes_straight_ahead_where_steering_adds_to_it() -> None:
    inside = [
        clock_and_radius(side, stroke.points[0])[1]
        for side in (OUTBOARD, INBOARD)
        for stroke in strokes("ink-thin")
        if not stroke.closed and (stroke.points[0][0] < 240.0) == (side == OUTBOARD)
    ]
    assert [round(radius) for radius in inside] == [335, 332, 400, 338]  # 400 is passed over


def test_those_who_cannot_see_it_are_told_every_arc() -> None:
    scene = sector_scene(SECTORS, title="Front left")
    told = {one.code: one.params for one in scene.description if not isinstance(one, str)}
    arc = message("sectors.arc", from_deg=52.5, to_deg=82.5)
    assert told["sectors.outboard-missing"] == {"arcs": (arc,)}
    assert "sectors.inboard-missing" not in told
    assert {line.code for line in scene.legend if not isinstance(line, str)} == {
        "legend.sectors",
        "legend.sector-seen",
        "legend.sector-open",
        "legend.sector-passed",
        "legend.sector-missing",
        "legend.sector-straight",
    }


def test_arcs_join_adjacent_sectors() -> None:
    outboard = [one for one in SECTORS if one.side == OUTBOARD]
    assert arcs_of(outboard, "missing") == [(52.5, 82.5)]
    apart = [*outboard, Sector(OUTBOARD, 150.0, 360.0, 20.0, "missing")]
    assert arcs_of(apart, "missing") == [(52.5, 82.5), (142.5, 157.5)]


def test_without_sectors_there_is_nothing_to_draw() -> None:
    with pytest.raises(ValueError, match="without sectors"):
        sector_scene((), title="Front left")
