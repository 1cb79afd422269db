"""Quantities derived from one visit's readings, with their uncertainty.

Totals, crosses, thrust angle, setback, scrub. The expanded uncertainty (twice the standard one)
follows from the rack's stated accuracy, taken as limits; it is None where that does not give it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop as N_

from alignment.geometry import readings
from alignment.geometry.caster_sweep import inclination_sigma_deg
from alignment.models import SWEEP, Quantity, RackVisit, ToeReference
from alignment.visits.services.sweeps import sweep_of
from common.corners import AXLE_CORNERS, AXLES, CORNER_NAMES
from shop.languages.figures import format_number
from shop.models import Axle

Values = dict[tuple[str, str], float]


#: Names by which the spec sheet finds what it prints.
INCLUDED, SCRUB = N_("Included angle"), N_("Scrub of each wheel")
STEERING_WHEEL, FRONT_WHEELS = (
    N_("Steering wheel turned, running straight"),
    N_("Front wheels point, steering wheel straight"),
)
#: Differences from left to right that get a word; common practice, no source.
CASTER_PULLS_DEG, SETBACK_TOLD_MM = 0.5, 6.0


@dataclass(frozen=True)
class Derived:
    """``unit`` is "°", "mm" or "m/km"; ``expanded`` in the same unit; ``where`` an axle or a
    wheel, empty for the whole car."""

    name: str
    value: float
    unit: str
    expanded: float | None = None
    note: str = ""
    where: str = ""

    @property
    def title(self) -> str:
        name = _(self.name)
        return f"{name}, {_(self.where)}" if self.where else name

    @property
    def code(self) -> str:
        """The title as exports write it, in every language alike."""
        return f"{self.name}, {self.where}" if self.where else self.name

    @property
    def places(self) -> int:
        return {"°": 2, "mm": 0}.get(self.unit, 1)

    @property
    def text(self) -> str:
        return format_number(self.value, self.places, signed=self.unit != "m/km")

    @property
    def uncertainty(self) -> str:
        """ "±0.08"; empty where it is not known."""
        if self.expanded is None:
            return ""
        return "±" + format_number(self.expanded, self.places, signed=False)

    @property
    def words(self) -> str:
        """The note, after that of an angle below the rack's accuracy."""
        unseen = ""
        if self.expanded is not None and 0 < abs(self.value) <= self.expanded:
            unseen = _("below rack accuracy")
        return "; ".join(part for part in (unseen, self.note) if part)


def derived_of(visit: RackVisit) -> list[Derived]:
    """All quantities that follow from the readings, in the usual order of an alignment sheet."""
    values = visit.values()
    accuracy = visit.accuracy_deg
    return [
        *_pairs(visit, values),
        *_thrust(visit, values, accuracy),
        *_included(visit, accuracy),
        *_setback(values),
        *_scrub(values, accuracy),
    ]


def expanded(accuracy_deg: float, factor: float = 1.0) -> float:
    """Expanded uncertainty of ``factor`` readings' worth of a rack with limits ± accuracy."""
    return readings.COVERAGE * factor * readings.accuracy_to_sigma(accuracy_deg)


def limits_of(visit: RackVisit, corner: str, quantity: str) -> float:
    """± limits (degrees) of a reading: the rack's, but of a swept caster what follows from them."""
    if quantity != Quantity.CASTER or corner not in visit.sweeps:
        return visit.accuracy_deg
    units = {(r.corner, r.quantity): r.unit for r in visit.readings.all()}
    if units.get((corner, quantity)) != SWEEP:
        return visit.accuracy_deg
    inclination = visit.values().get((corner, Quantity.SAI))
    sweep, *_reason = sweep_of(visit.sweeps[corner], inclination)
    return visit.accuracy_deg if sweep is None else sweep.limits_deg(visit.accuracy_deg)


def included_angles(visit: RackVisit) -> dict[str, float]:
    """Camber and inclination together, for the corners where both were read."""
    values = visit.values()
    found = {}
    for corner in (*AXLE_CORNERS[Axle.FRONT], *AXLE_CORNERS[Axle.REAR]):
        camber = values.get((corner, Quantity.CAMBER))
        lean = values.get((corner, Quantity.SAI))
        if camber is not None and lean is not None:
            found[corner] = readings.included_angle(camber, lean)
    return found


def included_expanded(accuracy_deg: float) -> float:
    """Expanded uncertainty of an included angle: a camber, and an inclination from a sweep."""
    camber = readings.accuracy_to_sigma(accuracy_deg)
    return readings.COVERAGE * math.hypot(camber, inclination_sigma_deg(camber))


def toe_from_thrust_line(visit: RackVisit) -> tuple[float, float] | None:
    """Front toe (left, right) counted from the rear axle's thrust line.

    A rack that counts from there gives it directly; with one that counts from the centre line the
    rear axle must have been read too. None where a reading is missing.
    """
    values = visit.values()
    front, rear = (_both(values, a, Quantity.TOE) for a in (Axle.FRONT, Axle.REAR))
    if front is None or visit.toe_reference == ToeReference.THRUST:
        return front
    return (
        None if rear is None else readings.toe_against_thrust(*front, readings.thrust_angle(*rear))
    )


def total_toe_of(values: Values, axle: str) -> float | None:
    """Total toe: of the wheels where both were read, else as the rack gave it."""
    left, right = AXLE_CORNERS[axle]
    wheels = (values.get((left, Quantity.TOE)), values.get((right, Quantity.TOE)))
    if wheels[0] is not None and wheels[1] is not None:
        return readings.total_toe(wheels[0], wheels[1])
    return values.get((left, Quantity.TOE_TOTAL))


