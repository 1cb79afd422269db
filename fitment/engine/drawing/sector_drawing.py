"""Which sectors round the wheel want looking at, and which were: one dial a side.

Made from an answer's sectors alone. Each dial is seen from outside, straight up at the top and the
front to the right; a sector goes from the rim's place out to where the wheel sweeps, to scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from common.message import Message, message
from fitment.engine.drawing.scene import (
    Fill,
    Hatch,
    Part,
    Point,
    Ring,
    Scene,
    Stroke,
    Text,
    Words,
)
from fitment.engine.minimum.coverage import (
    FURTHER_MM,
    MISSING,
    OPEN,
    PASSED,
    SECTOR_DEG,
    SEEN,
    joined_arcs,
)
from fitment.engine.model import INBOARD, OUTBOARD, Sector

#: All drawings of a page are at one width of drawing space, so that their text is of one size.
WIDTH_MM, TALL_MM = 480.0, 272.0
#: Middles of the dials, and the radius of the farthest sweep in drawing space.
MIDDLES: dict[str, Point] = {OUTBOARD: (120.0, 122.0), INBOARD: (360.0, 122.0)}
RADIUS_MM = 108.0
#: Where sectors begin, as a part of that radius: what is missing is written inside.
INNER = 0.6
#: Steps of an arc and of hatching, degrees.
ARC_DEG, HATCH_DEG = 2.5, 2.5
#: Missing arcs that are written into a dial, at most; the page tells them all.
WRITTEN = 4
#: Line height in the middle of a dial.
LINE_MM = 20.0

#: The line along the outer edge of a sector, by how it stands.
EDGES = {SEEN: "ink-thick", OPEN: "ink-dash", PASSED: "ink-thin", MISSING: "missing-edge"}


def sector_scene(sectors: Sequence[Sector], *, title: Text) -> Scene:
    """Both dials of a corner; not lettered yet. Raises ValueError without any sector."""
    farthest = max((one.reach_mm for one in sectors), default=0.0)
    if not farthest:
        raise ValueError("a corner without sectors has no drawing of them")
    parts: list[Part] = []
    for side, middle in MIDDLES.items():
        dial = _Dial(middle, RADIUS_MM / farthest)
        parts += dial.parts(side, [one for one in sectors if one.side == side])
    return Scene(
        title=title,
        description=tuple(_described(sectors)),
        viewport=(0.0, 0.0, WIDTH_MM, TALL_MM),
        parts=tuple(parts),
        legend=tuple(_legend(sectors)),
    )


class _Dial:
    """One side of a wheel, drawn about a middle at a scale."""

    def __init__(self, middle: Point, scale: float) -> None:
        self._middle, self._scale = middle, scale
        self._inner_mm = INNER * RADIUS_MM / scale

    def parts(self, side: str, sectors: Sequence[Sector]) -> Iterator[Part]:
        x, y = self._middle
        yield Fill((self._arc(self._inner_mm, -180.0, 180.0),), "tyre-fill")
        yield Stroke(self._arc(self._inner_mm, -180.0, 180.0), "ink-thin", closed=True)
        for one in sectors:
            yield from self._sector(one)
        yield Words((x, y + RADIUS_MM + 24.0), ((message(f"sectors.{side}"), "label"),), "middle")
        yield from self._written(sectors)

    def _sector(self, one: Sector) -> Iterator[Part]:
        low, high = one.clock_deg - SECTOR_DEG / 2, one.clock_deg + SECTOR_DEG / 2
        outer, inner = (self._arc(r, low, high) for r in (one.reach_mm, self._inner_mm))
        if one.state == MISSING:
            steps = round(SECTOR_DEG / HATCH_DEG)
            clocks = [low + HATCH_DEG * (k + 0.5) for k in range(steps)]
            radii = self._inner_mm, one.reach_mm
            lines = tuple((self._at(radii[0], c), self._at(radii[1], c)) for c in clocks)
            yield Hatch(lines, "hatch-missing", one.side)
        yield Stroke((*outer, *reversed(inner)), "grid-line", closed=True)
        if one.adds_mm >= FURTHER_MM:
            straight = max(one.reach_mm - one.adds_mm, self._inner_mm)
            yield Stroke(self._arc(straight, low, high), "ink-thin")
        yield Stroke(outer, EDGES[one.state])

    def _written(self, sectors: Sequence[Sector]) -> Iterator[Part]:
        """The arcs that are missing, in the middle; that none is, where none is."""
        arcs = arcs_of(sectors, MISSING)
        told: list[Text] = [
            message("sectors.arc", from_deg=low, to_deg=high) for low, high in arcs[:WRITTEN]
        ]
        if not told:
            told = [message("sectors.none-missing")]
        x, y = self._middle
        style = "dim-text" if arcs else "note"
        for index, line in enumerate(told):
            up = LINE_MM * ((len(told) - 1) / 2 - index)
            yield Words((x, y + up), ((line, style),), "middle")

    def _arc(self, radius_mm: float, low: float, high: float) -> Ring:
        steps = max(1, math.ceil((high - low) / ARC_DEG))
        return tuple(self._at(radius_mm, low + (high - low) * k / steps) for k in range(steps + 1))

    def _at(self, radius_mm: float, clock_deg: float) -> Point:
        """A place by its clock angle from straight up, plus to the front, which is right."""
        far, turn = radius_mm * self._scale, math.radians(clock_deg)
        return self._middle[0] + far * math.sin(turn), self._middle[1] + far * math.cos(turn)


def arcs_of(sectors: Sequence[Sector], state: str) -> list[tuple[float, float]]:
    """Arcs (degrees, from and to) that adjacent sectors of one side in a state make."""
    return list(joined_arcs(sorted(one.clock_deg for one in sectors if one.state == state)))


def _described(sectors: Sequence[Sector]) -> Iterator[Message]:
    yield message("describe.sectors")
    for side in MIDDLES:
        own = [one for one in sectors if one.side == side]
        for state in EDGES:
            arcs = arcs_of(own, state)
            if arcs:
                told = tuple(message("sectors.arc", from_deg=a, to_deg=b) for a, b in arcs)
                yield message(f"sectors.{side}-{state}", arcs=told)


def _legend(sectors: Sequence[Sector]) -> Iterator[Message]:
    states = {one.state for one in sectors}
    yield message("legend.sectors")
    for state in EDGES:
        if state in states:
            yield message(f"legend.sector-{state}")
    if any(one.adds_mm >= FURTHER_MM for one in sectors):
        yield message("legend.sector-straight")
