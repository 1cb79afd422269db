"""Ways to clear: small changes of means, tyre and spacer, asked where a corner does not clear.

Every way is a question of its own to the same engine. The smallest changes come first, and the
search ends after a few that clear.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from alignment.geometry.linkage import Unreachable
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.designation import BadSize, Size, size_of
from fitment.engine.model import CLEAR, TIGHT, VERDICTS, Answer, CornerAnswer
from fitment.engine.words import place_sentence, reach_sentence, worst_place
from fitment.models import TyreModel
from fitment.words import means_words

from .car import Document, means_of

GOOD = (CLEAR, TIGHT)
#: How many narrower tyres of the catalogue are tried, the nearest in width first.
TYRES_TRIED = 3
#: The search ends after so many ways that clear.
ENOUGH = 3


@dataclass(frozen=True)
class Change:
    """One way: what differs from the plan; None leaves a thing as it is."""

    means: str | None = None
    tyre: TyreModel | None = None
    spacer_mm: float | None = None

    @property
    def size(self) -> int:
        return sum(x is not None for x in (self.means, self.tyre, self.spacer_mm))

    @property
    def words(self) -> str:
        parts = []
        if self.means is not None:
            parts.append(f"camber by {means_words(self.means)}")
        if self.tyre is not None:
            parts.append(f"{self.tyre.name} {self.tyre.size}")
        if self.spacer_mm is not None:
            parts.append("no spacer" if not self.spacer_mm else f"{self.spacer_mm:g} mm spacer")
        return ", ".join(parts)

    def made_to(self, corner: Document) -> Document:
        """A corner of a check file with this change."""
        changed = copy.deepcopy(corner)
        if self.means is not None:
            changed["planned"]["camber_by"] = self.means
        if self.tyre is not None:
            changed["tyre"] = self.tyre.as_document()
        if self.spacer_mm is not None:
            changed["wheel"]["spacer_mm"] = self.spacer_mm
        return changed


def ways_to_clear(document: Document, answer: Answer) -> dict[str, dict[str, Any]]:
    """By corner that does not clear or is out of reach, what was found.

    ``means`` lists the outcome of every other means of the same camber, ``clear`` the smallest
    changes that clear; both hold ``words``, ``verdict`` and ``sentence``. Corners that were
    asked the same question share one search.
    """
    ways: dict[str, dict[str, Any]] = {}
    asked: list[tuple[Document, dict[str, Any]]] = []
    for name, one in answer.corners.items():
        if one.verdict in GOOD and not one.out_of_reach:
            continue
        corner = document["corners"][name]
        found = next((ways for twin, ways in asked if twin == corner), None)
        if found is None:
            found = _search(document, name)
            asked.append((corner, found))
        ways[name] = found
    return ways


def _search(document: Document, name: str) -> dict[str, Any]:
    """Ask about every other means first; what else is changed goes with the best of them."""
    corner = document["corners"][name]
    asked = {means: _answered(document, name, Change(means)) for means in other_means(corner)}
    known = {means: one for means, one in asked.items() if one is not None}
    means = [_outcome(Change(means), one) for means, one in known.items()]
    clear = [outcome for outcome in means if outcome["verdict"] in GOOD]
    best = max(known, key=lambda means: _goodness(known[means]), default=None)
    for change in further_changes(corner, best):
        if len(clear) >= ENOUGH:
            break
        one = _answered(document, name, change)
        if one is not None and _word(one) in GOOD:
            clear.append(_outcome(change, one))
    return {"means": means, "clear": clear[:ENOUGH]}


def other_means(corner: Document) -> list[str]:
    """The means of camber that a corner offers beside the planned one."""
    by = corner["planned"].get("camber_by")
    return [name for name in means_of(corner["suspension"]) if by and name != by]


def further_changes(corner: Document, best_means: str | None) -> list[Change]:
    """Tyre and spacer, with the plan's means and with the best other; smallest change first."""
    spacer = corner["wheel"].get("spacer_mm") or 0.0
    means = [None, best_means] if best_means else [None]
    tyres = [None, *narrower_tyres(corner["tyre"])]
    every = [Change(*parts) for parts in product(means, tyres, [None, 0.0] if spacer else [None])]
    wanted = [change for change in every if change.tyre or change.spacer_mm is not None]
    return sorted(wanted, key=lambda change: change.size)


def _outcome(change: Change, one: CornerAnswer) -> dict[str, str]:
    return {"words": change.words, "verdict": _word(one), "sentence": _sentence(one)}


def _goodness(one: CornerAnswer) -> tuple[bool, int, float]:
    """In reach before out of reach, then the better verdict, then the more room."""
    worst = worst_place(one)
    room = worst.clearance_mm if worst else 0.0
    return (not one.out_of_reach, VERDICTS.index(one.verdict), room)


def narrower_tyres(tyre: Document) -> list[TyreModel]:
    """Tyres of the catalogue for the same rim that are narrower, the widest of them first."""
    size = _size(str(tyre.get("size", "")))
    if size is None:
        return []
    width = tyre.get("section_width_mm") or size.width_mm
    rows = TyreModel.objects.filter(size__endswith=f"{size.rim_in:g}")
    fitting = [
        (row.section_width_mm or own.width_mm, row)
        for row in rows
        if (own := _size(row.size)) is not None and own.rim_in == size.rim_in
    ]
    return _first(sorted((pair for pair in fitting if pair[0] < width), key=lambda p: -p[0]))


def _first(pairs: Sequence[tuple[float, TyreModel]]) -> list[TyreModel]:
    return [row for _, row in pairs[:TYRES_TRIED]]


def _size(text: str) -> Size | None:
    try:
        return size_of(text)
    except BadSize:
        return None


def _answered(document: Document, name: str, change: Change) -> CornerAnswer | None:
    """What the engine says to a change; None where it cannot be asked or set."""
    changed = change.made_to(document["corners"][name])
    try:
        question = checkfile.parse({**document, "corners": {name: changed}})
        return run(question).corners[name]
    except (checkfile.BadCheckFile, Unreachable):
        return None


def _sentence(one: CornerAnswer) -> str:
    worst = worst_place(one)
    said = [place_sentence(worst)] if worst else []
    return " ".join([*said, *(reach_sentence(short) for short in one.out_of_reach)])


def _word(one: CornerAnswer) -> str:
    return "out of reach" if one.out_of_reach and one.verdict in GOOD else one.verdict
