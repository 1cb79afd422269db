"""Questions about values that can be typed but are seldom true.

None of them refuses anything: each names the field and what is unusual, and the form asks for a
tick. A tick is valid for the value that was typed and for no other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.geometry import conditions, readings, units
from alignment.geometry.units import Understood, format_degrees, format_mm
from alignment.models import Quantity
from alignment.text.labels import axle_here, corner_here
from common.corners import AXLE_CORNERS, axle_of
from common.numerals import fixed, short
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
#: A typed caster and the sweep's, apart by more than an even sweep is uncertain (degrees).
SWEEP_AGREES_DEG = 0.5
RIDE_HEIGHT_CHANGE_ASKED_MM = (-80.0, 30.0)

UNIT_WORDS: Mapping[str, str | Promise] = {
    units.MINUTES: gettext_lazy("minutes of arc"),
    units.MILLIMETRES: gettext_lazy("millimetres"),
    units.INCHES: gettext_lazy("inches"),
    units.DEGREES: gettext_lazy("degrees"),
}
Key = tuple[str, str]  # corner, quantity


@dataclass(frozen=True)
class Question:
    """``key`` is what a tick sends back; ``fields`` are the fields asked about."""

    code: str
    fields: tuple[Key, ...]
    text: str
    values: tuple[float, ...]

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
    swept: Mapping[str, tuple[float, float]] | None = None,
) -> list[Question]:
    """All questions about one visit's readings, in the order of the form.

    ``targets`` are the planned values by corner and quantity, ``swept`` the casters from camber
    sweeps with their expanded uncertainty, by corner (degrees).
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
    for corner, (caster, expanded) in (swept or {}).items():
        found.extend(_about_sweep(read, corner, caster, expanded))
    return found


def _about_one(
    key: Key, understood: Understood, bare_unit: str, diameter: float | None
) -> Iterator[Question]:
    corner, quantity = key
    value, where = understood.value, corner_here(corner)
    name = f"{Quantity(quantity).label}, {where}"
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
        yield from _length(key, understood, TRACK_ASKED_MM, "track", str(Quantity.TRACK.label))
    elif (
        quantity == Quantity.PRESSURE
        and not PRESSURE_ASKED_BAR[0] <= value <= PRESSURE_ASKED_BAR[1]
    ):
        text = _("{quantity}: {figure} is unusual.").format(
            quantity=name, figure=f"{fixed(value, 1)} bar"
        )
        others = conditions.other_pressures(value) if understood.unit == conditions.BAR else []
        asked = _("Or was it {others}?").format(others=_either(others)) if others else ""
        text = f"{text} {asked or _('Correct?')}"
        yield Question("pressure", (key,), text, (value,))


def _toe(
    key: Key, understood: Understood, bare_unit: str, diameter: float | None
) -> Iterator[Question]:
    """Toe that is high for a wheel or an axle, or less than a rack shows in its unit."""
    corner, quantity = key
    value, is_total = understood.value, quantity == Quantity.TOE_TOTAL
    text = ""
    if abs(value) > (TOTAL_TOE_ASKED_DEG if is_total else TOE_ASKED_DEG):
        figure = format_degrees(value)
        text = (
            _("Total toe of {angle} is high.").format(angle=figure)
            if is_total
            else _("Toe of {angle}, {corner}, is high.").format(
                angle=figure, corner=corner_here(corner)
            )
        )
    elif value and _bare(understood.typed) < TOE_SHOWN_FROM.get(bare_unit, 0.0):
        text = _("Toe of {typed} {unit} is less than racks show.").format(
            typed=understood.typed.strip(), unit=UNIT_WORDS[bare_unit]
        )
    if text:
        text = f"{text} {_other_units(understood, bare_unit, diameter)}"
        yield Question("toe", (key,), text, (value,))


def _bare(typed: str) -> float:
    """The size of a number that was typed without a unit; infinite with one."""
    text = typed.strip().lstrip("+-−–").replace(",", ".")
    try:
        return float(text)
    except ValueError:
        return math.inf


def camber_questions(key: Key, value: float, where: str) -> Iterator[Question]:
    """Of one camber, read or planned; ``where`` names the corner or the axle."""
    if abs(value) > CAMBER_ASKED_DEG:
        yield Question(
            "camber",
            (key,),
            _(
                "Camber of {angle}, {where}, is beyond ±{limit}°. In minutes of arc it would be "
                "{minutes}. Is the unit wrong or a decimal point missing?"
            ).format(
                angle=format_degrees(value),
                where=where,
                limit=short(CAMBER_ASKED_DEG),
                minutes=format_degrees(value / 60),
            ),
            (value,),
        )
    elif value > POSITIVE_CAMBER_ASKED_DEG:
        yield Question(
            "positive camber",
            (key,),
            _("Camber of {angle}, {where}, has the top outboard. Is the minus missing?").format(
                angle=format_degrees(value), where=where
            ),
            (value,),
        )


def ride_height_questions(key: Key, change_mm: float, where: str) -> Iterator[Question]:
    """Of a planned change of ride height; lowering is negative."""
    low, high = RIDE_HEIGHT_CHANGE_ASKED_MM
    if change_mm > high:
        shown = format_mm(change_mm, 0, signed=False)
        text = _("Planned {length} higher, {where}. Lowering is negative.").format(
            length=shown, where=where
        )
        yield Question("height change", (key,), text, (change_mm,))
    elif change_mm < low:
        shown = format_mm(abs(change_mm), 0, signed=False)
        text = _("Planned {length} lower, {where}. Is the unit correct?").format(
            length=shown, where=where
        )
        yield Question("height change", (key,), text, (change_mm,))


