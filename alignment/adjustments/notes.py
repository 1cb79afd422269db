"""Cautions and notes beside the adjustments of a corner."""

from __future__ import annotations

import math
from collections.abc import Iterator

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from alignment.adjustments.hand_steps import OutOfRange
from alignment.adjustments.held import held_said
from alignment.adjustments.services import CornerAdjustments
from alignment.adjustments.text import quantity_label
from alignment.geometry.adjustment_problem import TOE, TOE_LINK
from alignment.geometry.model import STRUT, WISHBONES
from alignment.text.labels import adjuster_here
from alignment.visits.services.derived_quantities import included_angles, included_expanded
from common.corners import AXLE_CORNERS, FRONT, axle_of
from shop.languages import speech_of_page
from shop.languages.figures import format_degrees, format_number

#: Included angles that differ by this much (degrees) are asked about: a judgement from practice.
BENT_DEG = 0.45
HALF_IN_FRONT = gettext_lazy(
    "Only the total toe was read. Half of it is assumed at each wheel, with the steering straight "
    "ahead. Hold it there, and read wheel by wheel before the steering wheel is called straight."
)
HALF_BEHIND = gettext_lazy(
    "Only the total toe of the rear axle was read. It does not give the thrust angle: one wheel "
    "may point out while the other points in. Half of it is assumed at each wheel. Read the rear "
    "toe wheel by wheel before a link is adjusted."
)


def notes_of(corner: CornerAdjustments) -> list[str]:
    notes: list[str] = []
    if corner.why_not or corner.answer is None:
        return notes
    if corner.toe_is_split and axle_of(corner.corner) == FRONT:
        notes.append(str(HALF_IN_FRONT))
    elif TOE in corner.read and not corner.visit.steering_ahead and axle_of(corner.corner) == FRONT:
        notes.append(
            _(
                "The steering wheel was not noted as straight ahead and held. Use front toe as a "
                "total only, not wheel by wheel."
            )
        )
    for name, typed in corner.unclear.items():
        notes.append(
            _(
                "{adjuster} was recorded at “{typed}”, which has no size here. Enter the size of a "
                "mark or a turn in the part. The position of the survey is used."
            ).format(adjuster=adjuster_here(name), typed=typed)
        )
    moved = {move.adjuster for option in corner.answer.options for move in option.adjustments}
    known = corner.recorded | corner.assumed
    blind = [name for name in sorted(moved - known) if name not in (*corner.unclear, TOE_LINK)]
    for name in blind:
        text = (
            _("Position not recorded: {adjuster}. The position of the survey is used.")
            if name in corner.unbounded
            else _(
                "Position not recorded: {adjuster}. The position of the survey is used, also for "
                "its range."
            )
        )
        notes.append(text.format(adjuster=_within(name)))
    for name in sorted((moved & corner.unbounded) - {TOE_LINK}):
        notes.append(
            _(
                "No part of this car or order states the range or the steps: {adjuster}. Check "
                "that it can be set like that."
            ).format(adjuster=_within(name))
        )
    notes += _shims_short(corner)
    if corner.held and corner.answer is not None:
        names = ", ".join(speech_of_page().within(held_said(name)) for name in sorted(corner.held))
        notes.append(_("Stays as it stands: {adjusters}.").format(adjusters=names))
    if corner.assumed:
        names = ", ".join(_within(name) for name in sorted(corner.assumed))
        notes.append(
            _(
                "Not recorded since adjustments were accepted: {adjusters}. The accepted positions "
                "are used. Where a part is at another position, record it with the readings."
            ).format(adjusters=names)
        )
    if abs(corner.thrust_shift_deg) >= 0.01:
        notes.append(
            _(
                "Set the rear axle first. It turns the thrust line from which front toe is "
                "counted; the toe here allows for {angle}."
            ).format(angle=format_degrees(corner.thrust_shift_deg))
        )
    for name in corner.answer.unknown:
        text = _("{quantity} has a target but cannot be predicted here.")
        notes.append(text.format(quantity=quantity_label(name)))
    return notes


