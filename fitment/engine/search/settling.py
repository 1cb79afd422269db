"""Changed plans settled at every corner, with all wheels and tyres held against each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.adjuster_units import adjuster_message
from alignment.geometry.linkage import Unreachable
from common.message import Message, message
from common.numerals import half_up
from fitment.engine.check import out_of_reach
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import Corner
from fitment.engine.search.candidate_check import Stand, apart, stand_of
from fitment.engine.search.combos import Combos
from fitment.engine.search.fits import Fits, Reasons
from fitment.engine.search.limits import RULE, Within
from fitment.engine.search.model import BEYOND, CAMBER_LIMIT, ON_STOPS, OUT_OF_REACH, Question
from fitment.engine.search.space import SettingChange

#: Angles that differ by less are one, degrees.
SAME_DEG = 1e-6


@dataclass(frozen=True)
class Settled:
    """Changes of the plan that can be set, each with its stands at the corners that differ.

    ``count`` settings were looked at; ``complete`` tells whether those are all. ``fallen`` counts
    the candidates of the others.
    """

    changes: tuple[SettingChange, ...]
    stands: tuple[tuple[Stand, ...], ...]
    fallen: Reasons
    count: int
    complete: bool


def settle(question: Question, fits: Fits, goes_on: Callable[[int], bool]) -> Settled:
    """Settle every change of the plan and hold every fit against it.

    ``goes_on`` is called with how many were settled, after each, and answers whether to go on.
    """
    changes: list[SettingChange] = []
    stands: list[tuple[Stand, ...]] = []
    fallen: Reasons = Counter()
    if not fits.triples:  # nothing can be mounted, at any setting
        return Settled((), (), fallen, len(question.space.settings), True)
    count, complete = 0, True
    for change in question.space.settings:
        found = _stands(question, fits.combos, change)
        if isinstance(found, Message):
            fallen[found] += len(fits.combos)
        else:
            changes.append(change)
            stands.append(found)
        count += 1
        if not goes_on(count):
            complete = False
            break
    return Settled(tuple(changes), tuple(stands), fallen, count, complete)


def _stands(
    question: Question, combos: Combos, change: SettingChange
) -> tuple[Stand, ...] | Message:
    """A changed plan at every corner that differs, or why one of them cannot be."""
    stands = []
    for names, corner in apart(question.corners):
        changed = replace(corner, planned=change.made_to(corner.planned))
        try:
            setting = setting_of(names[0], changed, question.duty)
            why = _rule_broken(changed, question.within) or _out_of_bounds(setting, question.within)
            if why is not None:
                return why
            stands.append(stand_of(names, setting, combos))
        except Unreachable:
            return message(BEYOND)
        except RestsOnStops:
            return message(ON_STOPS)
    return tuple(stands)


def _rule_broken(corner: Corner, within: Within) -> Message | None:
    """The first rule on settings that a changed plan breaks."""
    for rule in within.rules:
        if rule.setting is not None and not rule.setting(corner.planned):
            return message(RULE, rule=rule.name)
    return None


def _out_of_bounds(setting: Setting, within: Within) -> Message | None:
    """Whether static camber leaves its limits, or an adjuster its range."""
    camber = float(np.degrees(setting.settled.camber[0]))
    span = within.camber_deg
    if span is not None and not span[0] - SAME_DEG <= camber <= span[1] + SAME_DEG:
        return message(CAMBER_LIMIT, camber_deg=float(half_up(camber, 1)))
    short = out_of_reach(setting)
    if not short:
        return None
    return message(OUT_OF_REACH, adjuster=adjuster_message(short[0].adjuster))
