"""Questions about values that can be typed but are seldom true.

None of them refuses anything: each names the field and what is unusual, and the form asks for a
tick. A tick is valid for the value that was typed and for no other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from alignment.geometry import conditions, readings, units
from alignment.geometry.units import Understood
from alignment.models import Quantity
from alignment.text.render import render
from common.corners import AXLE_CORNERS, axle_of
from common.message import Message, message, message_dump
from common.numerals import whole
from common.units import MM_PER_INCH

#: Camber beyond this (degrees) is asked about on any car.
CAMBER_ASKED_DEG = 12.0
#: A car that stands on its wheels seldom shows more positive camber than this (degrees).
POSITIVE_CAMBER_ASKED_DEG = 1.0
#: Of one wheel, and of both together; more scrubs, or is a number in another unit (degrees).
TOE_ASKED_DEG = 0.75
TOTAL_TOE_ASKED_DEG = 2 * TOE_ASKED_DEG
#: Less than any rack shows in its unit: a number typed without one is in another.
TOE_SHOWN_FROM = {units.MINUTES: 1.0, units.MILLIMETRES: 0.1, units.INCHES: 0.004}
#: Left and right this close in size and opposite in sign look like one lost sign (degrees).
MIRROR_DEG = 0.1
#: The least camber and toe for which a lost sign is worth a question (degrees).
MIRROR_CAMBER_FROM_DEG = 0.4
MIRROR_TOE_FROM_DEG = 0.15
CASTER_ASKED_DEG = (-2.0, 15.0)
SAI_ASKED_DEG = (0.0, 25.0)
HEIGHT_ASKED_MM = (150.0, 800.0)
HEIGHT_SIDES_ASKED_MM = 25.0
WHEELBASE_ASKED_MM = (1500.0, 5000.0)
TRACK_ASKED_MM = (1000.0, 2200.0)
PRESSURE_ASKED_BAR = (1.2, 4.5)
#: Total toe and its two wheels, typed both, agree within what rounding makes (degrees).
TOTAL_AGREES_DEG = 0.03
#: A typed caster and the sweep's, apart by more than a sweep is uncertain (degrees).
SWEEP_AGREES_DEG = 0.5
RIDE_HEIGHT_CHANGE_ASKED_MM = (-80.0, 30.0)

UNIT_WORDS: Mapping[str, Message] = {
    units.MINUTES: message("unit-word.minutes"),
    units.MILLIMETRES: message("unit-word.mm"),
    units.INCHES: message("unit-word.in"),
    units.DEGREES: message("unit-word.deg"),
}
CORRECT = message("question.correct")
Key = tuple[str, str]  # corner, quantity


@dataclass(frozen=True)
class Question:
    """``key`` is what a tick sends back; ``fields`` are the fields asked about, ``told`` what is
    odd and what it may mean, a message each."""

    code: str
    fields: tuple[Key, ...]
    told: tuple[Message, ...]
    values: tuple[float, ...]

    @property
    def text(self) -> str:
        """The question in the language of the page."""
        return " ".join(map(render, self.told))

    @property
    def kept(self) -> list[dict[str, Any]]:
        """The question as it is kept once it was confirmed."""
        return [message_dump(one) for one in self.told]

    @property
    def field(self) -> str:
        """The name of the form's field at which it is asked; without a corner, the bare name."""
        corner, quantity = self.fields[0]
        return f"{quantity}_{corner}" if corner else quantity

    @property
    def key(self) -> str:
        where = ",".join(f"{corner}:{quantity}" for corner, quantity in self.fields)
        return f"{self.code} {where} {','.join(f'{value:.4f}' for value in self.values)}"


def questions_about(
    read: Mapping[Key, Understood],
    *,
    targets: Mapping[Key, float] | None = None,
    bare_toe_unit: str = units.DEGREES,
    toe_diameter_mm: float | None = None,
    swept: Mapping[str, float] | None = None,
) -> list[Question]:
    """All questions about one visit's readings, in the order of the form.

    ``targets`` are the planned values by corner and quantity, ``swept`` the casters from camber
    sweeps, by corner (degrees).
    """
    found: list[Question] = []
    for key, understood in read.items():
        found.extend(_about_one(key, understood, bare_toe_unit, toe_diameter_mm))
        if targets and key in targets:
            found.extend(_sign_against_target(key, understood.value, targets[key]))
    # One lost sign is one question.
    asked = {field for question in found for field in question.fields}
    for left, right in AXLE_CORNERS.values():
        for question in _about_pair(read, left, right):
            if asked.isdisjoint(question.fields):
                found.append(question)
        found.extend(_about_total(read, left, right))
    for corner, caster in (swept or {}).items():
        found.extend(_about_sweep(read, corner, caster))
    return found