def cautions_of(corner: CornerAdjustments) -> Iterator[str]:
    """What to know before any adjustment."""
    for one in corner.out_of_range:
        yield _out_of_range_said(one)
    bent = _bent(corner)
    if bent:
        yield bent
    if corner.needs_thrust:
        yield str(HALF_BEHIND)


def _bent(corner: CornerAdjustments) -> str:
    """A caution where the included angles differ by more than the rack may be off: a top mount
    does not change them, a bent part does."""
    angles = included_angles(corner.visit)
    pair = [angles.get(one) for one in AXLE_CORNERS[axle_of(corner.corner)]]
    doubt = math.sqrt(2) * included_expanded(corner.visit.accuracy_deg)
    if pair[0] is None or pair[1] is None or abs(pair[0] - pair[1]) < max(BENT_DEG, doubt):
        return ""
    apart = format_degrees(abs(pair[0] - pair[1]), signed=False)
    told = {
        STRUT: _(
            "The included angles differ by {angle} from left to right: a strut or a knuckle may be "
            "bent. Find it first; adjusting would only hide it."
        ),
        WISHBONES: _(
            "The included angles differ by {angle} from left to right: a knuckle may be bent, or a "
            "ball joint be worn or not seated. Find it first; adjusting would only hide it."
        ),
    }
    other = _(
        "The included angles differ by {angle} from left to right: a knuckle may be bent, or a "
        "joint of a link be worn. Find it first; adjusting would only hide it."
    )
    return told.get(corner.kind, other).format(angle=apart)


def _shims_short(corner: CornerAdjustments) -> list[str]:
    """Where this corner alone takes more new shims than the order lists."""
    first = corner.answer.options[:1] if corner.answer else ()
    moves = [*corner.set_anyway, *(move for option in first for move in option.adjustments)]
    notes = []
    for move in moves:
        hand, listed = corner.hands.get(move.adjuster), corner.shims_listed.get(move.adjuster)
        if listed is None or hand is None or not hand.shim_mm:
            continue
        needed = round(move.by / hand.shim_mm)
        if needed > listed:
            text = ngettext(
                "{needed} shims are needed here; the order lists {count} shim: {adjuster}.",
                "{needed} shims are needed here; the order lists {count} shims: {adjuster}.",
                listed,
            )
            notes.append(text.format(needed=needed, count=listed, adjuster=_within(move.adjuster)))
    return notes


def _out_of_range_said(one: OutOfRange) -> str:
    """A planned position that the parts cannot take."""
    unit = "°" if one.adjuster.endswith("_deg") else " mm"

    def shown(value: float) -> str:
        return f"{format_number(value, 1)}{unit}"

    name, planned = adjuster_here(one.adjuster), shown(one.planned)
    if one.shim_mm is not None:
        whole = math.floor(one.planned / one.shim_mm)
        return _(
            "Planned: {adjuster} at {planned}. With shims of {shim} it is {less} or {more}. Change "
            "the plan."
        ).format(
            adjuster=name,
            planned=planned,
            shim=f"{format_number(one.shim_mm, 1, signed=False)} mm",
            less=shown(whole * one.shim_mm),
            more=shown((whole + 1) * one.shim_mm),
        )
    low = -math.inf if one.low is None else one.low
    high = math.inf if one.high is None else one.high
    short = max(low - one.planned, one.planned - high)
    return _(
        "Planned: {adjuster} at {planned}. The part reaches {low} to {high}: {short} short. Change "
        "the plan or the part."
    ).format(
        adjuster=name,
        planned=planned,
        low="–" if one.low is None else shown(one.low),
        high="–" if one.high is None else shown(one.high),
        short=f"{format_number(short, 1, signed=False)}{unit}",
    )


def _within(name: str) -> str:
    """An adjuster's name inside a sentence."""
    return speech_of_page().within(adjuster_here(name))
