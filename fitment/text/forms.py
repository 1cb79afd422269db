"""Forms that clearances are written in: with their uncertainty, and never as a bare nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from alignment.text.render import Form, Reader, mm
from common.numerals import NOT_READ, half_up
from fitment.engine.defaults import LEAST_STATED
from shop.languages.speech import MILLIMETRES

SIGMA = mm(never_zero=True)
#: A gap is written to so many decimals at the most.
MOST_PLACES = 4


def clearance(needed: str = "") -> Form:
    """A clearance or an overlap with the parameter ``sigma_mm``: ``4 ± 5 mm``.

    Where ``needed`` names a limit that is missed, the figure never reads like that limit.
    """

    def form(value: float, reader: Reader, params: Mapping[str, Any]) -> str:
        steps = reader.steps(abs(value))
        if needed and steps >= (limit := _limit(params[needed], reader)):
            steps = math.ceil(limit) - 1
        say, sigma = reader.speech.say, SIGMA(params["sigma_mm"], reader, params)
        if steps <= 0:
            least = reader.speech.length(reader.step_mm, reader.places)
            return say("less than {length} (± {sigma})", length=least, sigma=sigma)
        gap = reader.speech.number(Decimal(steps).scaleb(-reader.decimals), reader.decimals)
        return say("{gap} ± {sigma}", gap=gap, sigma=sigma)

    return form


def _limit(needed_mm: float, reader: Reader) -> Decimal:
    """What is needed as it is written, in steps: a chosen number of millimetres stands whole."""
    if reader.speech.lengths == MILLIMETRES:
        return Decimal(repr(float(needed_mm))).scaleb(reader.decimals)
    return Decimal(reader.steps(needed_mm))


def signed_gap(value: float, reader: Reader, _: Mapping[str, Any]) -> str:
    """A gap with its sign and no unit, never rounded to a zero that hides its side: ``−0.04``."""
    if not math.isfinite(value):
        return NOT_READ
    finer = reader
    while value and not finer.steps(abs(value)) and finer.places < MOST_PLACES:
        finer = replace(finer, places=finer.places + 1)
    return reader.speech.bare_length(value, finer.places, signed=True)


def gap_with_sigma(value: float, reader: Reader, params: Mapping[str, Any]) -> str:
    """A gap with its sign and the parameter ``sigma_mm``, in tenths: ``+4.2 ± 0.9 mm``."""
    gap = reader.speech.bare_length(value, 1, signed=True)
    sigma = reader.speech.length(params["sigma_mm"], 1)
    return reader.speech.say("{gap} ± {sigma}", gap=gap, sigma=sigma)


def signed_gap_with_unit(value: float, reader: Reader, params: Mapping[str, Any]) -> str:
    """The same with the reader's unit."""
    return f"{signed_gap(value, reader, params)} {reader.speech.length_unit}"


def chance(value: float, reader: Reader, _: Mapping[str, Any]) -> str:
    """A chance for an owner: ``about 8 in 10``, ``about 1 in 50``, ``< 1 in 100``."""
    say = reader.speech.say
    if value < LEAST_STATED:
        return say("< 1 in 100")
    if value < 0.05:
        return say("about 1 in {count}", count=int(round(1 / value, -1)))
    if value >= 0.95:
        return say("more than 19 in 20")
    return say("about {count} in 10", count=int(half_up(10 * value, 0)))


def per_cent_of_chance(value: float, reader: Reader, _: Mapping[str, Any]) -> str:
    """A chance for the shop: ``19 %``, ``< 1 in 100``."""
    if not math.isfinite(value):
        return NOT_READ
    if value < LEAST_STATED:
        return reader.speech.say("< 1 in 100")
    if value > 0.99:
        return reader.speech.say("over 99 %")
    return f"{reader.speech.number(100 * value, 0)} %"
