"""What is asked of a search for options, and what it answers: plain frozen data.

Prices are for one axle; None is a price that is not known. Millimetres.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from common.corners import axle_of
from common.message import Message
from common.verdicts import Verdict
from fitment.engine.model import Check, Corner, CornerAnswer, Duty, SpotAnswer
from fitment.engine.search.aims import LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, Ranks
from fitment.engine.search.effort import Weights
from fitment.engine.search.limits import Within
from fitment.engine.search.space import SettingChange, Space, SpacerChoice, TyreChoice, WheelChoice

#: Codes of what rules candidates out, beside those of ``space``.
OUT_OF_REACH = "ruled-out.out-of-reach"
BEYOND = "ruled-out.beyond-linkage"
ON_STOPS = "ruled-out.on-stops"
CAMBER_LIMIT = "ruled-out.camber"
TOUCHES = "ruled-out.touches"
TOO_CLOSE = "ruled-out.too-close"
NOT_MEASURED = "ruled-out.not-measured"
NO_ROOM = "ruled-out.no-room"
NOT_LOOKED_AT = "ruled-out.not-looked-at"
NO_BETTER = "ruled-out.no-better"


@dataclass(frozen=True)
class Progress:
    """How far a search is: settings settled, candidates judged and found to clear, and the share
    (0 to 1) of all that is settled one way or the other."""

    settled: int
    settings: int
    judged: int
    found: int
    done_share: float = 0.0


#: Told of progress now and then; answers whether to go on.
Watch = Callable[[Progress], bool]
#: Whether corners with their answers pass what is asked of them beside their clearance.
Passes = Callable[[Mapping[str, Corner], Mapping[str, CornerAnswer]], bool]


@dataclass(frozen=True)
class Question:
    """Corners that are changed alike (one axle), what they are for, and what may be changed.

    ``aims`` says what is wanted, the first first; ``few`` how many options are offered in all.
    ``passes`` says of what clears whether it passes what else is asked of it, such as mounting
    checks: what does not stands after all that does, and takes no place of theirs. ``most_judged``
    bounds the work: then a search may end before it is complete, and says so.
    """

    corners: Mapping[str, Corner]
    duty: Duty
    space: Space
    within: Within = field(default_factory=Within)
    aims: tuple[str, ...] = (LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE)
    few: int = 5
    weights: Weights = field(default_factory=Weights)
    passes: Passes | None = None
    most_judged: int | None = None


@dataclass(frozen=True)
class Option:
    """What would clear.

    ``changes`` are its kinds of change, ``ranks`` its place by aim, ``price`` of the axle (None:
    not known); ``fails`` tells that it clears, but does not pass what else is asked. ``corners``
    is what a check would be asked, ``answers`` what it answers; ``tightest`` the place with the
    least clearance, at ``corner``. ``not_known`` are limits that nothing can be said about,
    ``broken`` rules that no choice would have kept.
    """

    setting: SettingChange
    wheel: WheelChoice
    tyre: TyreChoice
    spacer: SpacerChoice
    changes: frozenset[str]
    effort: float
    price: Decimal | None
    ranks: Ranks
    fails: bool
    verdict: Verdict
    width_mm: float
    corner: str
    tightest: SpotAnswer
    corners: Mapping[str, Corner]
    answers: Mapping[str, CornerAnswer]
    not_known: tuple[Message, ...]
    broken: tuple[str | Message, ...] = ()


@dataclass(frozen=True)
class RuledOut:
    """How many candidates fell, and why."""

    why: Message
    count: int


@dataclass(frozen=True)
class Options:
    """What was found, what was not, and whether all was looked at.

    ``options`` are in no order: ``listing`` says which are offered. ``candidates`` counts the
    whole space, ``judged`` those that a full check was asked about, ``cleared`` those of them that
    clear.
    """

    options: tuple[Option, ...]
    ruled_out: tuple[RuledOut, ...]
    candidates: int
    judged: int
    cleared: int
    complete: bool


def axles_of(check: Check) -> dict[str, dict[str, Corner]]:
    """Corners of a check by axle, "front" and "rear"."""
    found: dict[str, dict[str, Corner]] = {}
    for name, corner in check.corners.items():
        found.setdefault(axle_of(name), {})[name] = corner
    return found
