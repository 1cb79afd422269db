"""Options: from "it rubs" to what would fit.

Every setting to choose from is settled once, and all wheels, tyres and spacers are held against
each; settings are searched in parts that fit into memory, each part for what is better than what
those before it found. How a part is searched, and why nothing better can be missed, stands in
:mod:`.part`. Deterministic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from common.message import Message, message
from fitment.engine.search.fits import fits_within
from fitment.engine.search.model import (
    NOT_LOOKED_AT,
    Options,
    Progress,
    Question,
    RuledOut,
    Watch,
)
from fitment.engine.search.part import Before, some_options
from fitment.engine.search.space import SettingChange

#: Candidates that are held in memory at once.
AT_ONCE = 200_000


def options(question: Question, watch: Watch | None = None) -> Options:
    """Search a whole space; what was found so far if ``watch`` stops it."""
    fits = fits_within(question.space, question.within)
    found: list[Options] = []
    before, done, judged = Before(), 0, 0
    for part in parts_of(question.space.settings, len(fits.triples)):
        asked = None if watch is None else _further(watch, question, done, len(part), judged, found)
        left = None if question.most_judged is None else question.most_judged - judged
        one = some_options(replace(question, most_judged=left), fits, part, before, asked)
        found.append(one)
        before = before.and_found(one.options)
        done, judged = done + len(part), judged + one.judged
        if not one.complete:
            break
    return _joined(found, question, not_settled=question.space.settings[done:])


def parts_of(
    settings: Sequence[SettingChange], fits: int, most: int | None = None
) -> list[tuple[SettingChange, ...]]:
    """Settings in parts, ``most`` in each; what differs only by rolled lips stays together."""
    size = max(1, AT_ONCE // max(fits, 1))
    size = size if most is None else min(size, most)
    twins: dict[SettingChange, list[SettingChange]] = {}
    for change in settings:
        twins.setdefault(replace(change, price=None, rolled_lips=False), []).append(change)
    parts: list[list[SettingChange]] = []
    for group in twins.values():
        if not parts or len(parts[-1]) + len(group) > max(size, len(group)):
            parts.append([])
        parts[-1] += group
    return [tuple(part) for part in parts]


def _further(
    watch: Watch, question: Question, done: int, now: int, judged: int, found: Sequence[Options]
) -> Watch:
    """Tell a watcher of a part as what it is of the whole."""
    of = len(question.space.settings)
    before = sum(len(one.options) for one in found)

    def told(part: Progress) -> bool:
        return watch(
            Progress(
                done + part.settled,
                of,
                judged + part.judged,
                before + part.found,
                (done + now * part.done_share) / of,
            )
        )

    return told


def _joined(
    found: Sequence[Options], question: Question, not_settled: Sequence[SettingChange]
) -> Options:
    counts: Counter[Message] = Counter()
    for one in found:
        for row in one.ruled_out:
            counts[row.why] += row.count
    left = len(not_settled) * question.space.fits
    if left:
        counts[message(NOT_LOOKED_AT)] += left
    return Options(
        options=tuple(option for one in found for option in one.options),
        ruled_out=tuple(RuledOut(why, count) for why, count in counts.most_common()),
        candidates=question.space.candidates,
        judged=sum(one.judged for one in found),
        cleared=sum(one.cleared for one in found),
        complete=not not_settled and all(one.complete for one in found),
    )
