"""What a survey takes for granted, in sentences for the shop. Millimetres and degrees."""

from __future__ import annotations

from collections.abc import Iterator

from fitment.engine import defaults
from fitment.engine.checkfile import Measured
from fitment.engine.model import Corner
from fitment.engine.survey import typical


def taken_for_granted(measured: Measured | Corner) -> tuple[str, ...]:
    """Everything in a survey that nobody measured on a car of its pattern."""
    return (*_typical(measured), *_unread(measured), *_carried_on(measured), *_copied(measured))


def _typical(measured: Measured | Corner) -> Iterator[str]:
    like = measured.suspension.typical
    if like:
        yield (
            f"Assumed: how the wheel moves, as typical of {like} ({typical.SOURCE}). To look at, "
            "not to book on: the corner stays unmeasured until heights or joints are read."
        )
        if measured.limits.droop_mm == typical.DROOP_MM:
            yield f"Assumed: {typical.DROOP_MM:g} mm of droop ({typical.SOURCE}), unread too."


def _unread(measured: Measured | Corner) -> Iterator[str]:
    for column, words, default in (
        ("out_mm", "sideways", defaults.HUB_OUT),
        ("forward_mm", "fore and aft", defaults.HUB_FORWARD),
    ):
        table = measured.suspension.table
        if any(column in row.unread and row.travel_mm and not row.carried_on for row in table):
            yield (
                f"Assumed: the hub moves straight up and down as far as {words} goes, "
                f"±{default.value:g} mm for each mm of travel. Nobody read it."
            )


def _carried_on(measured: Measured | Corner) -> Iterator[str]:
    read = [row.travel_mm for row in measured.suspension.table if not row.carried_on]
    if len(read) < len(measured.suspension.table):
        yield (
            f"Camber and toe were read up to {read[-1]:+.0f} mm of travel; beyond it they are "
            "carried on straight, less sure with every mm. Jack it up farther to read them."
        )


def _copied(measured: Measured | Corner) -> Iterator[str]:
    places = [feature.place for feature in measured.survey.features if feature.to_confirm]
    if places:
        yield (
            f"Taken over from another pattern and not confirmed on this one: {', '.join(places)}."
        )
