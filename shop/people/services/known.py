"""Customers and vehicles that may be the ones that are being typed.

By telephone in any grouping, by plate with or without blanks, and by the words of a name in any
order. What is found is a question to a person, never an answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shop.models import CarModel, Customer, Vehicle
from shop.values.contact_keys import plate_key, telephone_key

#: Fewer digits or letters than these are shared by too many to say anything.
LEAST_DIGITS = 5
LEAST_SIGNS = 3
PHONE, NAME, PLATE = "phone", "name", "plate"


@dataclass(frozen=True)
class Known:
    """A customer on record, by what they were found, and their vehicles."""

    customer: Customer
    by: frozenset[str]
    vehicles: tuple[Vehicle, ...]
    plates: frozenset[int] = frozenset()

    @property
    def order(self) -> tuple[bool, bool, str, int]:
        """The likeliest first."""
        return (PLATE not in self.by, PHONE not in self.by, self.customer.name, self.customer.pk)


def words_of(text: str) -> frozenset[str]:
    """The words of a text without case and points: ``Berg, A.`` and ``a berg`` are one."""
    plain = "".join(sign if sign.isalnum() else " " for sign in text.casefold())
    return frozenset(plain.split())


def known_customers(*, name: str = "", phone: str = "", plate: str = "") -> list[Known]:
    """Everybody on record who may be meant, the likeliest first.

    Names match where every typed word begins one of the name's words.
    """
    wanted, number, sign = words_of(name), telephone_key(phone), plate_key(plate)
    found: dict[int, set[str]] = {}
    people = Customer.objects.unmerged().values_list("pk", "name", "phone")
    for pk, called, reached in people.iterator():
        if len(number) >= LEAST_DIGITS and _one_number(number, telephone_key(reached)):
            found.setdefault(pk, set()).add(PHONE)
        if wanted and _holds(words_of(called), wanted):
            found.setdefault(pk, set()).add(NAME)
    plates = vehicles_by_plate(sign)
    for vehicle in plates:
        found.setdefault(vehicle.customer_id, set()).add(PLATE)
    rows = Customer.objects.filter(pk__in=found).prefetch_related("vehicles__car_model")
    marked = frozenset(vehicle.pk for vehicle in plates)
    known = [
        Known(row, frozenset(found[row.pk]), _vehicles(row.vehicles.all()), marked) for row in rows
    ]
    return sorted(known, key=lambda one: one.order)


def vehicles_by_plate(plate: str) -> list[Vehicle]:
    """Vehicles on record with this plate, however it is written."""
    wanted = plate_key(plate)
    if len(wanted) < LEAST_SIGNS:
        return []
    rows = Vehicle.objects.unmerged().exclude(plate="").values_list("pk", "plate")
    found = [pk for pk, text in rows.iterator() if plate_key(text) == wanted]
    return list(Vehicle.objects.filter(pk__in=found).select_related("customer", "car_model"))


def car_model_like(description: str) -> tuple[CarModel, int] | None:
    """The car model of earlier cars with the same words, and how many such cars there are.

    Two words at least have to be shared, or all of a single one; digits alone, as a year, do not
    count. None where nothing is alike, or where two car models are equally so.
    """
    wanted = _telling(description)
    if not wanted:
        return None
    scores: dict[int, tuple[int, int]] = {}
    rows = Vehicle.objects.unmerged().filter(car_model__isnull=False)
    for text, car_model in rows.values_list("description", "car_model_id").iterator():
        shared = len(wanted & _telling(text))
        if car_model is None or shared < min(2, len(wanted)):
            continue
        best, count = scores.get(car_model, (0, 0))
        scores[car_model] = (max(best, shared), count + 1)
    if not scores:
        return None
    most = max(best for best, _ in scores.values())
    likely = [pk for pk, (best, _) in scores.items() if best == most]
    if len(likely) > 1:
        return None
    return CarModel.objects.get(pk=likely[0]), scores[likely[0]][1]


def _telling(text: str) -> frozenset[str]:
    return frozenset(word for word in words_of(text) if not word.isdecimal())


def _one_number(typed: str, kept: str) -> bool:
    """Whether both are one number, also where one was typed without its area."""
    if len(kept) < LEAST_DIGITS:
        return False
    return typed.endswith(kept) or kept.endswith(typed)


def _holds(name: frozenset[str], wanted: frozenset[str]) -> bool:
    return all(any(word.startswith(one) for word in name) for one in wanted)


def _vehicles(rows: Iterable[Vehicle]) -> tuple[Vehicle, ...]:
    return tuple(row for row in rows if row.merged_into_id is None)