def toe_questions(
    key: Key, understood: Understood, where: str, bare_unit: str, diameter: float | None
) -> Iterator[Question]:
    """Of one wheel's planned toe."""
    if abs(understood.value) > TOE_ASKED_DEG:
        text = _("Toe of {angle} per wheel, {where}, is high.").format(
            angle=format_degrees(understood.value), where=where
        )
        text = f"{text} {_other_units(understood, bare_unit, diameter)}"
        yield Question("toe", (key,), text, (understood.value,))


def _other_units(understood: Understood, bare_unit: str, diameter: float | None) -> str:
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
            plausible.append(f"{name} ({format_degrees(other.value)})")
    if not plausible:
        return _("Is a decimal point missing?") if digits.isdigit() else _("Correct?")
    return _("The same figure would be plausible in {units}.").format(units=_either(plausible))


def _either(names: list[str]) -> str:
    """ "a, b or c" in the language of the page."""
    if len(names) < 2:
        return "".join(names)
    return _("{names} or {last}").format(names=", ".join(names[:-1]), last=names[-1])


def _outside(
    key: Key, value: float, span: tuple[float, float], code: str, what: str
) -> Iterator[Question]:
    if not span[0] <= value <= span[1]:
        text = _("{quantity}: {figure} is unusual.").format(
            quantity=what, figure=format_degrees(value)
        )
        text = f"{text} {_('Correct?')}"
        yield Question(code, (key,), text, (value,))


def _length(
    key: Key, understood: Understood, span: tuple[float, float], code: str, what: str
) -> Iterator[Question]:
    """A length outside ``span``, with the units in which it would be a usual one."""
    value = understood.value
    if span[0] <= value <= span[1]:
        return
    text = _("{quantity}: {figure} is unusual.").format(
        quantity=what, figure=format_mm(value, 0, signed=False)
    )
    others = [
        name
        for name, scale in ((_("centimetres"), 10.0), (_("inches"), MM_PER_INCH))
        if span[0] <= value * scale <= span[1]
    ]
    if others:
        asked = _("The same figure would be plausible in {units}.").format(units=_either(others))
        text = f"{text} {asked}"
    yield Question(code, (key,), f"{text} {_('Correct?')}", (value,))


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
            _(
                "Total toe, {axle}, is typed as {total}, but the wheels add up to {sum}. Is one "
                "per wheel and the other a total?"
            ).format(
                axle=axle_here(axle_of(left)),
                total=format_degrees(total),
                sum=format_degrees(a + b),
            ),
            (total, a, b),
        )


def _about_sweep(
    read: Mapping[Key, Understood], corner: str, caster_deg: float, expanded_deg: float
) -> Iterator[Question]:
    key, agrees = (corner, str(Quantity.CASTER.value)), max(SWEEP_AGREES_DEG, expanded_deg)
    if key in read and abs(read[key].value - caster_deg) > agrees:
        yield Question(
            "sweep",
            (key,),
            _(
                "Caster, {corner}, is typed as {typed}; the sweep gives {swept}. The typed one is "
                "kept. Correct?"
            ).format(
                corner=corner_here(corner),
                typed=format_degrees(read[key].value),
                swept=format_degrees(caster_deg),
            ),
            (read[key].value, caster_deg),
        )


def _sign_against_target(key: Key, value: float, target: float) -> Iterator[Question]:
    least = MIRROR_CAMBER_FROM_DEG if key[1] == Quantity.CAMBER else MIRROR_TOE_FROM_DEG
    if abs(target) >= least and abs(value + target) <= MIRROR_DEG:
        name = str(Quantity(key[1]).label).split(",")[0]
        yield Question(
            "sign",
            (key,),
            _("{quantity}, {corner}: {read} read, {target} planned. Is the sign wrong?").format(
                quantity=name,
                corner=corner_here(key[0]),
                read=format_degrees(value),
                target=format_degrees(target),
            ),
            (value,),
        )


def _about_pair(read: Mapping[Key, Understood], left: str, right: str) -> Iterator[Question]:
    axle = axle_here(axle_of(left))
    for quantity, least, name in (
        (Quantity.CAMBER, MIRROR_CAMBER_FROM_DEG, _("Camber")),
        (Quantity.TOE, MIRROR_TOE_FROM_DEG, _("Toe")),
    ):
        keys = ((left, str(quantity.value)), (right, str(quantity.value)))
        if keys[0] not in read or keys[1] not in read:
            continue
        a, b = read[keys[0]].value, read[keys[1]].value
        if min(abs(a), abs(b)) >= least and a * b < 0 and abs(a + b) <= MIRROR_DEG:
            yield Question(
                "mirrored",
                keys,
                _(
                    "{quantity}, {axle}: {left} left, {right} right. Signs mean the same on both "
                    "sides. Is one of them wrong?"
                ).format(quantity=name, axle=axle, left=format_degrees(a), right=format_degrees(b)),
                (a, b),
            )
    heights = ((left, str(Quantity.RIDE_HEIGHT.value)), (right, str(Quantity.RIDE_HEIGHT.value)))
    if heights[0] in read and heights[1] in read:
        sides = readings.cross(read[heights[0]].value, read[heights[1]].value)
        if abs(sides) > HEIGHT_SIDES_ASKED_MM:
            yield Question(
                "height sides",
                heights,
                _("Ride height, {axle}: left and right differ by {length}. Correct?").format(
                    axle=axle, length=format_mm(abs(sides), 0, signed=False)
                ),
                (read[heights[0]].value, read[heights[1]].value),
            )
