"""Cautions that belong to the work that was done, and when each applies.

One list serves the technician's page, the quote and the spec sheet. A caution names what to
do, not what the law is somewhere: rules differ by place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils.translation import gettext, gettext_noop, pgettext
from django.utils.translation import override as in_language

from shop.languages import ENGLISH, Speech
from shop.models import PartKind

if TYPE_CHECKING:
    from shop.models import Part, WorkOrder

TECHNICIAN = "technician"
CUSTOMER = "customer"

RUNNING_GEAR = frozenset(
    {
        PartKind.TOP_MOUNT,
        PartKind.SHIM,
        PartKind.ARM,
        PartKind.TOE_LINK,
        PartKind.COILOVER,
        PartKind.SPRING,
    }
)
HEIGHT = frozenset({PartKind.COILOVER, PartKind.SPRING})
WHEELS = frozenset({PartKind.WHEEL, PartKind.TYRE, PartKind.SPACER})


@dataclass(frozen=True)
class Job:
    """What a caution looks at: the kinds of part fitted, and what the job moves."""

    kinds: frozenset[str]
    moves_wheel: bool
    has_assistance: bool
    cuts_body: bool = False

    def has(self, kinds: frozenset[str]) -> bool:
        return bool(self.kinds & kinds)


@dataclass(frozen=True)
class Caution:
    """A sentence, who reads it, and the condition under which they do."""

    text: str
    readers: frozenset[str]
    applies: Callable[[Job], bool]


def _caution(text: str, readers: str, applies: Callable[[Job], bool]) -> Caution:
    return Caution(text, frozenset(readers.split()), applies)


ROLLING_CAUTION = gettext_noop(
    "Rolling an arch lip can crack the paint and lead to rust. It needs heat, "
    "patience and skill in bodywork, and local law may forbid it or require "
    "an inspection."
)

CAUTIONS: tuple[Caution, ...] = (
    _caution(
        "Secure the car on stands or the lift's arms before working under it, and use the proper "
        "tools on springs and ball joints: both hold energy when they let go.",
        "technician",
        lambda job: job.has(RUNNING_GEAR),
    ),
    _caution(
        "A spring on a strut is under load: compress it before the top nut is touched.",
        "technician",
        lambda job: job.has(HEIGHT | {PartKind.TOP_MOUNT}),
    ),
    _caution(
        "Tighten rubber bushes only with the car at ride height. Bushes tightened "
        "at full droop are pre-loaded and fail early.",
        "technician",
        lambda job: job.has(frozenset({PartKind.ARM, PartKind.COILOVER, PartKind.TOE_LINK})),
    ),
    _caution(
        "Measure delivered tyres before mounting, since mounted tyres cannot be "
        "returned, and offer up one wheel before the rest.",
        "technician",
        lambda job: job.has(frozenset({PartKind.WHEEL, PartKind.TYRE})),
    ),
    _caution(
        "Check brake hoses and sensor wires at full lock both ways and at full "
        "droop: none may pull, twist or touch.",
        "technician",
        lambda job: job.moves_wheel,
    ),
    _caution(
        "Tighten to the torque of the vehicle's or part's maker, and use new "
        "fasteners where the maker requires them.",
        "technician",
        lambda job: job.moves_wheel or job.has(RUNNING_GEAR | WHEELS | {PartKind.BRAKE}),
    ),
    _caution(
        "Set a new toe link to the length of the old one before fitting, so that "
        "the alignment starts close.",
        "technician",
        lambda job: PartKind.TOE_LINK in job.kinds,
    ),
    _caution(
        "With a spacer, the thread must still engage by at least its own diameter. "
        "Count the turns, and fit longer bolts or studs if needed.",
        "technician customer",
        lambda job: PartKind.SPACER in job.kinds,
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
    ),
    _caution(
        "After a change of ride height, the headlamps must be aimed again.",
        "technician customer",
        lambda job: job.has(HEIGHT),
    ),
    _caution(
        "After the alignment, set the steering-angle sensor to zero and calibrate "
        "the driver-assistance sensors as the vehicle's maker specifies.",
        "technician customer",
        lambda job: job.moves_wheel and job.has_assistance,
    ),
    _caution(
        "Drive the road test within the law: load the corners only where that is lawful and safe.",
        "technician",
        lambda job: job.moves_wheel,
    ),
    _caution(
        "Turn the steering from lock to lock and look before the car leaves. The "
        "clearance check is an estimate from measurements, with the stated "
        "uncertainty, and does not replace looking.",
        "technician",
        lambda job: job.moves_wheel,
    ),
    _caution(
        "The clearance check is calculated from measurements, with the stated "
        "uncertainty. If you hear or smell a tyre rubbing, stop and call us: a "
        "rubbing tyre can fail.",
        "customer",
        lambda job: job.moves_wheel,
    ),
    _caution(ROLLING_CAUTION, "technician", lambda job: job.cuts_body),
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


def _kinds(parts: list[Part]) -> frozenset[str]:
    return frozenset(part.kind for part in parts)


def job_of(order: WorkOrder) -> Job:
    """What the cautions look at, from the lines, the installed parts and the vehicle."""
    lines = list(order.lines.select_related("part"))
    parts = [line.part for line in lines if line.part]
    parts += [fitted.part for fitted in order.installed.select_related("part") if fitted.part]
    car_model = order.vehicle.car_model
    spacers = {PartKind.SPACER} if order.order_wheels.filter(spacer_mm__gt=0).exists() else set()
    return Job(
        kinds=_kinds(parts) | spacers,
        moves_wheel=order.needs_check,
        has_assistance=bool(car_model and car_model.has_assistance_sensors),
        cuts_body=cuts_body(line.description for line in lines)
        or order.planned_settings.filter(rolled_lips=True).exists(),
    )


def cuts_body(descriptions: Iterable[str]) -> bool:
    """Whether a line tells, in any language of the site, that the body itself is worked on."""
    typed = " ".join(descriptions).casefold()
    return any(word in typed for code, _name in settings.LANGUAGES for word in _cutting(code))


def _cutting(code: str) -> list[str]:
    with in_language(code):
        words = pgettext(
            "parts of words in a line of work on the body, separated by commas",
            "fender, arch lip, roll the lip, wing edge",
        )
    return [word.strip().casefold() for word in words.split(",")]


def cautions_for(job: Job, reader: str) -> list[str]:
    """Sentences for ``reader`` ("technician" or "customer"), in the order of the work.

    They are said in the language that is active.
    """
    return [gettext(c.text) for c in CAUTIONS if reader in c.readers and c.applies(job)]


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
