"""The answer to a search file as JSON."""

from __future__ import annotations

from collections import Counter
from typing import Any

from common.message import Message
from fitment.engine.checkfile.answer import spot_dump
from fitment.engine.search.limits import (
    BUDGET,
    DIAMETER,
    LOAD,
    LOAD_INDEX,
    MARKING_UNKNOWN,
    NO_SECTION,
    PRICE_UNKNOWN,
    RIM_DIAMETER,
    RIM_UNKNOWN,
    RIM_WIDTH,
    RULE,
    SPEED,
    WHEEL_LOAD,
    WIDTH,
)
from fitment.engine.search.listing import Standing, listing
from fitment.engine.search.model import (
    BEYOND,
    CAMBER_LIMIT,
    NO_BETTER,
    NO_ROOM,
    NOT_LOOKED_AT,
    NOT_MEASURED,
    ON_STOPS,
    OUT_OF_REACH,
    TOO_CLOSE,
    TOUCHES,
    Option,
    Options,
)
from fitment.engine.search.search_file import Search

Json = dict[str, Any]

FORMAT_KEY = "archroom_options"
FORMAT = 1

#: Words of the format for what ruled candidates out.
REASONS = {
    RIM_DIAMETER: "rim diameter",
    RIM_WIDTH: "rim width",
    RIM_UNKNOWN: "cannot say: rim width",
    NO_SECTION: "cannot be mounted",
    DIAMETER: "overall diameter",
    WIDTH: "section width",
    LOAD: "load index",
    LOAD_INDEX: "load index",
    WHEEL_LOAD: "wheel load",
    SPEED: "speed symbol",
    MARKING_UNKNOWN: "cannot say: marking",
    BUDGET: "budget",
    PRICE_UNKNOWN: "cannot say: price",
    RULE: "rule",
    OUT_OF_REACH: "out of reach",
    BEYOND: "beyond the linkage",
    ON_STOPS: "on the stops",
    CAMBER_LIMIT: "camber",
    TOUCHES: "contact",
    TOO_CLOSE: "doubtful",
    NOT_MEASURED: "unmeasured",
    NO_ROOM: "rolling gains nothing",
    NO_BETTER: "no better",
    NOT_LOOKED_AT: "not looked at",
}


def offered(search: Search, found: Options) -> list[Option]:
    """The options of an answer, best first."""
    standings = [Standing(one.ranks, one.changes, one.fails) for one in found.options]
    question = search.question
    return [found.options[place.index] for place in listing(standings, question.aims, question.few)]


def options_dump(search: Search, found: Options) -> Json:
    """The answer as a JSON document.

    ``ruled_out`` and ``cleared`` together are ``looked_at``; what is "no better" was not judged,
    since by the goal it cannot be better than the first option.
    """
    return {
        FORMAT_KEY: FORMAT,
        "goal": search.goal,
        "axle": search.axle,
        "looked_at": found.candidates,
        "ruled_out": dict(counts(found)),
        "cleared": found.cleared,
        "judged": found.judged,
        "complete": found.complete,
        "options": [_option(one) for one in offered(search, found)],
    }


def counts(found: Options) -> Counter[str]:
    """How many candidates fell, by the format's words, most first."""
    by_word: Counter[str] = Counter()
    for row in found.ruled_out:
        by_word[reason(row.why)] += row.count
    return Counter(dict(by_word.most_common()))


def reason(why: Message) -> str:
    """The format's words for a reason."""
    return REASONS[why.code]


def _option(option: Option) -> Json:
    corner = option.corners[option.corner]
    planned = corner.planned
    return {
        "wheel": option.wheel.key or None,
        "tyre": option.tyre.key or None,
        "spacer_mm": corner.wheel.spacer_mm,
        "packer_mm": planned.adjusters.bump_stop_mm,
        "ride_height_mm": planned.adjusters.ride_height_mm,
        "camber_deg": planned.camber_deg,
        "camber_by": planned.camber_by,
        "verdict": option.verdict,
        "section_width_mm": option.width_mm,
        "tightest": {"corner": option.corner, **spot_dump(option.tightest)},
        "price": None if option.price is None else float(option.price),
    }
