"""One option of adjusting a corner as its page shows it, and the order of several."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from alignment.adjustments.data import ClearanceAfter, Stand
from alignment.adjustments.prediction_page import HALF_TOE
from alignment.adjustments.services import CornerAdjustments
from alignment.adjustments.text import KEPT_PLACES, Said, adjustment_text, quantity_label
from alignment.geometry.adjuster_units import HandSetting
from alignment.geometry.adjustment_problem import (
    CAMBER,
    CASTER,
    TOE,
    TOE_LINK,
    Adjustment,
    Option,
)
from alignment.geometry.kinds import METHOD_ADJUSTER
from alignment.text.labels import label_message
from common.message import Message, message
from common.numerals import half_up
from common.verdicts import VERDICTS
from shop.languages.figures import fixed

Ask = Callable[[str, Stand], ClearanceAfter | None]
#: Options whose clearance is asked for, so that one with more clearance is not missed.
MOST_ASKED = 6
#: Clearances nearer to each other than this (mm) do not decide the order.
SAME_CLEARANCE_MM = 0.5
QUANTITY_ORDER = (CAMBER, CASTER, TOE)


@dataclass(frozen=True)
class ReadingRow:
    """One quantity: read, target, predicted, and by how much that is off."""

    name: str
    read: float | None
    target: float | None
    tolerance: float
    predicted: float | None
    uncertainty: float | None = None

    @property
    def off(self) -> float | None:
        if self.predicted is None or self.target is None:
            return None
        return self.predicted - self.target

    @property
    def is_out(self) -> bool:
        return self.off is not None and abs(self.off) > max(self.tolerance, 0.005)


@dataclass(frozen=True)
class ShownOption:
    """One option: its adjustments in words, and the clearance after them where it is known."""

    option: Option
    title: Message
    adjustments: tuple[Said, ...]
    rows: tuple[ReadingRow, ...]
    clearance: ClearanceAfter | None

    @property
    def movement_mm(self) -> float:
        return self.option.movement_mm

    @property
    def link_by_mm(self) -> float:
        return sum(move.by for move in self.option.adjustments if move.adjuster == TOE_LINK)


def by_clearance(options: list[ShownOption]) -> list[ShownOption]:
    """Most clearance first; where clearances are much the same, least movement first."""
    if any(shown.clearance is None for shown in options):
        return options
    return sorted(options, key=lambda shown: (*_clearance_rank(shown), shown.movement_mm))


def _clearance_rank(shown: ShownOption) -> tuple[int, int]:
    if shown.clearance is None:
        return (0, 0)
    return -VERDICTS.index(shown.clearance.verdict), -round(
        shown.clearance.clearance_mm / SAME_CLEARANCE_MM
    )


def why_first(options: list[ShownOption]) -> str:
    """Why the first option comes before the next, in a sentence; empty where there is one alone."""
    if len(options) < 2:
        return ""
    first, second = options[0], options[1]
    if (
        any(shown.clearance is None for shown in options)
        or first.clearance is None
        or second.clearance is None
    ):
        return _("Preferred: least movement.")
    mine, its = _clearance_rank(first), _clearance_rank(second)
    if mine[0] < its[0]:
        return _("Preferred: the next option is “{verdict}”.").format(
            verdict=_(str(second.clearance.verdict))
        )
    more = half_up(first.clearance.clearance_mm, 1) - half_up(
        second.clearance.clearance_mm, 1
    )  # as shown
    if mine[1] < its[1]:
        return _("Preferred: {length} more clearance.").format(length=f"{fixed(more, 1)} mm")
    return _("Preferred: about the same clearance, least movement.")


def shown_option(ask: Ask, corner: CornerAdjustments, option: Option) -> ShownOption:
    """An option of a corner in words and numbers, with the clearance after it."""
    taught = corner.taught
    said = [_said(corner, move) for move in option.adjustments]
    rows = []
    for name in QUANTITY_ORDER:
        target = corner.wanted.get(name)
        if name not in corner.read and target is None:
            continue
        rows.append(
            ReadingRow(
                str(HALF_TOE) if name == TOE and corner.toe_is_split else quantity_label(name),
                corner.read.get(name),
                target.deg if target else None,
                target.tolerance_deg if target else 0.0,
                option.predicted.get(name),
                taught.learned.expanded_deg(name, option.adjustments)
                if taught and name in option.predicted
                else None,
            )
        )
    return ShownOption(
        option=option,
        title=_title(option),
        adjustments=tuple(said),
        rows=tuple(rows),
        clearance=_clearance(ask, corner, option),
    )


def _said(corner: CornerAdjustments, move: Adjustment) -> Said:
    if corner.taught is not None:
        unit = corner.taught.units[move.adjuster]
        how = message("adjust.learned", by=round(move.by, KEPT_PLACES), unit=unit)
        return Said(label_message(move.adjuster), how)
    known = corner.recorded | corner.assumed
    return adjustment_text(move, hand_setting_of(corner, move), is_known=move.adjuster in known)


def hand_setting_of(corner: CornerAdjustments, move: Adjustment) -> HandSetting | None:
    """How an adjuster is set by hand, where that is known."""
    return corner.hands.get(move.adjuster)


def _title(option: Option) -> Message:
    names = tuple(label_message(name) for name in option.camber_method)
    if names:
        return message("option.by", names=names)
    return message("option.toe-link" if option.adjustments else "option.as-it-stands")


def _clearance(ask: Ask, corner: CornerAdjustments, option: Option) -> ClearanceAfter | None:
    toe = option.predicted.get(TOE)
    if toe is None or corner.taught is not None or not (option.adjustments or corner.set_anyway):
        return None
    stand = Stand(
        option.positions, option.predicted.get(CAMBER), toe, _camber_method(corner, option)
    )
    return ask(corner.corner, stand)


def _camber_method(corner: CornerAdjustments, option: Option) -> str:
    """The camber method that the option adjusts; the plan's where it adjusts none."""
    words = {adjuster: method for method, adjuster in METHOD_ADJUSTER.items()}
    for name in option.camber_method:
        if name in words or name.startswith("rod:"):
            return words.get(name, name)
    return corner.camber_by
