"""What a survey takes for granted, as messages for the shop. Millimetres and degrees."""

from __future__ import annotations

from collections.abc import Iterator

from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.checkfile import Measured
from fitment.engine.model import Corner
from fitment.engine.survey import typical


def taken_for_granted(measured: Measured | Corner) -> tuple[Message, ...]:
    """Everything in a survey that was not measured on a car of its model."""
    return (*_typical(measured), *_unread(measured), *_carried_on(measured), *_copied(measured))


def _typical(measured: Measured | Corner) -> Iterator[Message]:
    like = measured.suspension.typical
    if like:
        yield message("granted.typical", kind=like)
        if measured.limits.droop_mm == typical.DROOP_MM:
            yield message("granted.droop", droop_mm=typical.DROOP_MM)


def _unread(measured: Measured | Corner) -> Iterator[Message]:
    for column, default in (("out_mm", defaults.HUB_OUT), ("forward_mm", defaults.HUB_FORWARD)):
        table = measured.suspension.table
        if any(column in row.unread and row.travel_mm and not row.carried_on for row in table):
            yield message(f"granted.hub-{column}", each_mm=default.value)


def _carried_on(measured: Measured | Corner) -> Iterator[Message]:
    read = [row.travel_mm for row in measured.suspension.table if not row.carried_on]
    if len(read) < len(measured.suspension.table):
        yield message("granted.carried-on", read_mm=read[-1])


def _copied(measured: Measured | Corner) -> Iterator[Message]:
    spots = [feature.place for feature in measured.survey.features if feature.to_confirm]
    if spots:
        yield message("granted.copied", spots=tuple(spots))
