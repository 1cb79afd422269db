"""The drawing that fills, as seen by a person before the wheel."""

from __future__ import annotations

import pytest

from fitment.engine.drawing.scene import Stroke
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import Reading
from fitment.surveys.session_scene import clock_scene
from fitment.text.lettering import lettered_for
from tests.engine.test_sheet import SETTING, SPACE


@pytest.mark.parametrize(("left", "side"), [(True, -1.0), (False, 1.0)])
def test_a_spot_towards_the_front_is_drawn_where_the_front_is(left: bool, side: float) -> None:
    edges = [
        Reading(
            "straightedge",
            {"block_mm": 30.0, "along_mm": 370.0, "edge_mm": -5.0, "clock_deg": clock},
            "arch lip",
        )
        for clock in (50.0, 60.0)
    ]
    scene = clock_scene(Sheet([SETTING, SPACE, *edges]), (), left=left)
    drawn = [part for part in scene.parts if isinstance(part, Stroke) and part.style == "ink-thick"]
    assert all(x * side > 0 for part in drawn for x, _ in part.points)
    assert f"front to the {'left' if left else 'right'}" in " ".join(
        lettered_for(scene).description
    )
