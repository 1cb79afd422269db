"""What the try-out shows: one or two set-ups of an axle with their answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.urls import reverse

from common.corners import AXLES
from common.message import Message
from fitment.engine.minimum.rolled_lips import rolling_notes
from fitment.engine.model import Corner, CornerAnswer
from fitment.job.car import Car
from fitment.models import UseProfile
from fitment.text.answer_rows import PlaceRow, ReachRow, place_row, reach_row, size_words
from fitment.text.effects import EffectTable, effect_table
from fitment.text.render import corner_text, corners_text
from fitment.tryout.comparison_page import choices_that_differ, differences, drawings_of, price_of
from fitment.tryout.data import Side, Tried
from fitment.tryout.forms import TryoutForm, use_of
from fitment.tryout.services.strips import strips_of
from fitment.tryout.services.trial import corner_asked, start_of, tried
from shop.models import Axle, Use, WorkOrder
from shop.orders.services.adjuster_parts import adjusting_parts
from shop.orders.services.cautions import ROLLING_CAUTION

if TYPE_CHECKING:
    from django.http import QueryDict

    from shop.models import Part


SECOND = "b"
#: The parameter that asks for the strips.
WINDOWS = "windows"


@dataclass(frozen=True)
class SideView:
    """One side of an axle, or both where they are measured alike, in words and rows."""

    name: str
    answer: CornerAnswer
    sentence: str
    places: tuple[PlaceRow, ...]
    out_of_reach: tuple[ReachRow, ...]
    effects: EffectTable | None
    size: str
    rolling: tuple[Message, ...]


@dataclass(frozen=True)
class Tryout:
    """Forms and answers of what an address asks for."""

    car: Car
    axle: str
    use: str
    form: TryoutForm
    second: TryoutForm | None
    first_tried: Tried | None
    second_tried: Tried | None
    query: dict[str, str]

    @property
    def use_words(self) -> str:
        """What the car is for, by the name that people know."""
        return str(Use(self.use).label)


def tryout_of(car: Car, data: QueryDict) -> Tryout:
    """Read an address, and ask the engine as far as it is complete and sensible.

    An address that says nothing of the wheel begins with what the order plans.
    """
    axle = data.get("axle", "")
    if axle not in AXLES:
        axle = next((a for a in AXLES if a in car.wheels), AXLES[0])
    use = use_of(data.get("use", ""), car.order.use if car.order else "street")
    said = {
        key: value
        for key, value in data.items()
        if isinstance(value, str) and key not in ("axle", "use", WINDOWS)
    }
    first = said if "wheel" in said else start_of(car, axle) | said
    begun = bool(first.get("wheel") or first.get("tyre") or first.get("size"))
    form = TryoutForm(first if begun else None, car=car, axle=axle, initial=first)
    second = None
    if f"{SECOND}-wheel" in said:
        second = TryoutForm(said, car=car, axle=axle, prefix=SECOND)
    profile = UseProfile.objects.filter(name=use).first()
    query = {"axle": axle, "use": use, **_kept(form, first)}
    if second is not None:
        query |= _kept(second, said)
    answers = [_asked(one, car, profile) for one in (form, second)]
    return Tryout(car, axle, use, form, second, answers[0], answers[1], query)


def _kept(form: TryoutForm, data: Mapping[str, str]) -> dict[str, str]:
    """Parameters of one form that say something, by their names in an address."""
    said = {name: form.kept(name, data) for name in form.fields}
    return {form.add_prefix(name): text for name, text in said.items() if text or name == "wheel"}


def _asked(form: TryoutForm | None, car: Car, profile: UseProfile | None) -> Tried | None:
    if form is None or not form.is_bound or not form.is_valid() or form.set_up is None:
        return None
    if profile is None or not car.measured(form.axle):
        return None
    answer = tried(car, form.set_up, profile)
    form.tell(answer.problems)
    return answer if answer.sides else None


# For the page


def tryout_page(tryout: Tryout, path: str) -> dict[str, Any]:
    """Context of the whole try-out and of its answer alone."""
    car = tryout.car
    first, second = tryout.first_tried, tryout.second_tried
    parts = _parts(car)
    context: dict[str, Any] = {
        "car": car,
        "order": car.order,
        "car_model": car.car_model,
        "axle": tryout.axle,
        "axle_words": Axle(tryout.axle).label,
        "use": tryout.use,
        "uses": Use.choices,
        "form": tryout.form,
        "second_form": tryout.second,
        "link": f"{path}?{urlencode({**_which(tryout), **tryout.query})}",
        "query": tryout.query,
        "query_text": urlencode(tryout.query),
        "measured": bool(car.measured(tryout.axle)),
        "first": first,
        "second": second,
        "sides": [_side_view(first, side, car, parts) for side in first.sides] if first else [],
        "second_sides": (
            [_side_view(second, side, car, parts) for side in second.sides] if second else []
        ),
        "differences": differences(first, second),
        "choices": choices_that_differ(first, second),
        "price": price_of(first.set_up) if first else None,
        "second_price": price_of(second.set_up) if second else None,
        "unmeasured": corners_text(first.unmeasured) if first else "",
        "rolling_caution": (
            ROLLING_CAUTION
            if any(one and one.set_up.rolled_lips for one in (first, second))
            else ""
        ),
        **_links(tryout, path),
    }
    if first:
        context["drawings"] = drawings_of(first, second)
        context["windows_url"] = f"{context['link']}&{WINDOWS}=1"
    return context


def windows_page(tryout: Tryout) -> dict[str, Any]:
    """The two strips of the first trial, where it was answered; they take longer than the rest."""
    first = tryout.first_tried
    return {"strips": strips_of(first.sides) if first else []}


def _links(tryout: Tryout, path: str) -> dict[str, Any]:
    """Addresses of the other axle, of a second set-up beside this one, and of the two swapped."""
    mine = {name: tryout.query.get(name, "") for name in tryout.form.fields}
    other = {
        name: tryout.query[f"{SECOND}-{name}"]
        for name in tryout.form.fields
        if f"{SECOND}-{name}" in tryout.query
    }
    base = {"axle": tryout.axle, "use": tryout.use} | _which(tryout)

    def address(first: Mapping[str, str], second: Mapping[str, str]) -> str:
        named = {f"{SECOND}-{name}": value for name, value in second.items()}
        return f"{path}?{urlencode({**base, **first, **named})}"

    return {
        "axles": [
            {
                "words": words,
                "url": f"{path}?{urlencode({**_which(tryout), 'axle': axle, 'use': tryout.use})}",
                "current": axle == tryout.axle,
            }
            for axle, words in Axle.choices
        ],
        "add_url": address(mine, mine) if tryout.first_tried and not other else "",
        "drop_url": address(mine, {}) if other else "",
        "swap_url": address(other, mine) if other else "",
        "second_put": base | other if tryout.second_tried and other else {},
        "options_url": _options_url(tryout, base | mine),
        "hidden": list(_which(tryout).items()),
    }


def _options_url(tryout: Tryout, query: Mapping[str, str]) -> str:
    order = tryout.car.order
    page = reverse("order_options", args=[order.pk]) if order else reverse("tryout_options")
    return f"{page}?{urlencode(query)}"


def _which(tryout: Tryout) -> dict[str, str]:
    """The car model, where the address has to name it."""
    if tryout.car.order is not None or tryout.car.car_model is None:
        return {}
    return {"car_model": str(tryout.car.car_model.pk)}


def _parts(car: Car) -> Mapping[str, Mapping[str, Part]]:
    if car.order is None:
        return {}
    return {
        corner: {name: row.part for name, row in rows.items()}
        for corner, rows in adjusting_parts(car.order).items()
    }


def _side_view(
    one: Tried, side: Side, car: Car, parts: Mapping[str, Mapping[str, Part]]
) -> SideView:
    answer, name = side.answer, corners_text(side.corners)
    set_up = one.set_up
    asked: Corner = corner_asked(side.key)
    return SideView(
        name=name,
        answer=answer,
        sentence=corner_text(side.corners, answer),
        places=tuple(place_row(place) for place in answer.places),
        out_of_reach=tuple(reach_row(short) for short in answer.out_of_reach),
        effects=effect_table(
            answer,
            there={"spacer": set_up.spacer_mm, "bump_stop_mm": set_up.bump_stop_mm or 0.0},
            parts=parts.get(side.corners[0], {}),
        ),
        size=size_words(asked),
        rolling=tuple(rolling_notes(asked)),
    )


def orders_for(car: Car) -> list[WorkOrder]:
    """Open orders on cars of a car model, onto which a set-up could be put."""
    if car.car_model is None:
        return []
    rows = WorkOrder.objects.filter(vehicle__car_model=car.car_model).open()
    return list(rows.select_related("customer", "vehicle").order_by("-pk"))
