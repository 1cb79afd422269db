"""What a car model's fitment tables say against an option, so that it is not found out later."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from common.message import Message, message
from common.verdicts import Outcome
from fitment.engine.mounting.guide import NOT_PROMISED, PROMISED, Job, Row, conditions, said
from fitment.engine.search.model import Option
from fitment.models import Guide

if TYPE_CHECKING:
    from shop.models import CarModel


class Tables:
    """The current tables of a car model for one axle, read once."""

    def __init__(self, car_model: CarModel | None, axle: str) -> None:
        guides = Guide.objects.current().filter(car_model=car_model).prefetch_related("rows")
        # Which parts an option takes is told apart from what it plans.
        self._rows: list[tuple[str, list[Row]]] = [
            (
                str(guide),
                [replace(row.as_row(), parts=()) for row in guide.rows.all() if row.axle == axle],
            )
            for guide in guides
        ]

    def told(self, option: Option, axle: str) -> list[Message]:
        """A message for each table that has the option's sizes and does not promise them as they
        are set, with the first condition that is not met."""
        job = _job(option, axle)
        found = []
        for table, rows in self._rows:
            judged = [(said(row, job, met), met) for row in rows if (met := conditions(row, job))]
            if any(word == PROMISED for word, _ in judged):
                continue
            broken = next((met for word, met in judged if word == NOT_PROMISED), None)
            if broken is not None:
                first = next(one for one in broken if one.outcome == Outcome.FAILS)
                found.append(
                    message(
                        "option.not-promised",
                        table=table,
                        what=first.what,
                        asked=first.asked,
                        has=first.has,
                    )
                )
        return found


def _job(option: Option, axle: str) -> Job:
    """An option as tables ask about it."""
    corner, answer = option.corners[option.corner], option.answers[option.corner]
    plain = {name: value for name, value in answer.adjusters.items() if isinstance(value, float)}
    rods = answer.adjusters.get("rods_mm", {})
    if isinstance(rods, dict):
        plain |= {f"rod:{name}": float(value) for name, value in rods.items()}
    return Job(
        axle=axle,
        wheel_diameter_in=corner.wheel.diameter_in,
        wheel_width_in=corner.wheel.width_in,
        offset_mm=corner.wheel.offset_mm,
        spacer_mm=corner.wheel.spacer_mm,
        tyre_size=corner.tyre.size,
        camber_deg=answer.static.camber_deg,
        camber_by=corner.planned.camber_by or "",
        adjusters=plain,
        height_mm=corner.planned.adjusters.ride_height_mm,
    )
