"""What the page of the phone question shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext

from alignment.text.render import render
from common.message import message
from common.numerals import for_machines
from common.verdicts import GateResult
from fitment.engine.model import SpotAnswer
from fitment.engine.search.model import Option
from fitment.engine.search.space import SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.search.told import cautions_of
from fitment.engine.search.widest import Wider
from fitment.job.car import car_of_car_model
from fitment.text.labels import camber_method_text
from fitment.tryout.data import SetUp
from fitment.tryout.parts import failing_told, parts_told
from fitment.tryout.services.results import put_of
from fitment.tryout.services.widest import Answered, Asked, widest_tyre
from fitment.tryout.widest_forms import WidestForm
from shop.languages.figures import short
from shop.models import CarModel
from shop.site.refusals import Refused


@dataclass(frozen=True)
class Row:
    """A tyre with what carries it, its verdict, its tightest spot, and what is said against it."""

    words: str
    width_mm: float
    verdict: GateResult | None
    spot: SpotAnswer | None
    corner: str
    against: tuple[str, ...]
    url: str = ""


def widest_page(form: WidestForm, query: Mapping[str, str]) -> dict[str, Any]:
    """Context of the question and, where it was asked well, of its answer."""
    context: dict[str, Any] = {"form": form, "several": []}
    if not form.is_bound:
        return context
    if not form.is_valid():
        context["several"] = [
            (str(one), f"{reverse('widest')}?{urlencode({**query, 'car': one.name})}")
            for one in form.several
        ]
        return context
    asked = asked_of(form.cleaned_data)
    context["car_model"], context["axle"] = asked.car.car_model, asked.axle
    if not asked.car.measured(asked.axle):
        return context | {"unmeasured": True}
    try:
        answered = widest_tyre(asked)
    except Refused as refused:
        form.add_error(refused.field if refused.field in form.fields else None, refused.reason)
        return context
    return context | _answer(asked, answered)


def asked_of(cleaned: Mapping[str, Any]) -> Asked:
    """The question as the form understood it."""
    car_model: CarModel = cleaned["car_model"]
    return Asked(
        car=car_of_car_model(car_model),
        axle=cleaned["axle"],
        use=cleaned["use"],
        height_mm=cleaned["height_read"],
        camber_deg=cleaned["camber_read"],
        wheel=cleaned["wheel_row"],
        wheel_typed=cleaned["wheel_typed"],
    )


def _answer(asked: Asked, answered: Answered) -> dict[str, Any]:
    found = answered.found
    return {
        "answered": True,
        "best": _option_row(found.best, asked, answered),
        "runner_up": _option_row(found.runner_up, asked, answered),
        "wider": [_wider_row(one, asked, answered) for one in found.wider],
        "taken": answered.taken,
        "complete": found.complete,
        "candidates": found.candidates,
        "search": _search_on(asked, answered),
    }


def _option_row(option: Option | None, asked: Asked, answered: Answered) -> Row | None:
    if option is None:
        return None
    words = fit_words(option.wheel, option.tyre, option.spacer, answered)
    by = option.setting.camber_by or answered.set_up.camber_by
    if by and asked.camber_deg is not None:
        words += gettext(", camber set with: {method}").format(method=camber_method_text(by))
    return Row(
        words=words,
        width_mm=option.width_mm,
        verdict=GateResult(option.verdict),
        spot=option.tightest,
        corner=_corner(option.corner),
        against=_against(option, answered),
        url=_tryout_url(option, asked, answered.set_up),
    )


def _against(option: Option, answered: Answered) -> tuple[str, ...]:
    """What an option would fail, and what is not known of it."""
    question, set_up = answered.question, answered.set_up
    told = failing_told(option, question.duty, set_up.axle) if option.fails else []
    told = [*told, *answered.tables.told(option, set_up.axle), *cautions_of(option)]
    told += parts_told(option, question.corners)
    return tuple(render(one) for one in told)


def _wider_row(one: Wider, asked: Asked, answered: Answered) -> Row:
    if one.option is not None:
        row = _option_row(one.option, asked, answered)
        if row is not None:
            return row
    words = _tyre_words(one.tyre, answered)
    if one.wheel is not None and one.spacer is not None:
        words = fit_words(one.wheel, one.tyre, one.spacer, answered)
    return Row(
        words=words,
        width_mm=one.width_mm,
        verdict=None if one.verdict is None else GateResult(one.verdict),
        spot=one.spot,
        corner=_corner(one.corner) if one.corner else "",
        against=() if one.why is None else (render(one.why),),
    )


def fit_words(
    wheel: WheelChoice, tyre: TyreChoice, spacer: SpacerChoice, answered: Answered
) -> str:
    """A tyre on a wheel with its spacer, in words."""
    set_up = answered.set_up
    named = answered.names.get(wheel.key) or set_up.wheel_typed or str(set_up.wheel)
    words = gettext("{tyre} on {wheel}").format(tyre=_tyre_words(tyre, answered), wheel=named)
    if spacer.mm:
        words += gettext(", {spacer} mm spacer").format(spacer=short(spacer.mm))
    return words


def _tyre_words(tyre: TyreChoice, answered: Answered) -> str:
    named = answered.names.get(tyre.key)
    return named or gettext("{size}, nominal").format(size=tyre.tyre.size)


def _corner(name: str) -> str:
    return render(message(f"corner.{name}"))


def _tryout_url(option: Option, asked: Asked, set_up: SetUp) -> str:
    corner = next(iter(option.corners.values()))
    put = put_of(option, corner.planned, set_up)
    query = {"car_model": str(asked.car.car_model.pk) if asked.car.car_model else ""}
    query |= {"axle": asked.axle, "use": asked.use} | {k: v for k, v in put.items() if v}
    return f"{reverse('tryout')}?{urlencode(query)}"


def _search_on(asked: Asked, answered: Answered) -> dict[str, Any]:
    """What the form of a search in the background sends, where the answer took too long."""
    set_up = answered.set_up
    start = {
        "car_model": str(asked.car.car_model.pk) if asked.car.car_model else "",
        "axle": asked.axle,
        "use": asked.use,
        "wheel": set_up.wheel_key,
        "tyre": set_up.tyre_key,
        "camber": "" if asked.camber_deg is None else format_plain(asked.camber_deg),
        "by": set_up.camber_by,
        "height": "" if asked.height_mm is None else format_plain(asked.height_mm),
    }
    sent = [(name, value) for name, value in answered.limits.items() if name != "may"]
    sent += [("may", name) for name in answered.limits["may"]]
    return {"url": f"{reverse('tryout_options')}?{urlencode(start)}", "fields": sent}


def format_plain(value: float) -> str:
    """A figure as the fields of the try-out read it in every language."""
    return for_machines(value, 4).rstrip("0").rstrip(".")
