"""A session held against the wheel on its car, which is known to clear: before it is a survey."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.core.cache import cache

from alignment.text.render import on_record, render
from common.canonical_json import digest_of
from common.message import Message, message
from fitment.engine.checkfile import Measured
from fitment.engine.survey.blame import Blamed, most_likely
from fitment.engine.survey.own_wheel import Nearest, is_known, touching
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sheet import Sheet

#: How long an answer is kept, seconds: as long as one stands at the corner.
KEPT_S = 3600


@dataclass(frozen=True)
class OwnWheel:
    """What the wheel on the car says of a session.

    ``touching`` are spots that it would touch, the deepest overlap first; ``blamed`` the readings
    that most likely make it so. ``is_known`` says whether the wheel was read at all.
    """

    is_known: bool
    touching: tuple[tuple[str, Nearest], ...] = ()
    blamed: tuple[Blamed, ...] = ()

    @property
    def sentences(self) -> tuple[Message, ...]:
        """What contradicts, spot by spot."""
        return tuple(
            message("own-wheel.touches", spot=spot, overlap_mm=-near.gap_mm, pose=near.pose)
            for spot, near in self.touching
        )

    @property
    def guesses(self) -> tuple[tuple[int, Message], ...]:
        """What each of the blamed readings would have to be, with the reading's key."""
        return tuple((one.reading.key, _would_be(one)) for one in self.blamed)

    @property
    def on_record(self) -> str:
        """All of it as it is kept."""
        told = [*self.sentences, *(_most_likely(said) for _, said in self.guesses[:1])]
        return " ".join(render(one, on_record()) for one in told)


def own_wheel_of(
    sheet: Sheet, measured: Measured | None, base: Mapping[str, Any] | None
) -> OwnWheel:
    """Hold readings against the wheel on their car; the same readings are worked out once.

    ``measured`` is the survey that they make, ``base`` the document that they correct.
    """
    if not is_known(sheet, measured):
        return OwnWheel(is_known=False)
    key = f"own-wheel-{digest_of([base, *_key(sheet)])}"
    found: OwnWheel | None = cache.get(key)
    if found is None:
        found = _worked_out(sheet, base)
        cache.set(key, found, KEPT_S)
    return found


def _key(sheet: Sheet) -> Iterator[object]:
    for reading in sheet.readings:
        yield [reading.key, reading.form, reading.place, reading.pose, dict(reading.values)]


def _worked_out(sheet: Sheet, base: Mapping[str, Any] | None) -> OwnWheel:
    found = tuple(touching(sheet, base).items())
    blamed = most_likely(sheet, base, *found[0]) if found else ()
    return OwnWheel(is_known=True, touching=found, blamed=blamed)


def _most_likely(guess: Message) -> Message:
    return message("own-wheel.most-likely", guess=guess)


def _would_be(one: Blamed) -> Message:
    reading = FORMS[one.reading.form].words
    if one.reading.place:
        reading = f"{reading}, {one.reading.place}"
    figures = {f"read_{one.unit}": one.read, f"wanted_{one.unit}": one.wanted}
    return message(
        f"own-wheel.would-be-{one.unit}",
        reading=reading,
        figure=one.words,
        times=one.sigmas,
        **figures,
    )
