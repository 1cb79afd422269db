"""Forms of the wheel and tyre catalogue, and of use profiles."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from fitment.catalogue.wheel_pools import wheel_pool
from fitment.engine.solid.designation import BadSize, size_of
from fitment.fields.model_forms import NumberModelForm
from fitment.fields.numbers import RowsField
from fitment.models import TyreModel, UseProfile, WheelModel
from shop.site.amount_fields import MoneyField
from shop.site.corrections import CorrectionForm


class WheelForm(CorrectionForm[WheelModel], NumberModelForm[WheelModel]):
    corrected: ClassVar = (
        "bolt_count",
        "bolt_circle_mm",
        "centre_bore_mm",
        "load_rating_kg",
        "seat",
        "pad_mm",
        "barrel_mm",
        "spoke_back",
    )
    price = MoneyField(
        label=_("Price"), required=False, max_digits=9, decimal_places=2, min_value=0
    )
    spoke_back = RowsField(
        columns=("axial from the mounting face", "radius"),
        required=False,
        label=_("Back of the spokes"),
        help_text=_(
            "One point a line from the hub outwards: axial from the mounting face, "
            "outboard positive, then radius, in mm. Leave empty if not traced: brakes are "
            "then unmeasured, not clear."
        ),
    )

    fieldsets: ClassVar = [
        (_("Wheel"), ["name", "maker", "diameter_in", "width_in", "offset_mm"]),
        (_("Inside"), ["flange_mm", "barrel_mm", "spoke_back"]),
        (
            _("Mounting"),
            ["bolt_count", "bolt_circle_mm", "centre_bore_mm", "load_rating_kg", "seat", "pad_mm"],
        ),
        (_("Selling"), ["price", "stock", "notes"]),
    ]

    class Meta:
        model = WheelModel
        fields = (
            "name",
            "maker",
            "diameter_in",
            "width_in",
            "offset_mm",
            "flange_mm",
            "barrel_mm",
            "spoke_back",
            "bolt_count",
            "bolt_circle_mm",
            "centre_bore_mm",
            "load_rating_kg",
            "seat",
            "pad_mm",
            "price",
            "stock",
            "notes",
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.errors:
            wheel = WheelModel(**{name: cleaned.get(name) for name in self.Meta.fields})
            self.refuse_what_the_engine_refuses(wheel.as_document(spacer_mm=0.0), "wheel")
        return cleaned

    def save(self, commit: bool = True) -> WheelModel:
        """Save the wheel; what was measured of it is reckoned from its size, so reckon again."""
        wheel: WheelModel = super().save(commit)
        return wheel_pool(wheel) if commit and wheel.pooled else wheel


class TyreForm(CorrectionForm[TyreModel], NumberModelForm[TyreModel]):
    corrected: ClassVar = ("load_index", "speed_symbol")
    price = MoneyField(
        label=_("Price"), required=False, max_digits=9, decimal_places=2, min_value=0
    )
    profile = RowsField(
        columns=("axial from the centre plane", "radius"),
        required=False,
        label=_("Traced section"),
        help_text=_(
            "One point a line from the outboard bead over the crown to the inboard bead: "
            "axial from the centre plane, then radius, in mm. Leave empty if not traced."
        ),
    )

    fieldsets: ClassVar = [
        (
            _("Tyre"),
            ["name", "maker", "size", "load_index", "speed_symbol", "rim_min_in", "rim_max_in"],
        ),
        (
            _("Measures"),
            [
                "section_width_mm",
                "measuring_rim_in",
                "measured",
                "overall_diameter_mm",
                "tread_width_mm",
                "shoulder_drop_mm",
                "shoulder",
                "protective_rib",
                "snow",
                "profile",
            ],
        ),
        (_("Selling"), ["price", "stock"]),
    ]

    class Meta:
        model = TyreModel
        fields = (
            "name",
            "maker",
            "size",
            "section_width_mm",
            "measuring_rim_in",
            "measured",
            "overall_diameter_mm",
            "tread_width_mm",
            "shoulder_drop_mm",
            "shoulder",
            "protective_rib",
            "snow",
            "profile",
            "load_index",
            "speed_symbol",
            "rim_min_in",
            "rim_max_in",
            "price",
            "stock",
        )

    def clean_size(self) -> str:
        text: str = self.cleaned_data["size"].strip()
        try:
            size_of(text)
        except BadSize as odd:
            raise forms.ValidationError(f"{odd}.") from None
        return text

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("measured") and cleaned.get("section_width_mm") is None:
            self.add_error("section_width_mm", "Say what was measured, or take the tick away.")
        low, high = cleaned.get("rim_min_in"), cleaned.get("rim_max_in")
        if low is not None and high is not None and low > high:
            self.add_error("rim_max_in", "This is narrower than the narrowest.")
        if not self.errors:
            tyre = TyreModel(**{name: cleaned.get(name) for name in self.Meta.fields})
            self.refuse_what_the_engine_refuses(tyre.as_document(), "tyre")
        return cleaned


class UseForm(NumberModelForm[UseProfile]):
    envelope = RowsField(
        columns=("share of lock", "share of bump"),
        label=_("Bump over lock"),
        help_text=_(
            "One point a line, from 0 to 1 of full lock: how much of the bump travel is "
            "used there. Between the points it runs straight."
        ),
    )

    class Meta:
        model = UseProfile
        fields = (
            "envelope",
            "droop_fraction",
            "lateral_g",
            "inner",
            "longitudinal_g",
            "needed_hard_mm",
            "needed_soft_mm",
        )

    def clean_envelope(self) -> list[list[float]]:
        rows: list[list[float]] = self.cleaned_data["envelope"]
        steer = [row[0] for row in rows]
        if len(rows) < 2 or steer[0] != 0 or steer[-1] != 1:
            raise forms.ValidationError("The first point stands at 0 of the lock, the last at 1.")
        if any(a >= b for a, b in pairwise(steer)):
            raise forms.ValidationError("The shares of lock must rise from line to line.")
        if any(not 0 <= value <= 1 for _, value in rows):
            raise forms.ValidationError("Shares of bump lie between 0 and 1.")
        return rows