def _both(values: Values, axle: str, quantity: str) -> tuple[float, float] | None:
    left, right = (values.get((corner, quantity)) for corner in AXLE_CORNERS[axle])
    return None if left is None or right is None else (left, right)


def _pairs(visit: RackVisit, values: Values) -> Iterator[Derived]:
    accuracy = visit.accuracy_deg
    for axle in AXLES:
        total = total_toe_of(values, axle)
        if total is not None:
            wheels = _both(values, axle, Quantity.TOE) is not None
            uncertainty = expanded(accuracy, math.sqrt(2) if wheels else 1.0)
            note = "" if wheels else _("as the rack gave it, not wheel by wheel")
            yield Derived(N_("Total toe"), total, "°", uncertainty, note, axle)
        for quantity, words in (
            (Quantity.CAMBER, N_("Cross camber")),
            (Quantity.CASTER, N_("Cross caster")),
        ):
            pair = _both(values, axle, quantity)
            if pair is not None:
                limits = [limits_of(visit, corner, quantity) for corner in AXLE_CORNERS[axle]]
                uncertainty = expanded(math.hypot(*limits))
                cross = readings.cross(*pair)
                note = _pull(cross, uncertainty) if quantity == Quantity.CASTER else ""
                yield Derived(words, cross, "°", uncertainty, note, axle)


def _pull(cross_caster_deg: float, uncertainty: float) -> str:
    """Where a difference of caster pulls the car: to the side that has less of it."""
    if abs(cross_caster_deg) <= max(CASTER_PULLS_DEG, uncertainty):
        return ""
    if cross_caster_deg < 0:
        return _("the car pulls to the left, where there is less caster")
    return _("the car pulls to the right, where there is less caster")


def _thrust(visit: RackVisit, values: Values, accuracy: float) -> Iterator[Derived]:
    rear = _both(values, Axle.REAR, Quantity.TOE)
    if rear is not None:
        thrust = readings.thrust_angle(*rear)
        side = _("to the right") if thrust > 0 else _("to the left")
        uncertainty = expanded(accuracy, 1 / math.sqrt(2))
        yield Derived(
            N_("Thrust angle"), thrust, "°", uncertainty, side if round(thrust, 2) else ""
        )
    wheels = toe_from_thrust_line(visit)
    if wheels is None:
        return
    from_centre = visit.toe_reference == ToeReference.CENTRE
    for words, toe in zip(("left", "right"), wheels, strict=True):
        uncertainty = expanded(accuracy, math.sqrt(1.5) if from_centre else 1.0)
        yield Derived(N_("Front toe from the thrust line"), toe, "°", uncertainty, where=words)
    uncertainty = expanded(accuracy, 1.0 if from_centre else 1 / math.sqrt(2))
    yield from _steering(visit, readings.steering_offset(*wheels), uncertainty)


def _steering(visit: RackVisit, offset: float, uncertainty: float) -> Iterator[Derived]:
    """Where the front wheels point with the steering wheel straight, and how the steering wheel
    stands with the car running straight, where the ratio is known. To the right is plus."""
    held = (
        []
        if visit.steering_ahead
        else [_("valid only with the steering wheel straight ahead and held, not noted")]
    )
    ratio = visit.steering_ratio
    notes = [_side(offset)] if round(offset, 2) else []
    if round(offset, 2) and not ratio:
        notes.append(
            _("the steering wheel then stands to the left, by this times the steering ratio")
            if offset > 0
            else _("the steering wheel then stands to the right, by this times the steering ratio")
        )
    yield Derived(FRONT_WHEELS, offset, "°", uncertainty, "; ".join([*notes, *held]))
    if ratio:
        # The driver turns back what the wheels point to.
        turned = -offset * ratio
        notes = [_side(turned)] if round(turned, 2) else []
        said = "; ".join([*notes, *held])
        yield Derived(STEERING_WHEEL, turned, "°", uncertainty * ratio, said)


def _side(angle: float) -> str:
    return _("to the right") if angle > 0 else _("to the left")


def _included(visit: RackVisit, accuracy: float) -> Iterator[Derived]:
    uncertainty = included_expanded(accuracy)
    for corner, angle in included_angles(visit).items():
        yield Derived(INCLUDED, angle, "°", uncertainty, where=CORNER_NAMES[corner])


def _setback(values: Values) -> Iterator[Derived]:
    bases = _both(values, Axle.FRONT, Quantity.WHEELBASE)
    if bases is None:
        return
    track = values.get((AXLE_CORNERS[Axle.FRONT][0], Quantity.TRACK))
    found = readings.setback(*bases, track or 1.0)
    side = ""
    if found.mm:
        side = _("right wheel further back") if found.mm > 0 else _("left wheel further back")
    if abs(found.mm) > SETBACK_TOLD_MM:
        struck = _("look at arms, bushes and subframe of that side: a kerb pushes a wheel back")
        side = f"{side}; {struck}"
    yield Derived(N_("Setback"), found.mm, "mm", None, side)
    if track:
        yield Derived(N_("Setback as an angle"), found.deg, "°", None, side)


def _scrub(values: Values, accuracy: float) -> Iterator[Derived]:
    for axle in AXLES:
        total = total_toe_of(values, axle)
        if total is None:
            continue
        # Running straight, the two wheels share their total toe.
        each = readings.scrub_m_per_km(total / 2)
        uncertainty = readings.scrub_m_per_km(expanded(accuracy, 1 / math.sqrt(2)))
        yield Derived(SCRUB, each, "m/km", uncertainty, where=axle)
