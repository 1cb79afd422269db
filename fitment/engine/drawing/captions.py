"""The words of a clearance drawing, as messages: at dimensions, below it, and described."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from common.message import Message, message
from fitment.engine.drawing.dimension_lines import Gap
from fitment.engine.drawing.scene import TextLine
from fitment.engine.drawing.swept import Swept
from fitment.engine.findings import pose
from fitment.engine.model import BODY, SpotAnswer

OTHER_DASHED = message("legend.other-dashed")
ON_THE_CAR_DASHED = message("legend.on-the-car-dashed")
"""The same line where the other wheel is the one that comes off."""


def gap_lines(place: SpotAnswer) -> tuple[TextLine, ...]:
    """The spot's name and its gap with the word for it."""
    word = "overlap" if place.clearance_mm <= 0 else f"{place.verdict}"
    return (
        (place.place, "name"),
        (message(f"drawing.gap-{word}", gap_mm=place.clearance_mm), "dim-text"),
    )


def difference_words(by: float) -> Message:
    """By how much a wheel stands nearer to a spot than the other one, or farther away."""
    return message("drawing.nearer" if by > 0 else "drawing.farther", by_mm=abs(by))


def description_of(places: Sequence[SpotAnswer], other: bool) -> tuple[Message, ...]:
    """What the drawing shows, for those who cannot see it; the tightest spot first."""
    listed = sorted(places, key=lambda place: place.order_mm)
    spots = [
        message(
            "describe.spot",
            spot=place.place,
            gap_mm=place.clearance_mm,
            verdict=message(f"verdict.{place.verdict}"),
            pose=pose(place),
        )
        if place.is_measured
        else message("describe.spot-not-measured", spot=place.place)
        for place in listed
    ]
    dashed = [message("describe.other-dashed")] if other else []
    return (message("describe.section"), *spots, *dashed)


def legend_of(regions: list[Swept], gaps: list[Gap], other: bool) -> tuple[Message, ...]:
    """What numbers, hatching and lines mean, as far as they occur, and what is not shown."""
    return tuple(_legend(regions, gaps, other))


def _legend(regions: list[Swept], gaps: list[Gap], other: bool) -> Iterator[Message]:
    body = [region for region in regions if region.carried_by == BODY]
    hub = [region for region in regions if region.carried_by != BODY]
    yield message("legend.numbers")
    if any(region.cover is not None for region in body):
        yield message("legend.body-hatching")
    if any(region.lines for region in body):
        yield message("legend.body-line")
    if any(region.cover is not None for region in hub):
        yield message("legend.hub-hatching")
    if any(len(line) == 1 for region in hub for line in region.lines):
        yield message("legend.hub-cross")
    if any(gap.place.clearance_mm <= 0 for gap in gaps):
        yield message("legend.overlap")
    if other:
        yield OTHER_DASHED
    yield from legend_of_far(gaps)


def legend_of_far(gaps: list[Gap]) -> Iterator[Message]:
    """What has no dimension: what was not measured, and what is too far away."""
    unknown = tuple(gap.place.place for gap in gaps if not gap.place.is_measured)
    if unknown:
        yield message("legend.not-measured", spots=unknown)
    far = [gap.place for gap in gaps if not gap.drawn and gap.place.is_measured]
    if far:
        named = tuple(
            message("drawing.far-spot", spot=place.place, gap_mm=place.clearance_mm)
            for place in far
        )
        yield message("legend.not-dimensioned", spots=named)
