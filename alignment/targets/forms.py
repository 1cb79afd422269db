"""The form of a target sheet: figures and tolerances for left, right and both together."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.parsers import reader_of
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.geometry import units
from alignment.models import (
    CAMBER_TOLERANCE_DEG,
    CASTER_TOLERANCE_DEG,
    TOE_TOLERANCE_DEG,
    Quantity,
    TargetSheet,
    ToeUnit,
)
from alignment.models.targets import AIMED, Aimed, TargetKind
from alignment.plans.services.order_targets import SAME
from alignment.targets.services import Figure
from alignment.text.labels import CAMBER_METHODS, ROD, ROD_PREFIX, axle_here
from alignment.text.refusals import NEGATIVE
from common.numerals import short
from shop.languages import figures
from shop.models import Axle, Use
from shop.site.fields import DateInput
from shop.site.joining import JoinedForm

TOLERANCES: dict[str, float] = {
    Aimed.CAMBER: CAMBER_TOLERANCE_DEG,
    Aimed.CASTER: CASTER_TOLERANCE_DEG,
    Aimed.TOE: TOE_TOLERANCE_DEG,
    Aimed.RIDE_HEIGHT: 5.0,
}
#: Fields of a quantity: name, its part of the label, whether it is a tolerance.
CELLS: tuple[tuple[str, str | Promise, bool], ...] = (
    ("left", gettext_lazy("left"), False),
    ("left_tolerance", gettext_lazy("left, ±"), True),
    ("right", gettext_lazy("right"), False),
    ("right_tolerance", gettext_lazy("right, ±"), True),
    ("cross", gettext_lazy("cross or total"), False),
    ("cross_tolerance", gettext_lazy("cross or total, ±"), True),
)
NO_LEFT = gettext_lazy("Enter the left figure too, or leave the whole line empty.")
NO_FIGURE = gettext_lazy("Enter at least one figure.")


class TargetForm(JoinedForm, TypedForm):
    use = forms.ChoiceField(label=gettext_lazy("Use"), choices=Use.choices)
    kind = forms.ChoiceField(label=gettext_lazy("Figures"), choices=TargetKind.choices)
    source = forms.CharField(
        label=gettext_lazy("Source"),
        max_length=200,
        help_text=gettext_lazy("The book and page, or who in the shop chose them."),
    )
    dated = forms.DateField(label=gettext_lazy("As of"), widget=DateInput())
    notes = forms.CharField(
        label=gettext_lazy("Notes"), required=False, widget=forms.Textarea({"rows": 2})
    )
    toe_unit = forms.ChoiceField(
        label=gettext_lazy("Toe without a unit is in"), choices=ToeUnit.choices
    )
    toe_diameter = TypedField(
        "length", label=gettext_lazy("Diameter where toe is measured, mm"), signed=False
    )

    def __init__(self, *args: Any, sheet: TargetSheet | None = None, **kwargs: Any) -> None:
        self.sheet = sheet
        kwargs["initial"] = {**self._initial(), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        if sheet is not None:
            for name in ("use", "kind"):
                self.fields[name].disabled = True
        for axle in Axle.values:
            self._add_axle(axle)
        self.bind_read_back()

    def _initial(self) -> dict[str, Any]:
        if self.sheet is None:
            return {"kind": TargetKind.SHOP, "toe_unit": ToeUnit.DEGREES}
        sheet = self.sheet
        initial: dict[str, Any] = {
            name: getattr(sheet, name)
            for name in ("use", "kind", "source", "dated", "notes", "toe_unit")
        }
        if sheet.toe_diameter_mm is not None:
            initial["toe_diameter"] = short(sheet.toe_diameter_mm)
        for axle, camber_method in sheet.camber_by.items():
            is_rod = camber_method.startswith(ROD_PREFIX)
            initial[f"{axle}_camber_by"] = ROD if is_rod else camber_method
            initial[f"{axle}_camber_rod"] = camber_method.removeprefix(ROD_PREFIX) if is_rod else ""
        for figure in sheet.figures.all():
            for name, text in figure.typed.items():
                initial[f"{figure.axle}_{figure.quantity}_{name}"] = text
        return initial

    def _add_axle(self, axle: str) -> None:
        where = axle_here(axle)
        for quantity in AIMED[axle]:
            label = str(Aimed(quantity).label).split(",")[0]
            for name, called, is_tolerance in CELLS:
                field = TypedField(
                    _kind(quantity), label=f"{label}, {where}, {called}", signed=not is_tolerance
                )
                self.fields[f"{axle}_{quantity}_{name}"] = field
        self.fields[f"{axle}_camber_by"] = forms.ChoiceField(
            label=f"{_('Camber set with')}, {where}",
            required=False,
            choices=[
                ("", _("not stated")),
                *((word, words) for word, words, _read in CAMBER_METHODS),
            ],
        )
        self.fields[f"{axle}_camber_rod"] = forms.CharField(
            label=f"{_('Name of the link')}, {where}", required=False, max_length=50
        )

    @property
    def is_edit(self) -> bool:
        return self.sheet is not None

    # ---- for the page

    @property
    def axles(self) -> list[dict[str, Any]]:
        """Rows of each axle's table of fields, and how its camber is set."""
        return [
            {
                "title": str(Axle(axle).label),
                "rows": [
                    {
                        "title": str(Aimed(quantity).label),
                        "unit": "mm" if quantity == Aimed.RIDE_HEIGHT else _("degrees"),
                        "cells": [self[f"{axle}_{quantity}_{name}"] for name, *_rest in CELLS],
                    }
                    for quantity in AIMED[axle]
                ],
                "camber_method": [self[f"{axle}_camber_by"], self[f"{axle}_camber_rod"]],
            }
            for axle in Axle.values
        ]

    # ---- what was typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        diameter = self.read("toe_diameter", *reader_of("toe_diameter", "", None))
        self.diameter_mm = diameter.value if diameter else None
        found = (self._figure(axle, quantity) for axle in Axle.values for quantity in AIMED[axle])
        self.figures = [figure for figure in found if figure is not None]
        self.camber_by = {
            axle: self._camber_method(axle) for axle in Axle.values if self._camber_method(axle)
        }
        if not self.figures and not self.errors:
            self.add_error(None, NO_FIGURE)
        return cleaned

    def _camber_method(self, axle: str) -> str:
        camber_method = self.cleaned_data.get(f"{axle}_camber_by") or ""
        rod = (self.cleaned_data.get(f"{axle}_camber_rod") or "").strip()
        return (
            f"{ROD_PREFIX}{rod}"
            if camber_method == ROD and rod
            else ""
            if camber_method == ROD
            else camber_method
        )

    def _figure(self, axle: str, quantity: str) -> Figure | None:
        """One line of the table; empty fields on the right copy the left."""
        typed = {
            name: text
            for name, *_rest in CELLS
            if (text := (self.cleaned_data.get(f"{axle}_{quantity}_{name}") or "").strip())
        }
        numbers = {name: self._number(axle, quantity, name) for name in typed}
        aimed = [name for name in typed if not name.endswith("tolerance")]
        if not aimed:
            return None
        left = numbers.get("left")
        if left is None:
            if "left" not in typed:
                self.add_error(f"{axle}_{quantity}_left", NO_LEFT)
            return None
        right = numbers.get("right")
        right = left if right is None else right
        tolerance = numbers.get("left_tolerance")
        tolerance = TOLERANCES[quantity] if tolerance is None else tolerance
        other = numbers.get("right_tolerance")
        cross = numbers.get("cross")
        follows = left + right if quantity == Aimed.TOE else left - right
        if cross is not None and abs(cross - follows) > SAME:
            text = (
                _("Left and right add up to {figure}. Leave the total empty or correct it.")
                if quantity == Aimed.TOE
                else _("Left minus right is {figure}. Leave the cross empty or correct it.")
            )
            self.add_error(f"{axle}_{quantity}_cross", text.format(figure=_said(quantity, follows)))
        return Figure(
            axle=axle,
            quantity=quantity,
            left=left,
            right=right,
            left_tolerance=tolerance,
            right_tolerance=tolerance if other is None else other,
            cross=follows,
            cross_tolerance=numbers.get("cross_tolerance"),
            typed=typed,
        )

    def _number(self, axle: str, quantity: str, name: str) -> float | None:
        toe_unit = self.cleaned_data.get("toe_unit") or units.DEGREES
        reader, say = reader_of(_kind(quantity), toe_unit, self.diameter_mm)
        number = self.read(f"{axle}_{quantity}_{name}", reader, say)
        if number is not None and name.endswith("tolerance") and number.value < 0:
            self.add_error(f"{axle}_{quantity}_{name}", NEGATIVE)
            return None
        return number.value if number is not None else None


def _kind(quantity: str) -> str:
    return "change" if quantity == Aimed.RIDE_HEIGHT else str(Quantity(quantity).value)


def _said(quantity: str, value: float) -> str:
    if quantity == Aimed.RIDE_HEIGHT:
        return figures.format_mm(value)
    return figures.format_degrees(value)
