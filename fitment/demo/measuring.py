"""The demonstration's half-finished measuring session: the coupé's front right, read again."""

from __future__ import annotations

from typing import Any

from fitment.engine.survey.readings import Reading
from fitment.fields.numbers import parse_number
from fitment.surveys.sessions import reading_take, session_open

Typed = dict[str, str]
#: Form, place and figures as typed; the lip where the survey on record has it, to a millimetre.
READINGS: tuple[tuple[str, str, Typed], ...] = (
    ("setting", "", {"camber_deg": "-1.4", "toe_deg": "0.05", "height_mm": "368"}),
    ("front_space", "", {"front_space_mm": "62.5", "cap_depth_mm": "28"}),
    (
        "present_tyre",
        "",
        {"size": "205/50R17", "rim_width_in": "7", "circumference_mm": "1996"},
    ),
    (
        "plumb_line",
        "arch lip",
        {"height_mm": "368", "line_top_mm": "24", "line_bottom_mm": "12", "lip_radius_mm": "233"},
    ),
    (
        "straightedge",
        "arch lip",
        {
            "block_mm": "40",
            "along_mm": "370",
            "edge_mm": "-15",
            "level_deg": "60",
            "side": "front",
        },
    ),
    (
        "straightedge",
        "arch lip",
        {"block_mm": "40", "along_mm": "369", "edge_mm": "-17", "level_deg": "60", "side": "rear"},
    ),
)
WORDS = ("size", "side")


def half_finished(stage: dict[str, Any]) -> None:
    """A session that was interrupted; the page goes on where it stopped."""
    technician = stage["users"]["technician"]
    session = session_open(car_model=stage["car_models"]["coupe"], corner="RF", by=technician)
    for form, place, typed in READINGS:
        values = {
            name: {"typed": text, "value": text if name in WORDS else parse_number(text)}
            for name, text in typed.items()
        }
        figures = {name: kept["value"] for name, kept in values.items()}
        reading_take(
            session=session, reading=Reading(form, figures, place), values=values, by=technician
        )
