"""Cautions that belong to the work that was done, when each applies, and where it is read.

One list serves the technician's pages, the quote and the spec sheet. A caution names what to
do, not what the law is somewhere: rules differ by place. It goes by what is planned and fitted,
as codes (``caution_job``), never by words in a line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from django.utils.translation import gettext, gettext_noop

from shop.languages import ENGLISH, Speech
from shop.models import PartKind
from shop.orders.services.caution_job import HEIGHT, RUNNING_GEAR, WHEELS, Job, job_of

if TYPE_CHECKING:
    from shop.models import WorkOrder

__all__ = ["CUSTOMER", "TECHNICIAN", "Job", "Moment", "cautions_at", "cautions_for", "job_of"]

TECHNICIAN = "technician"
CUSTOMER = "customer"


class Moment(StrEnum):
    """Where a caution stands open: the page on which the hand is that it is for."""

    FIT = "fit"
    TORQUE = "torque"
    ADJUST = "adjust"
    ROAD_TEST = "road test"
    HAND_OVER = "hand over"
    OVERRIDE = "override"


@dataclass(frozen=True)
class Caution:
    """A sentence, who reads it, the condition under which they do, and where it stands open."""

    text: str
    readers: frozenset[str]
    applies: Callable[[Job], bool]
    moments: frozenset[Moment]


def _caution(text: str, readers: str, applies: Callable[[Job], bool], *moments: Moment) -> Caution:
    return Caution(text, frozenset(readers.split()), applies, frozenset(moments))


ROLLING_CAUTION = gettext_noop(
    "Rolling an arch lip can crack the paint and lead to rust. It needs heat, "
    "patience and skill in bodywork, and local law may forbid it or require "
    "an inspection."
)

#: The torque page says the same step by step while wheel nuts are open.
WHEEL_NUT_CAUTION = gettext_noop(
    "Wheel nuts or bolts: threads and seats clean and dry, started by hand, tightened "
    "crosswise and in stages, the last stage with a torque wrench and the wheel on the "
    "ground. No impact tool."
)

CAUTIONS: tuple[Caution, ...] = (
    _caution(
        "Secure the car on stands or the lift's arms before working under it, and use the proper "
        "tools on springs and ball joints: both hold energy when they let go.",
        "technician",
        lambda job: job.has(RUNNING_GEAR) or bool(job.work),
        Moment.FIT,
    ),
    _caution(
        "Never work under an arm that only a jack holds: put a stand under it. Stop jacking "
        "before the body starts to lift from its stands.",
        "technician",
        lambda job: job.has(RUNNING_GEAR) or bool(job.work),
        Moment.FIT,
    ),
    _caution(
        "Before a strut is opened: compress its spring with a compressor rated for that spring "
        "until it is loose in its seats, and only then touch the top nut. Turn compressor and "
        "top nut by hand, never with an impact tool, and keep out of the line of the spring.",
        "technician",
        lambda job: job.opens_strut,
        Moment.FIT,
    ),
    _caution(
        "Fit a new self-locking nut or a new pin at every ball joint that was parted, and part "
        "it with a tool made for it.",
        "technician",
        lambda job: job.parts_joints,
        Moment.FIT,
        Moment.TORQUE,
    ),
    _caution(
        "A lower arm that carries the spring is under load. Take the load off with a stand under "
        "the arm before the bolts over its shims are loosened, and keep fingers out from between "
        "arm and shims.",
        "technician",
        lambda job: job.shims_arm,
        Moment.FIT,
        Moment.ADJUST,
    ),
    _caution(
        "Tighten rubber bushes only with the car at ride height. Bushes tightened "
        "at full droop are pre-loaded and fail early.",
        "technician",
        lambda job: job.tightens_bushes,
        Moment.FIT,
        Moment.TORQUE,
    ),
    _caution(
        "Measure delivered tyres before mounting, since mounted tyres cannot be "
        "returned, and offer up one wheel before the rest.",
        "technician",
        lambda job: job.has(frozenset({PartKind.WHEEL, PartKind.TYRE})),
        Moment.FIT,
    ),
    _caution(
        "Check brake hoses and sensor wires at full lock both ways and at full "
        "droop: none may pull, twist or touch.",
        "technician",
        lambda job: job.moves_wheel,
        Moment.FIT,
    ),
    _caution(
        "After work on the brakes, pump the pedal until it is firm before the car is moved: the "
        "first presses may not brake at all.",
        "technician",
        lambda job: job.opens_brakes,
        Moment.FIT,
        Moment.TORQUE,
        Moment.ROAD_TEST,
    ),
    _caution(
        WHEEL_NUT_CAUTION,
        "technician",
        lambda job: job.takes_wheels_off,
        Moment.TORQUE,
    ),
    _caution(
        "Tighten to the torque of the vehicle's or part's maker, and use new "
        "fasteners where the maker requires them.",
        "technician",
        lambda job: job.takes_wheels_off,
        Moment.TORQUE,
    ),
    _caution(
        "Wheel nuts or bolts settle and have to be retorqued after the first drive: agree with "
        "the customer when the car comes back for it.",
        "technician",
        lambda job: job.takes_wheels_off,
        Moment.TORQUE,
        Moment.HAND_OVER,
    ),
    _caution(
        "Set a new toe link to the length of the old one before fitting, so that "
        "the alignment starts close.",
        "technician",
        lambda job: PartKind.TOE_LINK in job.kinds,
        Moment.FIT,
    ),
    _caution(
        "After toe is set, tighten the lock nuts of the toe links and see that each end keeps as "
        "much thread as its maker asks for.",
        "technician",
        lambda job: job.sets_toe,
        Moment.ADJUST,
        Moment.TORQUE,
    ),
    _caution(
        "With a spacer, the thread must still engage by at least its own diameter. "
        "Count the turns, and fit longer bolts or studs if needed.",
        "technician customer",
        lambda job: PartKind.SPACER in job.kinds,
        Moment.FIT,
        Moment.TORQUE,
    ),
    _caution(
        "The load index and speed symbol of a tyre, and the load rating of a wheel,"
        " must not be lower than the vehicle's maker requires.",
        "technician customer",
        lambda job: job.has(frozenset({PartKind.WHEEL, PartKind.TYRE})),
    ),
    _caution(
        "New springs settle in the first weeks. Ride height and alignment are then measured again.",
        "technician customer",
        lambda job: job.has(HEIGHT),
        Moment.HAND_OVER,
    ),
    _caution(
        "After a change of ride height, the headlamps must be aimed again.",
        "technician customer",
        lambda job: job.changes_height,
        Moment.HAND_OVER,
    ),
    _caution(
        "After the alignment, set the steering-angle sensor to zero and calibrate "
        "the driver-assistance sensors as the vehicle's maker specifies.",
        "technician customer",
        lambda job: (job.moves_wheel or job.aligns) and job.has_assistance,
        Moment.ADJUST,
        Moment.HAND_OVER,
    ),
    _caution(
        "Drive the road test within the law: load the corners only where that is lawful and safe.",
        "technician",
        lambda job: True,
        Moment.ROAD_TEST,
    ),
    _caution(
        "Before driving off: brake pedal firm, every torque signed, steering free from lock to "
        "lock. Stop at the first noise or smell of rubbing: a rubbing tyre can fail.",
        "technician",
        lambda job: True,
        Moment.ROAD_TEST,
    ),
    _caution(
        "Turn the steering from lock to lock and look before the car leaves. The "
        "clearance check is an estimate from measurements, with the stated "
        "uncertainty, and does not replace looking.",
        "technician",
        lambda job: job.moves_wheel,
        Moment.ROAD_TEST,
        Moment.HAND_OVER,
    ),
    _caution(
        "Override contact only if you know why the check is wrong. A tyre that rubs heats up, is "
        "cut, and can fail at speed; a wheel that touches a brake or a joint can lock or break.",
        "manager",
        lambda job: job.moves_wheel,
        Moment.OVERRIDE,
    ),
    _caution(
        "The clearance check is calculated from measurements, with the stated "
        "uncertainty. If you hear or smell a tyre rubbing, stop and call us: a "
        "rubbing tyre can fail.",
        "customer",
        lambda job: job.moves_wheel,
    ),
    _caution(ROLLING_CAUTION, "technician", lambda job: job.cuts_body, Moment.FIT),
    _caution(
        "A rolled or cut arch lip can rust and crack. Check the edge from time to "
        "time, and repair damaged paint.",
        "customer",
        lambda job: job.cuts_body,
    ),
    _caution(
        "Changes of suspension, wheels or ride height may have to be inspected, "
        "registered or reported to the insurer. Local law and a licensed inspector "
        "decide.",
        "customer",
        lambda job: job.moves_wheel or job.has(RUNNING_GEAR | WHEELS),
    ),
)


def cautions_for(job: Job, reader: str) -> list[str]:
    """Sentences for ``reader`` ("technician" or "customer"), in the order of the work.

    They are said in the language that is active.
    """
    return [gettext(c.text) for c in CAUTIONS if reader in c.readers and c.applies(job)]


def cautions_at(job: Job, moment: Moment, *, without: str = "") -> list[str]:
    """Sentences that stand open on the page of a moment of the work, in its order; ``without``
    one that the page says otherwise."""
    return [
        gettext(c.text)
        for c in CAUTIONS
        if moment in c.moments and c.applies(job) and c.text != without
    ]


def class_caution(order: WorkOrder, *, done: bool = False, speech: Speech = ENGLISH) -> str:
    """What a customer who races must hear before parts are ordered; empty for others.

    ``done`` gives the words for after the work.
    """
    if not order.races_under or not order.needs_check:
        return ""
    if done:
        return speech.say(
            "You told us that the car competes under {rules}. Changed suspension, "
            "wheels or tyres can move a car into another class or bar it from its own. "
            "Tell the scrutineers what was changed.",
            rules=order.races_under,
        )
    return speech.say(
        "You told us that the car competes under {rules}. Changed suspension, "
        "wheels or tyres can move a car into another class or bar it from its own. "
        "Please read your rules on these parts before you approve the quote: "
        "ordered parts cannot be returned.",
        rules=order.races_under,
    )
