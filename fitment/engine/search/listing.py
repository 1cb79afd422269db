"""Which of the options that were found are offered, and in which order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitment.engine.search.aims import LEAST_CHANGE, Rank, Ranks


@dataclass(frozen=True)
class Standing:
    """What of an option decides where it stands: how well it meets each aim, what it changes,
    and whether it fails what is asked of it beside its clearance."""

    ranks: Ranks
    changes: frozenset[str]
    fails: bool = False


@dataclass(frozen=True)
class Place:
    """The place of an option in a list: its number among those found, and the aims that it
    meets best."""

    index: int
    wins: tuple[str, ...]


def listing(found: Sequence[Standing], aims: Sequence[str], few: int) -> list[Place]:
    """The options to offer: the best for each aim, then others that change other things.

    ``few`` of those that fail nothing, and after them as many of those that do. Where all fail
    something, the best of them are named as such.
    """
    passing = [index for index, one in enumerate(found) if not one.fails]
    failing = [index for index, one in enumerate(found) if one.fails]
    shown = _chosen(found, passing, aims, few)
    if passing:
        after = _chosen(found, failing, aims, few)
        return [*shown, *(Place(place.index, ()) for place in after)]
    return _chosen(found, failing, aims, few)


def is_news(changes: frozenset[str], others: Sequence[frozenset[str]], aim: str) -> bool:
    """Whether an option changes other things than those that are offered.

    Where least change is wanted, what changes all that another option changes and more is no news.
    """
    if aim == LEAST_CHANGE:
        return all(not other <= changes for other in others)
    return changes not in others


def _chosen(
    found: Sequence[Standing], among: Sequence[int], aims: Sequence[str], few: int
) -> list[Place]:
    wins: dict[int, list[str]] = {}
    for aim in aims:
        ranked = [index for index in among if aim in found[index].ranks]
        if ranked:
            best = min(ranked, key=lambda index: found[index].ranks[aim])
            wins.setdefault(best, []).append(aim)
    offered = [found[index].changes for index in wins]
    for index in sorted(among, key=lambda index: _rank(found[index], aims[0])):
        if len(wins) >= few:
            break
        if index not in wins and is_news(found[index].changes, offered, aims[0]):
            wins[index] = []
            offered.append(found[index].changes)
    return [Place(index, tuple(best_for)) for index, best_for in wins.items()]


def _rank(one: Standing, aim: str) -> Rank:
    """Where an option stands; one without a rank stands behind all."""
    return one.ranks.get(aim, (float("inf"),))
