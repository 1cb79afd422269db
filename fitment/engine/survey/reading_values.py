"""Figures of readings: each refused by name where it was left out, and what some of them give."""

from __future__ import annotations

from fitment.engine.survey import surveying
from fitment.engine.survey.readings import FRONT, REAR, Reading
from fitment.engine.survey.surveying import BadReading, Measure, Pose

#: Longest text that a reading keeps: a traced profile has some forty pairs.
LONGEST = 1200
#: No length or angle of a corner lies beyond, either way; mm or degrees.
FARTHEST = 3000
#: Minus signs of keyboards, and decimal commas.
_AS_TYPED = str.maketrans({"\u2212": "-", "\u2013": "-", ",": "."})


def bump_of(reading: Reading, travel_mm: float, motion_ratio: float | None) -> Measure:
    """Bump from the survey height by the shaft as read at a travel. Raises BadReading.

    ``motion_ratio`` serves where the reading states none.
    """
    need = Needed(reading)
    solid, free = reading.number("solid_mm"), reading.number("stop_mm")
    if solid is None and free is None:
        raise BadReading("solid_mm", "enter the stop squashed, or its free length")
    known = Measure(solid, 1.0) if solid is not None else surveying.foam_solid(free or 0.0)
    ratio = reading.number("motion_ratio") or motion_ratio
    if ratio is None:
        raise BadReading("motion_ratio", "enter it, or read the shaft in another pose too")
    left = surveying.bump_left(shaft_mm=need["shaft_mm"], solid=known, motion_ratio=ratio)
    return Measure(left.value + travel_mm, left.sigma)


def toe_of(reading: Reading) -> Measure:
    """Toe (degrees) of a bare hub by strings. Raises BadReading."""
    need = Needed(reading)
    return surveying.toe_by_string(
        front_mm=need["front_mm"], rear_mm=need["rear_mm"], apart_mm=need["apart_mm"]
    )


def clock_of(reading: Reading, there: Pose) -> float:
    """Clock (degrees) as typed, or by the level. Raises BadReading."""
    clock, level = reading.number("clock_deg"), reading.number("level_deg")
    if clock is not None:
        return clock
    if level is None:
        raise BadReading("clock_deg", "enter the clock, or lay the level on")
    side = reading.text("side")
    if side not in (FRONT, REAR):
        raise BadReading("side", "say whether it points to the front or to the rear")
    return surveying.clock_of_level(level, there.camber_deg, to_front=side == FRONT)


class Needed:
    """A reading's figures, each refused by name where it was left out."""

    def __init__(self, reading: Reading) -> None:
        self.reading = reading

    def __getitem__(self, name: str) -> float:
        value = self.reading.number(name)
        if value is None:
            raise BadReading(name, "is missing")
        return value


def pairs_of(field: str, text: str) -> tuple[tuple[float, float], ...]:
    """``-112 205; -115 260``: pairs with semicolons or lines between. Raises BadReading."""
    pairs = []
    for count, row in enumerate(text.replace("\n", ";").split(";"), start=1):
        words = row.translate(_AS_TYPED).split()
        if not words:
            continue
        try:
            first, second = (float(word) for word in words)
        except ValueError:
            raise BadReading(field, f"pair {count}, “{row.strip()}”, is not two numbers") from None
        pairs.append((first, second))
    return tuple(pairs)