def _about_one(
    key: Key, understood: Understood, bare_unit: str, diameter: float | None
) -> Iterator[Question]:
    corner, quantity = key
    value, where = understood.value, message(f"corner.{corner}")
    name = message("quantity-at", quantity=message(f"quantity.{quantity}"), corner=where)
    if quantity == Quantity.CAMBER:
        yield from camber_questions(key, value, where)
    elif quantity in (Quantity.TOE, Quantity.TOE_TOTAL):
        yield from _toe(key, understood, bare_unit, diameter)
    elif quantity == Quantity.CASTER:
        yield from _outside(key, value, CASTER_ASKED_DEG, "caster", name)
    elif quantity == Quantity.SAI:
        yield from _outside(key, value, SAI_ASKED_DEG, "sai", name)
    elif quantity == Quantity.RIDE_HEIGHT:
        yield from _length(key, understood, HEIGHT_ASKED_MM, "height", name)
    elif quantity == Quantity.WHEELBASE:
        yield from _length(key, understood, WHEELBASE_ASKED_MM, "wheelbase", name)
    elif quantity == Quantity.TRACK:
        yield from _length(key, understood, TRACK_ASKED_MM, "track", message("quantity.track"))
    elif (
        quantity == Quantity.PRESSURE
        and not PRESSURE_ASKED_BAR[0] <= value <= PRESSURE_ASKED_BAR[1]
    ):
        odd = message("question.unusual-pressure", quantity=name, figure=value)
        others = conditions.other_pressures(value) if understood.unit == conditions.BAR else []
        asked = message("question.or-was-it", others=tuple(others)) if others else CORRECT
        yield Question("pressure", (key,), (odd, asked), (value,))


def _toe(
    key: Key, understood: Understood, bare_unit: str, diameter: float | None
) -> Iterator[Question]:
    """Toe that is high for a wheel or an axle, or less than a rack shows in its unit."""
    corner, quantity = key
    value, is_total = understood.value, quantity == Quantity.TOE_TOTAL
    odd = None
    if abs(value) > (TOTAL_TOE_ASKED_DEG if is_total else TOE_ASKED_DEG):
        odd = (
            message("question.total-toe", angle=value)
            if is_total
            else message("question.toe", angle=value, corner=message(f"corner.{corner}"))
        )
    elif value and _bare(understood.typed) < TOE_SHOWN_FROM.get(bare_unit, 0.0):
        typed = understood.typed.strip()
        odd = message("question.small-toe", typed=typed, unit=UNIT_WORDS[bare_unit])
    if odd is not None:
        told = (odd, _other_units(understood, bare_unit, diameter))
        yield Question("toe", (key,), told, (value,))


def _bare(typed: str) -> float:
    """The size of a number that was typed without a unit; infinite with one."""
    text = typed.strip().lstrip("+-−–").replace(",", ".")
    try:
        return float(text)
    except ValueError:
        return math.inf


def camber_questions(key: Key, value: float, where: Message) -> Iterator[Question]:
    """Of one camber, read or planned; ``where`` names the corner or the axle."""
    if abs(value) > CAMBER_ASKED_DEG:
        yield Question(
            "camber",
            (key,),
            (
                message(
                    "question.camber",
                    angle=value,
                    where=where,
                    limit=CAMBER_ASKED_DEG,
                    minutes=value / 60,
                ),
            ),
            (value,),
        )
    elif value > POSITIVE_CAMBER_ASKED_DEG:
        yield Question(
            "positive camber",
            (key,),
            (message("question.positive-camber", angle=value, where=where),),
            (value,),
        )


def ride_height_questions(key: Key, change_mm: float, where: Message) -> Iterator[Question]:
    """Of a planned change of ride height; lowering is negative."""
    low, high = RIDE_HEIGHT_CHANGE_ASKED_MM
    if change_mm > high:
        told = message("question.higher", length=change_mm, where=where)
        yield Question("height change", (key,), (told,), (change_mm,))
    elif change_mm < low:
        told = message("question.lower", length=abs(change_mm), where=where)
        yield Question("height change", (key,), (told,), (change_mm,))


def toe_questions(
    key: Key, understood: Understood, where: Message, bare_unit: str, diameter: float | None
) -> Iterator[Question]:
    """Of one wheel's planned toe."""
    if abs(understood.value) > TOE_ASKED_DEG:
        odd = message("question.planned-toe", angle=understood.value, where=where)
        told = (odd, _other_units(understood, bare_unit, diameter))
        yield Question("toe", (key,), told, (understood.value,))


