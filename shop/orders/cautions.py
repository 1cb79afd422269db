"""Cautions that belong to the work that was done, and when each applies.

One list serves the technician's page, the quote and the spec sheet. A caution names what to
do, not what the law is somewhere: rules differ by place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

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
#: Words of a line that tell that the body itself is worked on.
CUTTING = ("fender", "arch lip", "roll the lip", "wing edge")
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


ROLLING_CAUTION = (
    "Rolling a fender lip can crack its paint and let the metal rust: it takes heat, patience and "
    "somebody who does bodywork, and the law of your place may forbid it or ask for an inspection."
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
        "Do not tighten rubber bushes until the car stands at its ride height; tightened hanging, "
        "they are twisted for life.",
        "technician",
        lambda job: job.has(frozenset({PartKind.ARM, PartKind.COILOVER, PartKind.TOE_LINK})),
    ),
    _caution(
        "Measure delivered tyres before they are mounted, since mounted ones cannot go back, and "
        "offer up one wheel before the rest.",
        "technician",
        lambda job: job.has(frozenset({PartKind.WHEEL, PartKind.TYRE})),
    ),
    _caution(
        "Look at brake hoses and sensor wires at full lock both ways and at full droop: none may "
        "pull, twist or touch.",
        "technician",
        lambda job: job.moves_wheel,
    ),
    _caution(
        "Tighten to the figure of the vehicle's or part's maker, and use new fasteners wherever "
        "the maker asks for them.",
        "technician",
        lambda job: job.moves_wheel or job.has(RUNNING_GEAR | WHEELS | {PartKind.BRAKE}),
    ),
    _caution(
        "Set a new toe link to the length of the old one before it goes on, so that the alignment "
        "starts close.",
        "technician",
        lambda job: PartKind.TOE_LINK in job.kinds,
    ),
    _caution(
        "Behind a spacer the thread must still engage by at least its own diameter: count the "
        "turns, and fit longer bolts or studs where they are too few.",
        "technician customer",
        lambda job: PartKind.SPACER in job.kinds,
    ),
    _caution(
        "Load index and speed symbol of a tyre, and the load rating of a wheel, are never lower "
        "than the vehicle's maker asks for.",
        "technician customer",
        lambda job: job.has(frozenset({PartKind.WHEEL, PartKind.TYRE})),
    ),
    _caution(
        "New springs settle in the first weeks. The ride height is read again then, and the "
        "alignment with it.",
        "technician customer",
        lambda job: job.has(HEIGHT),
    ),
    _caution(
        "After a change of ride height the headlamps are aimed again.",
        "technician customer",
        lambda job: job.has(HEIGHT),
    ),
    _caution(
        "After the alignment the steering-angle sensor is set to zero, and the driver-assistance "
        "sensors are calibrated as the vehicle's maker says.",
        "technician customer",
        lambda job: job.moves_wheel and job.has_assistance,
    ),
    _caution(
        "Drive the road test within the law: load the corners only where that is lawful and safe.",
        "technician",
        lambda job: job.moves_wheel,
    ),
    _caution(
        "Turn the steering lock to lock and look before the car leaves: the room check is an "
        "estimate from measurements, with the doubt that is stated, and does not replace looking.",
        "technician",
        lambda job: job.moves_wheel,
    ),
    _caution(
        "The room check is worked out from measurements, with the doubt that is stated. If "
        "you hear or smell a tyre rubbing, stop and call us: a rubbing tyre can fail.",
        "customer",
        lambda job: job.moves_wheel,
    ),
    _caution(ROLLING_CAUTION, "technician", lambda job: job.cuts_body),
    _caution(
        "A rolled or cut fender can rust and crack: look at the edge now and then, and keep the "
        "paint closed.",
        "customer",
        lambda job: job.cuts_body,
    ),
    _caution(
        "Changed suspension, wheels or ride height may have to be inspected, registered or told "
        "to the insurer. The law of your place and a licensed inspector decide that.",
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
    words = " ".join(line.description.lower() for line in lines)
    cuts = any(word in words for word in CUTTING)
    return Job(
        kinds=_kinds(parts),
        moves_wheel=order.needs_check,
        has_assistance=bool(car_model and car_model.has_assistance_sensors),
        cuts_body=cuts or order.planned_settings.filter(rolled_lips=True).exists(),
    )


def cautions_for(job: Job, reader: str) -> list[str]:
    """Sentences for ``reader`` ("technician" or "customer"), in the order of the work."""
    return [c.text for c in CAUTIONS if reader in c.readers and c.applies(job)]


def class_caution(order: WorkOrder, *, done: bool = False, speech: Speech = ENGLISH) -> str:
    """What a customer who races must hear before parts are ordered; empty for others.

    ``done`` gives the words for after the work.
    """
    if not order.races_under or not order.needs_check:
        return ""
    if done:
        return speech.say(
            "You told us that the car runs under {rules}. Changed suspension, wheels or tyres can "
            "move a car into another class or bar it from its own: tell the scrutineers what was "
            "changed.",
            rules=order.races_under,
        )
    return speech.say(
        "You told us that the car runs under {rules}. Changed suspension, wheels or tyres can "
        "move a car into another class or bar it from its own: please read your rules on these "
        "parts before you agree, since parts that were ordered for you are yours.",
        rules=order.races_under,
    )
