"""Adjustments of an order's corners: from the last readings to the targets.

Rear corners come first, since they turn the thrust line from which a rack counts front toe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from django.utils.translation import gettext as _

from alignment.adjustments.adjusters import CornerAdjusters, Rows
from alignment.adjustments.axle_toe import read_at, shift_at, shifted
from alignment.adjustments.extension_points import geometry_of
from alignment.adjustments.hand_steps import OutOfRange, as_set_by_hand
from alignment.adjustments.held import WHOLE, held_on
from alignment.adjustments.learn_from_visits import LearnedAxle, learn_axle
from alignment.adjustments.prediction_review import (
    SAME_PLACE,
    Followed,
    followed_as_accepted,
    followed_of,
)
from alignment.geometry import readings
from alignment.geometry.adjuster_units import HandSetting
from alignment.geometry.adjustment_problem import (
    QUANTITIES,
    TOE,
    Adjustment,
    Adjustments,
    Forward,
    Target,
    Task,
    forward_of,
)
from alignment.geometry.adjustments import adjustments_for
from alignment.geometry.empirical_response import Learned, TooLittle
from alignment.geometry.linkage import Unreachable
from alignment.models import PlannedSetting, RackVisit, Stage
from alignment.models.accepted import AcceptedAdjustments
from alignment.plans.services.order_targets import Aims, aims_of, sheet_of
from alignment.text.render import Reader, render
from common.corners import AXLE_CORNERS, axle_of
from shop.languages import speech_of_page
from shop.models import Axle, Corner, WorkOrder
from shop.orders.services.adjuster_parts import adjusting_parts

#: Rear corners before front ones.
ORDER = (Corner.LR, Corner.RR, Corner.LF, Corner.RF)


@dataclass(frozen=True)
class CornerAdjustments:
    """One corner: its readings, its targets, and how to get there; or why that is not known.

    ``stood`` are the adjusters at the readings, ``recorded`` those that were noted, ``assumed``
    those at the position of accepted adjustments, ``unclear`` texts whose unit has no size.
    ``unbounded`` are adjusters whose range is not known.
    ``new_toe_link_length_mm`` is the length of the toe rod where the order brings a new one.
    ``thrust_shift_deg`` is what the rear adjustments add to front toe. ``toe_is_split``: toe is
    half of a total. ``accepted`` are the adjustments accepted from these readings. ``held`` are the
    adjusters that stay, ``may_stay`` those that can be named so; ``out_of_range`` are planned
    positions that the parts cannot take. ``kind`` is that of the suspension, empty where unknown;
    ``shims_listed`` tells by adjuster how many new shims the order lists.
    """

    corner: str
    visit: RackVisit
    read: Mapping[str, float]
    wanted: Mapping[str, Target]
    answer: Adjustments | None = None
    stood: Mapping[str, float] = field(default_factory=dict)
    recorded: frozenset[str] = frozenset()
    assumed: frozenset[str] = frozenset()
    unclear: Mapping[str, str] = field(default_factory=dict)
    hands: Mapping[str, HandSetting] = field(default_factory=dict)
    camber_by: str = ""
    source: str = ""
    why_not: str = ""
    taught: LearnedAxle | None = None
    new_toe_link_length_mm: float | None = None
    followed: tuple[Followed, ...] = ()
    thrust_shift_deg: float = 0.0
    set_anyway: tuple[Adjustment, ...] = ()
    unbounded: frozenset[str] = frozenset()
    toe_is_split: bool = False
    accepted: AcceptedAdjustments | None = None
    held: frozenset[str] = frozenset()
    may_stay: tuple[str, ...] = ()
    out_of_range: tuple[OutOfRange, ...] = ()
    kind: str = ""
    shims_listed: Mapping[str, int] = field(default_factory=dict)

    @property
    def needs_thrust(self) -> bool:
        """Whether adjustments use half of a rear total, which does not give the thrust angle."""
        return self.toe_is_split and axle_of(self.corner) != Axle.FRONT and self.answer is not None

    @property
    def toe_after(self) -> float | None:
        """Toe as it will be read: as accepted, else after the first option, else as it is.

        A rear axle that should be read again before it is adjusted stays as it is until then.
        """
        if self.accepted is not None and TOE in self.accepted.predicted:
            return float(self.accepted.predicted[TOE])
        options = self.answer.options if self.answer is not None else ()
        if not options or self.needs_thrust:
            return self.read.get(TOE)
        return options[0].predicted.get(TOE, self.read.get(TOE))


def order_moves(order: WorkOrder) -> list[CornerAdjustments]:
    """Adjustments of every corner that was read and has a target, in the order LF, RF, LR, RR."""
    plans = list(PlannedSetting.objects.filter(order=order))
    sheet = sheet_of(order)
    rows = Rows(
        order,
        list(RackVisit.objects.filter(order=order).with_numbers()),
        {plan.axle: plan for plan in plans},
        sheet,
        aims_of(plans, sheet),
        geometry_of(order),
        adjusting_parts(order),
        {(row.visit_id, row.corner): row for row in AcceptedAdjustments.objects.of_order(order)},
        held_on(order),
        _pieces(order),
    )
    forwards = {corner: forward_of(one.motion) for corner, one in rows.geometry.items()}
    taught: dict[str, LearnedAxle | str] = {}
    found: dict[str, CornerAdjustments] = {}
    for corner in ORDER:
        axle, forward = axle_of(corner), forwards.get(corner)
        if forward is None and axle not in taught:
            taught[axle] = _taught(order, axle)
        one = _corner(rows, corner, forward, taught.get(axle, ""), _thrust_shift(rows, found))
        if one is not None:
            found[corner] = one
    return [found[corner] for corner in Corner.values if corner in found]


def _pieces(order: WorkOrder) -> dict[int, Decimal]:
    """By part (pk), how many pieces the order's lines list."""
    pieces: dict[int, Decimal] = {}
    for pk, quantity in order.lines.exclude(part=None).values_list("part_id", "quantity"):
        pieces[int(pk)] = pieces.get(int(pk), Decimal(0)) + quantity
    return pieces


