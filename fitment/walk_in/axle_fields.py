"""Fields of one axle of a walk-in, and what they come to: wheel, tyre and planned settings."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _

from alignment.fields.parsers import reader_of
from alignment.fields.plausibility import (
    Question,
    camber_questions,
    ride_height_questions,
    toe_questions,
)
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.geometry import units
from alignment.plans.services.plans import AxlePlan
from alignment.text.labels import CAMBER_METHODS, ROD, ROD_PREFIX, axle_here
from alignment.text.refusals import NO_CAMBER, NO_CAMBER_METHOD, NO_ROD
from alignment.text.render import render
from common.message import Told, message
from fitment.engine.solid.designation import size_of
from fitment.engine.solid.typed import LONGEST, TypedTyre, TypedWheel, read_tyre, read_wheel
from fitment.fields.catalogue_names import Catalogue
from fitment.fields.numbers import NumberField
from fitment.models import TyreModel, WheelModel
from fitment.walk_in.data import AxleAsked
from shop.models import Axle

NAMES = ("wheel", "tyre", "spacer_mm", "camber", "camber_by", "camber_rod", "toe", "height")
KINDS = {"camber": "camber", "toe": "toe", "height": "change"}


def axle_names(axle: str) -> list[str]:
    return [f"{axle}_{name}" for name in NAMES]


def axle_fields(axle: str) -> dict[str, forms.Field]:
    """The fields of an axle by name, each label with its axle for readers without the heading."""
    where = axle_here(axle)
    methods = [("", _("not set")), *((word, label) for word, label, _read in CAMBER_METHODS)]
    fields: dict[str, forms.Field] = {
        "wheel": _typed_field(_("Wheel"), where, "9.5x18 ET35", "wheels"),
        "tyre": _typed_field(_("Tyre"), where, "245/40 R18 97Y", "tyres"),
        "spacer_mm": NumberField(
            label=f"{_('Spacer, mm')}, {where}", required=False, min_value=0, max_value=100
        ),
        "camber": TypedField(
            "camber", label=f"{_('Camber')}, {where}", help_text=_("Minus is top inboard.")
        ),
        "camber_by": forms.ChoiceField(
            label=f"{_('Camber set with')}, {where}", choices=methods, required=False
        ),
        "camber_rod": forms.CharField(
            label=f"{_('Name of the link')}, {where}",
            required=False,
            max_length=50,
            help_text=_("Only where one link sets camber."),
        ),
        "toe": TypedField("toe", label=f"{_('Toe per wheel')}, {where}"),
        "height": TypedField(
            "change",
            label=f"{_('Ride height, change, mm')}, {where}",
            help_text=_("Lowering is negative: -15."),
        ),
    }
    fields["toe"].initial = "0"
    return {f"{axle}_{name}": field for name, field in fields.items()}


def _typed_field(label: str, where: str, example: str, names: str) -> forms.CharField:
    return forms.CharField(
        label=f"{label}, {where}",
        required=False,
        max_length=LONGEST * 2,
        help_text=_("As marked, for example {example}, or a name of the catalogue.").format(
            example=example
        ),
        widget=forms.TextInput(
            attrs={"list": names, "autocomplete": "off", "autocapitalize": "off"}
        ),
    )


def axle_asked(form: TypedForm, cleaned: dict[str, Any]) -> dict[str, AxleAsked]:
    """By axle, what is to go on; errors are noted at their fields of the form."""
    found: dict[str, AxleAsked] = {}
    asked: list[tuple[str | None, Question]] = []
    front = (cleaned.get("front_wheel") or "", cleaned.get("front_tyre") or "")
    for axle in Axle.values:
        typed = (cleaned.get(f"{axle}_wheel") or "", cleaned.get(f"{axle}_tyre") or "")
        at = axle
        if axle == Axle.REAR and cleaned.get("rear_as_front") and not any(typed):
            typed, at = front, Axle.FRONT
        one = _axle(form, cleaned, axle, typed, at, asked)
        if one is not None:
            found[axle] = one
    form.ask(asked)
    return found


def _axle(
    form: TypedForm,
    cleaned: dict[str, Any],
    axle: str,
    typed: tuple[str, str],
    at: str,
    asked: list[tuple[str | None, Question]],
) -> AxleAsked | None:
    """One axle; ``at`` is the axle where ``typed``, wheel and tyre, stands."""
    numbers = _numbers(form, cleaned, axle, asked)
    method = _camber_method(form, cleaned, axle, numbers)
    spacer = cleaned.get(f"{axle}_spacer_mm")
    wheel_text, tyre_text = typed
    if not wheel_text and not tyre_text:
        if spacer or "camber" in numbers or numbers.get("toe") or numbers.get("height"):
            text = _("Enter the wheel that will be on this axle, also if it stays.")
            form.add_error(f"{axle}_wheel", text)
        return None
    wheel = _wheel(form, f"{at}_wheel", wheel_text, is_told=at == axle)
    tyre = _tyre(form, f"{at}_tyre", tyre_text, is_told=at == axle)
    if wheel is None or tyre is None:
        return None
    rim = size_of(tyre.size).rim_in
    if rim != wheel.diameter_in and at == axle:
        text = _("This tyre is for a rim of {rim} in, the wheel has {wheel} in.")
        form.add_error(f"{axle}_tyre", text.format(rim=f"{rim:g}", wheel=f"{wheel.diameter_in:g}"))
        return None
    texts = {name: cleaned.get(f"{axle}_{name}") or "" for name in ("camber", "toe")}
    height = {"ride_height_mm": numbers["height"]} if numbers.get("height") else {}
    if height:
        texts["ride_height_mm"] = cleaned[f"{axle}_height"]
    plan = AxlePlan(
        toe_deg=numbers.get("toe") or 0.0,
        camber_deg=numbers.get("camber"),
        camber_by=method if "camber" in numbers else "",
        adjusters=height,
        typed={name: text for name, text in texts.items() if text} | {"toe": texts["toe"] or "0"},
    )
    return AxleAsked(wheel, tyre, spacer or 0.0, plan)


def _numbers(
    form: TypedForm,
    cleaned: dict[str, Any],
    axle: str,
    asked: list[tuple[str | None, Question]],
) -> dict[str, float]:
    """Angles and height that were understood, by name; odd ones are asked about."""
    numbers: dict[str, float] = {}
    where = message(f"axle.{axle}")
    for name, kind in KINDS.items():
        field = f"{axle}_{name}"
        if not (cleaned.get(field) or "").strip():
            continue
        read = form.read(field, *reader_of(kind, units.DEGREES, None))
        if read is None:
            continue
        numbers[name] = read.value
        key = (axle, "ride_height_mm" if name == "height" else name)
        if name == "camber":
            questions = list(camber_questions(key, read.value, where))
        elif name == "toe":
            questions = list(toe_questions(key, read, where, units.DEGREES, None))
        else:
            questions = list(ride_height_questions(key, read.value, where))
        asked += [(field, question) for question in questions]
    return numbers


def _camber_method(
    form: TypedForm, cleaned: dict[str, Any], axle: str, numbers: dict[str, float]
) -> str:
    method = cleaned.get(f"{axle}_camber_by") or ""
    rod = (cleaned.get(f"{axle}_camber_rod") or "").strip()
    if "camber" in numbers and not method:
        form.add_error(f"{axle}_camber_by", NO_CAMBER_METHOD)
    elif method and not (cleaned.get(f"{axle}_camber") or "").strip():
        form.add_error(f"{axle}_camber", NO_CAMBER)
    elif method == ROD and not rod:
        form.add_error(f"{axle}_camber_rod", NO_ROD)
    return f"{ROD_PREFIX}{rod}" if method == ROD else method


def _wheel(
    form: TypedForm, field: str, text: str, *, is_told: bool
) -> WheelModel | TypedWheel | None:
    """The wheel of the catalogue with this name, else what the text says."""
    row = Catalogue.of(WheelModel.objects.all()).row(text)
    if row is not None:
        return row
    try:
        return read_wheel(text)
    except Told as told:
        if is_told:
            form.add_error(field, render(told.message))
    return None


def _tyre(form: TypedForm, field: str, text: str, *, is_told: bool) -> TyreModel | TypedTyre | None:
    row = Catalogue.of(TyreModel.objects.all()).row(text)
    if row is not None:
        return row
    try:
        return read_tyre(text)
    except Told as told:
        if is_told:
            form.add_error(field, render(told.message))
    return None