def _other_units(understood: Understood, bare_unit: str, diameter: float | None) -> Message:
    """The units in which the same digits would be a usual toe, as a question."""
    digits = understood.typed.strip()
    plausible = []
    for unit, name in UNIT_WORDS.items():
        if unit == bare_unit or _bare(digits) < TOE_SHOWN_FROM.get(unit, 0.0):
            continue
        try:
            other = units.parse_toe(digits, bare_unit=unit, diameter_mm=diameter)
        except units.NotUnderstood:
            continue
        if abs(other.value) <= TOE_ASKED_DEG and abs(other.value - understood.value) > 1e-9:
            plausible.append(message("unit-and-angle", unit=name, angle=other.value))
    if not plausible:
        return message("question.decimal-point") if whole(digits) is not None else CORRECT
    return message("question.other-units", units=tuple(plausible))


def _outside(
    key: Key, value: float, span: tuple[float, float], code: str, what: Message
) -> Iterator[Question]:
    if not span[0] <= value <= span[1]:
        odd = message("question.unusual-angle", quantity=what, figure=value)
        yield Question(code, (key,), (odd, CORRECT), (value,))


def _length(
    key: Key, understood: Understood, span: tuple[float, float], code: str, what: Message
) -> Iterator[Question]:
    """A length outside ``span``, with the units in which it would be a usual one."""
    value = understood.value
    if span[0] <= value <= span[1]:
        return
    told = [message("question.unusual-length", quantity=what, figure=value)]
    others = [
        unit
        for unit, scale in (
            (message("unit-word.centimetres"), 10.0),
            (UNIT_WORDS[units.INCHES], MM_PER_INCH),
        )
        if span[0] <= value * scale <= span[1]
    ]
    if others:
        told.append(message("question.other-units", units=tuple(others)))
    yield Question(code, (key,), (*told, CORRECT), (value,))


def _about_total(read: Mapping[Key, Understood], left: str, right: str) -> Iterator[Question]:
    """Where toe per wheel and total are both typed, they must agree."""
    keys = [(left, str(Quantity.TOE_TOTAL.value)), (left, "toe"), (right, "toe")]
    if any(key not in read for key in keys):
        return
    total, a, b = (read[key].value for key in keys)
    if abs(total - a - b) > TOTAL_AGREES_DEG:
        yield Question(
            "total",
            tuple(keys),
            (
                message(
                    "question.total",
                    axle=message(f"axle.{axle_of(left)}"),
                    total=total,
                    sum=a + b,
                ),
            ),
            (total, a, b),
        )


def _about_sweep(
    read: Mapping[Key, Understood], corner: str, caster_deg: float
) -> Iterator[Question]:
    key = (corner, str(Quantity.CASTER.value))
    if key in read and abs(read[key].value - caster_deg) > SWEEP_AGREES_DEG:
        yield Question(
            "sweep",
            (key,),
            (
                message(
                    "question.sweep",
                    corner=message(f"corner.{corner}"),
                    typed=read[key].value,
                    swept=caster_deg,
                ),
            ),
            (read[key].value, caster_deg),
        )


def _sign_against_target(key: Key, value: float, target: float) -> Iterator[Question]:
    least = MIRROR_CAMBER_FROM_DEG if key[1] == Quantity.CAMBER else MIRROR_TOE_FROM_DEG
    if abs(target) >= least and abs(value + target) <= MIRROR_DEG:
        corner, quantity = key
        yield Question(
            "sign",
            (key,),
            (
                message(
                    "question.sign",
                    quantity=message(f"quantity.{quantity}"),
                    corner=message(f"corner.{corner}"),
                    read=value,
                    target=target,
                ),
            ),
            (value,),
        )


def _about_pair(read: Mapping[Key, Understood], left: str, right: str) -> Iterator[Question]:
    axle = message(f"axle.{axle_of(left)}")
    for quantity, least in (
        (Quantity.CAMBER, MIRROR_CAMBER_FROM_DEG),
        (Quantity.TOE, MIRROR_TOE_FROM_DEG),
    ):
        keys = ((left, str(quantity.value)), (right, str(quantity.value)))
        if keys[0] not in read or keys[1] not in read:
            continue
        a, b = read[keys[0]].value, read[keys[1]].value
        if min(abs(a), abs(b)) >= least and a * b < 0 and abs(a + b) <= MIRROR_DEG:
            yield Question(
                "mirrored",
                keys,
                (
                    message(
                        "question.mirrored",
                        quantity=message(f"quantity.{quantity.value}"),
                        axle=axle,
                        left=a,
                        right=b,
                    ),
                ),
                (a, b),
            )
    heights = ((left, str(Quantity.RIDE_HEIGHT.value)), (right, str(Quantity.RIDE_HEIGHT.value)))
    if heights[0] in read and heights[1] in read:
        sides = readings.cross(read[heights[0]].value, read[heights[1]].value)
        if abs(sides) > HEIGHT_SIDES_ASKED_MM:
            yield Question(
                "height sides",
                heights,
                (message("question.height-sides", axle=axle, length=abs(sides)),),
                (read[heights[0]].value, read[heights[1]].value),
            )