def _corner(
    rows: Rows,
    corner: str,
    forward: Forward | None,
    taught: LearnedAxle | str,
    thrust_shift: float,
) -> CornerAdjustments | None:
    read_on = [visit for visit in rows.visits if read_at(visit, corner).values]
    wanted = _wanted(rows.aims, corner)
    if not read_on or not wanted:
        return None
    visit = read_on[-1]
    read = read_at(visit, corner)
    bare = CornerAdjustments(
        corner,
        visit,
        read.values,
        wanted,
        toe_is_split=read.is_split,
        accepted=rows.accepted.get((visit.pk, corner)),
        held=rows.held.get(corner, frozenset()),
    )
    if forward is None:
        followed = followed_as_accepted(corner, read_on, rows.accepted)
        return _by_visits(replace(bare, followed=followed), taught)
    shift = shift_at(corner, visit, thrust_shift)
    geometry = rows.geometry[corner]
    setup = CornerAdjusters(rows, corner, geometry)
    stood = setup.stood(visit)
    aims = {q: t if q != TOE else replace(t, deg=t.deg - shift) for q, t in wanted.items()}
    bare = replace(
        bare,
        source=geometry.source,
        stood=stood.at,
        recorded=stood.recorded,
        assumed=stood.assumed,
        unclear=stood.unclear,
        hands=setup.hands,
        camber_by=setup.camber_by,
        thrust_shift_deg=shift,
        may_stay=setup.may_stay,
        out_of_range=setup.out_of_range,
        kind=geometry.suspension.kind,
        shims_listed=setup.shims_listed,
    )
    try:
        task = setup.task(visit, stood, aims)
        answer = as_set_by_hand(adjustments_for(forward, task), setup.hands, forward)
    except Unreachable as stop:
        reason = render(stop.message, Reader(speech_of_page()))
        text = _("With the recorded positions the linkage does not go together: {reason}.")
        why = text.format(reason=reason)
        return replace(bare, why_not=why)
    anyway = [Adjustment(name, stood.at.get(name, 0.0), end) for name, end in task.after.items()]
    return replace(
        bare,
        answer=shifted(answer, shift),
        unbounded=frozenset(
            one.name for one in task.ranges if one.low is None and one.high is None
        ),
        followed=followed_of(setup, forward, read_on),
        new_toe_link_length_mm=setup.new_toe_link_length_mm(stood.at)
        if visit.stage == Stage.BEFORE
        else None,
        set_anyway=tuple(move for move in anyway if abs(move.by) > SAME_PLACE),
    )


def _wanted(aims: Aims, corner: str) -> dict[str, Target]:
    axle = axle_of(corner)
    left = corner == AXLE_CORNERS[axle][0]
    found = {}
    for name in QUANTITIES:
        aim = aims.get((axle, name))
        if aim is not None:
            value, tolerance = (
                (aim.left, aim.left_tolerance) if left else (aim.right, aim.right_tolerance)
            )
            found[name] = Target(value, tolerance)
    return found


def _thrust_shift(rows: Rows, found: Mapping[str, CornerAdjustments]) -> float:
    """By how much the rear adjustments turn the thrust line, degrees.

    A rear wheel that stays (seized, left, or without a target) counts as it was read; 0.0 where a
    rear toe was not read wheel by wheel.
    """
    before, after = [], []
    for corner in AXLE_CORNERS[Axle.REAR]:
        one = found.get(corner)
        read = one.read.get(TOE) if one is not None else _toe_read(rows, corner)
        if read is None:
            return 0.0
        before.append(read)
        toe = one.toe_after if one is not None else None
        after.append(read if toe is None else toe)
    return readings.thrust_angle(*after) - readings.thrust_angle(*before)


def _toe_read(rows: Rows, corner: str) -> float | None:
    """The last toe that was read at a corner."""
    toes = (read_at(visit, corner).values.get(TOE) for visit in reversed(rows.visits))
    return next((toe for toe in toes if toe is not None), None)


# ---- without geometry


def _taught(order: WorkOrder, axle: str) -> LearnedAxle | str:
    try:
        return learn_axle(order, axle)
    except TooLittle as reason:
        return str(reason)


def _by_visits(bare: CornerAdjustments, taught: LearnedAxle | str) -> CornerAdjustments:
    if isinstance(taught, str):
        return replace(
            bare,
            why_not=_(
                "The joints of this corner are not surveyed, and the shop's visits with this car "
                "model give too little to learn from: {reason}."
            ).format(reason=taught),
        )
    learned: Learned = taught.learned
    stood = taught.stood(bare.visit, bare.corner)
    held = bare.held
    ranges = tuple(
        one for one in learned.ranges(stood) if WHOLE not in held and one.name not in held
    )
    if not ranges and not held:
        text = _("Nothing could be learned from {source} within the rack's accuracy.")
        return replace(bare, why_not=text.format(source=taught.said))
    task = Task(stood, bare.read, bare.wanted, ranges, possible=learned.adjusters)
    return replace(
        bare,
        answer=adjustments_for(learned, task),
        stood=stood,
        recorded=frozenset(taught.recorded(bare.visit, bare.corner)),
        taught=taught,
        source=taught.said,
        may_stay=tuple(learned.adjusters),
    )
