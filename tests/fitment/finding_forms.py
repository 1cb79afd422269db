"""Every form that a finding can take, and what any reader must find in its sentence.

The facts are worked out here from the parameters alone: figures in the reader's unit, rounded
decimal half-up, with the reader's decimal mark.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import product

from alignment.text.render import Reader, customer
from common.corners import CORNERS
from common.verdicts import Verdict
from fitment.engine.model import (
    BODY,
    KNUCKLE,
    LINK,
    STRUT_BODY,
    PoseAt,
    SpotAnswer,
    UncertaintyPart,
)
from shop.languages import LANGUAGES, Speech

MM_PER_INCH = Decimal("25.4")
SPOT = "bracket"
CARRIERS = (BODY, KNUCKLE, STRUT_BODY, LINK)
MOVING = (BODY, LINK)
VERDICTS = (Verdict.CONTACT, Verdict.DOUBTFUL, Verdict.TIGHT, Verdict.CLEAR)
PARTS = ("tyre", "wheel")
#: Travel from ride height, mm, and steering, degrees (front edge inward +).
TRAVELS, LOCKS = (0.0, 62.5, -41.5), (0.0, 18.4, -18.4)
GAPS = {
    Verdict.CONTACT: -4.25,
    Verdict.DOUBTFUL: 3.15,
    Verdict.TIGHT: 4.85,
    Verdict.CLEAR: 12.25,
}
LOADS = ("", "outside", "inside", "braking")
#: A share of chances, per cent, away from both ends.
TOUCH_SHARE = 0.19


@dataclass(frozen=True)
class Form:
    """One finding with the corner that it is told of."""

    spot: SpotAnswer
    corner: str


def forms() -> Iterator[Form]:
    """Every carrier, verdict, part, travel, lock and load; the corners take turns."""
    told = product(CARRIERS, VERDICTS, PARTS, TRAVELS, LOCKS, LOADS)
    for index, (carrier, verdict, part, travel, steer, load) in enumerate(told):
        spot = SpotAnswer(
            place=SPOT,
            carried_by=carrier,
            surface="hard",
            clearance_mm=GAPS[verdict],
            needed_mm=5.0,
            sigma_mm=2.35,
            touch_chance=TOUCH_SHARE,
            verdict=verdict,
            at=PoseAt(travel, steer, load),
            nearest_mm=(90.0, 356.0),
            touch_mm=(94.0, 357.0),
            part=part,
            uncertainty=(UncertaintyPart("section width", 2.3),),
        )
        yield Form(spot, CORNERS[index % 4])


def readers() -> list[Reader]:
    """Shop and customer in every language, in both units."""
    speeches = [Speech(LANGUAGES[code], unit) for code in LANGUAGES for unit in ("mm", "in")]
    return [reader for speech in speeches for reader in (Reader(speech), customer(speech))]


def name_of(reader: Reader) -> str:
    who = "customer" if reader.is_customer else "shop"
    return f"{reader.speech.language.code} {reader.speech.lengths} {who}"


def written(value: float, places: int, reader: Reader) -> str:
    step = Decimal(1).scaleb(-places)
    rounded = abs(Decimal(repr(value))).quantize(step, rounding=ROUND_HALF_UP)
    return str(rounded).replace(".", reader.speech.language.point)


def length(mm: float, reader: Reader, places: int) -> str:
    """A length in the reader's unit; inches have a decimal more than millimetres, two at least."""
    if reader.speech.lengths == "mm":
        return written(mm, places, reader)
    inches = (abs(Decimal(repr(mm))) / MM_PER_INCH).quantize(
        Decimal(1).scaleb(-max(places + 1, 2)), rounding=ROUND_HALF_UP
    )
    return str(inches).replace(".", reader.speech.language.point)


def facts(form: Form, reader: Reader) -> list[str]:
    """Every figure of the finding as this reader has to find it."""
    spot, places = form.spot, reader.places
    found = [length(spot.clearance_mm, reader, places), length(spot.sigma_mm, reader, places)]
    if spot.verdict == Verdict.TIGHT:
        found = [
            _below(spot.needed_mm, found[0], reader),
            found[1],
            "5" if reader.speech.lengths == "mm" else length(5.0, reader, 1),
        ]
    if spot.verdict == Verdict.DOUBTFUL:
        found.append(written(100 * TOUCH_SHARE, 0, reader))
    if spot.carried_by in MOVING:
        if spot.at.travel_mm:
            found.append(length(spot.at.travel_mm, reader, 0))
        if spot.at.steer_deg:
            found.append(written(spot.at.steer_deg, 0, reader))
    return sorted(found)


def _below(needed: float, shown: str, reader: Reader) -> str:
    """A tight gap never reads like the margin that it misses: it is rounded down instead."""
    point = reader.speech.language.point
    if Decimal(shown.replace(point, ".")) * (
        1 if reader.speech.lengths == "mm" else MM_PER_INCH
    ) < Decimal(repr(needed)):
        return shown
    places = len(shown.partition(point)[2])
    lower = Decimal(shown.replace(point, ".")) - Decimal(1).scaleb(-places)
    return str(lower).replace(".", point)


def figures(sentence: str) -> list[str]:
    """Every number of a sentence, without its sign."""
    return sorted(re.findall(r"\d+(?:[.,]\d+)?", sentence))


def steered(form: Form, degrees: float) -> Form:
    """The same finding at another lock."""
    return replace(form, spot=replace(form.spot, at=replace(form.spot.at, steer_deg=degrees)))
