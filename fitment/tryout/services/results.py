"""Options as plain rows that can be kept: messages, figures, and the set-up for the try-out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from alignment.geometry.model import Planned
from common.message import message, message_dump
from fitment.engine.search.aims import Rank
from fitment.engine.search.listing import Standing, listing
from fitment.engine.search.model import Option, Question, RuledOut
from fitment.engine.search.part import Before
from fitment.engine.search.space import LIPS
from fitment.engine.search.told import cautions_of, changes_of, tightest_of
from fitment.text.options import Kept
from fitment.tryout.data import TYRE_KEY, WHEEL_KEY, SetUp, pk_in
from fitment.tryout.parts import failing_told, parts_told
from fitment.tryout.tables import Tables
from shop.orders.services.cautions import ROLLING_CAUTION

Row = dict[str, Any]


def row_of(
    option: Option, question: Question, names: Mapping[str, str], set_up: SetUp, tables: Tables
) -> Row:
    """An option as plain data; ``question`` is what it was found for."""
    corners = question.corners
    planned = next(iter(corners.values()))
    corner = next(iter(option.corners.values()))
    failing = failing_told(option, question.duty, set_up.axle) if option.fails else []
    rolling = [message("verbatim", text=ROLLING_CAUTION)] if LIPS in option.changes else []
    told = [*failing, *tables.told(option, set_up.axle), *rolling]
    told += [*cautions_of(option), *parts_told(option, corners)]
    return {
        "changes_told": message_dump(changes_of(option, planned, names)),
        "tightest_told": message_dump(tightest_of(option)),
        "cautions": [message_dump(one) for one in told],
        "fails": option.fails,
        "ranks": {aim: _kept(rank) for aim, rank in option.ranks.items()},
        "changes": sorted(option.changes),
        "price": None if option.price is None else str(option.price),
        "effort": round(option.effort, 6),
        "verdict": option.verdict,
        "width_mm": round(option.width_mm, 1),
        "place": option.tightest.place,
        "clearance_mm": _rounded(option.tightest.clearance_mm, 2),
        "sigma_mm": _rounded(option.tightest.sigma_mm, 2),
        "put": put_of(option, corner.planned, set_up),
    }


def _rounded(value: float, places: int) -> float | None:
    """A figure as it is kept; None where it is not known."""
    return round(value, places) if math.isfinite(value) else None


def told_of_all(rows: Sequence[Row]) -> list[Kept]:
    """Cautions that several options have in common, so that they need to be said once only."""
    said = [row["cautions"] for row in rows]
    return [one for one in said[0] if all(one in more for more in said)] if len(said) > 1 else []


def told_of_one(row: Row, of_all: Sequence[Kept]) -> list[Kept]:
    """Cautions of an option alone."""
    return [one for one in row["cautions"] if one not in of_all]


def ruled_out_rows(ruled_out: Iterable[RuledOut]) -> list[list[Any]]:
    """What fell as [why, count]."""
    return [[message_dump(one.why), one.count] for one in ruled_out]


def few_of(rows: Iterable[Row], aims: Sequence[str], few: int) -> list[Row]:
    """All rows, each once, those that are offered first and marked ``shown``.

    Rows that fail a mounting check stand behind all that fail none, and take no place of theirs.
    """
    once: dict[str, Row] = {}
    for row in rows:
        once.setdefault(repr(sorted(row["put"].items())), {**row, "shown": False, "wins": []})
    left = list(once.values())
    places = listing([_standing(row) for row in left], aims, few)
    for place in places:
        left[place.index] |= {"shown": True, "wins": list(place.wins)}
    shown = [left[place.index] for place in places]
    return [*shown, *(row for row in left if not row["shown"])]


def before_of(rows: Iterable[Row]) -> Before:
    """What rows that were found say to the rest of their search."""
    passing = [_standing(row) for row in rows if not row["fails"]]
    best: dict[str, Rank] = {}
    for one in passing:
        for aim, rank in one.ranks.items():
            best[aim] = min(best.get(aim, rank), rank)
    return Before(best, tuple(one.changes for one in passing))


def _standing(row: Row) -> Standing:
    ranks = {
        aim: tuple(math.inf if figure is None else float(figure) for figure in rank)
        for aim, rank in row["ranks"].items()
    }
    return Standing(ranks, frozenset(row["changes"]), bool(row["fails"]))


def _kept(rank: Rank) -> list[float | None]:
    """A rank as JSON: what is not known is null."""
    return [None if math.isinf(figure) else figure for figure in rank]


def put_of(option: Option, planned: Planned, set_up: SetUp) -> dict[str, str]:
    """The parameters of the try-out that make this option."""

    def text(value: float | None) -> str:
        return "" if value is None else f"{value:.4f}".rstrip("0").rstrip(".")

    wheel, tyre = pk_in(option.wheel.key, WHEEL_KEY), pk_in(option.tyre.key, TYRE_KEY)
    if not wheel:
        wheel = set_up.wheel_key
    if not tyre:
        is_the_one = option.tyre.tyre.size == set_up.size and not option.tyre.nominal
        tyre = set_up.tyre_key if is_the_one else option.tyre.tyre.size
        if option.tyre.key == "planned":
            tyre = set_up.tyre_key
    adjusters = planned.adjusters
    return {
        "wheel": wheel,
        "tyre": tyre,
        "spacer": text(option.spacer.mm) if option.spacer.mm else "",
        "camber": text(planned.camber_deg),
        "by": planned.camber_by or "",
        "toe": text(planned.toe_deg),
        "height": text(adjusters.ride_height_mm) if adjusters.ride_height_mm else "",
        "packer": text(adjusters.bump_stop_mm) if adjusters.bump_stop_mm else "",
        "lips": "on" if planned.rolled_lips else "",
    }
