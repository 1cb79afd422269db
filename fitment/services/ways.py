"""Ways to clear: small changes of means, tyre and spacer, asked where a corner does not clear.

Every way is a question of its own to the same engine. The smallest changes come first, and the
search ends after a few that clear.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from alignment.geometry.linkage import Unreachable
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.designation import BadSize, Size, size_of
from fitment.engine.model import CLEAR, TIGHT, Answer, CornerAnswer
from fitment.engine.words import place_sentence, reach_sentence, worst_place
from fitment.models import TyreModel
from fitment.words import means_words

from .inputs import Document, means_of

GOOD = (CLEAR, TIGHT)
#: How many narrower tyres of the catalogue are tried, the nearest in width first.
TYRES_TRIED = 3
#: The search ends after so many ways that clear, or so many questions in all.
ENOUGH = 3
MOST_QUESTIONS = 24


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
    def is_means_only(self) -> bool:
        return self.means is not None and self.size == 1

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
    corner = document["corners"][name]
    means: list[dict[str, str]] = []
    clear: list[dict[str, str]] = []
    for count, change in enumerate(changes(corner)):
        if count >= MOST_QUESTIONS or (len(clear) >= ENOUGH and not change.is_means_only):
            break
        one = _answered(document, name, change)
        if one is None:
            continue
        outcome = {"words": change.words, "verdict": _word(one), "sentence": _sentence(one)}
        if change.is_means_only:
            means.append(outcome)
        if outcome["verdict"] in GOOD:
            clear.append(outcome)
    return {"means": means, "clear": clear[:ENOUGH]}


def changes(corner: Document) -> Iterator[Change]:
    """All changes worth asking about, the smallest first."""
    planned, spacer = corner["planned"], corner["wheel"].get("spacer_mm") or 0.0
    by = planned.get("camber_by")
    means = [name for name in means_of(corner["suspension"]) if by and name != by]
    tyres = narrower_tyres(corner["tyre"])
    spacers = [0.0] if spacer else []
    every = [Change(*parts) for parts in product([None, *means], [None, *tyres], [None, *spacers])]
    return iter(sorted((change for change in every if change.size), key=lambda c: c.size))


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
