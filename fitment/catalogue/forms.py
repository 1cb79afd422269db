"""Forms of the wheel and tyre catalogue, of duties, and of an order's wheels."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms

from fitment.catalogue.wheel_pools import wheel_pool
from fitment.engine.checkfile.reader import Node, Problem
from fitment.engine.checkfile.setting import read_tyre, read_wheel
from fitment.engine.model import Wheel
from fitment.engine.solid.designation import BadSize, size_of
from fitment.fields.numbers import NumberField, RowsField
from fitment.models import OrderWheels, TyreModel, UseProfile, WheelModel
from shop.site.fields import CommaDecimalField

if TYPE_CHECKING:
    from shop.models import WorkOrder

AXLES = ("front", "rear")


class NumberModelForm(forms.ModelForm):
    """A model form in which every float is typed as people write numbers."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            if isinstance(field, forms.FloatField) and not isinstance(field, NumberField):
                number = NumberField(
                    label=field.label,
                    required=field.required,
                    help_text=field.help_text,
                    initial=field.initial,
                    min_value=field.min_value,
                    max_value=field.max_value,
                )
                self.fields[name] = number

    def refuse_what_the_engine_refuses(self, corner: Mapping[str, Any], part: str) -> None:
        """Hold the entry against the check file's own rules and put each problem at its field."""
        for problem in part_problems(corner, part):
            name = problem.path.split(".")[0].split("[")[0]
            self.add_error(name if name in self.fields else None, f"{problem.message}.")


def part_problems(document: Mapping[str, Any], part: str) -> list[Problem]:
    """What is wrong with a ``wheel`` or ``tyre`` of a check file; paths start inside it."""
    problems: list[Problem] = []
    table = Node(dict(document), "", problems).table()
    if part == "wheel":
        read_wheel(table)
    else:
        read_tyre(table, _wheel_for(document))
    return problems


def _wheel_for(tyre: Mapping[str, Any]) -> Wheel:
    """A wheel on which this tyre could be measured; blank where its size says nothing."""
    try:
        size = size_of(str(tyre.get("size", "")))
    except BadSize:
        return Wheel(diameter_in=math.nan, width_in=math.nan, offset_mm=0.0)
    width = tyre.get("measuring_rim_in") or size.measuring_rim_in
    return Wheel(diameter_in=size.rim_in, width_in=width, offset_mm=0.0)


class WheelForm(NumberModelForm):
    price = CommaDecimalField(required=False, max_digits=9, decimal_places=2, min_value=0)
    spoke_back = RowsField(
        columns=("axial from the mounting face", "radius"),
        required=False,
        label="Back of the spokes",
        help_text="One point a line from the hub outwards: axial from the mounting face, "
        "outboard positive, then radius, in mm. Leave empty if nobody traced it: brakes are "
        "then unmeasured, not clear.",
    )

    fieldsets: ClassVar = [
        ("Wheel", ["name", "maker", "diameter_in", "width_in", "offset_mm"]),
        ("Inside", ["flange_mm", "barrel_mm", "spoke_back"]),
        (
            "Mounting",
            ["bolt_count", "bolt_circle_mm", "centre_bore_mm", "load_rating_kg", "seat", "pad_mm"],
        ),
        ("Selling", ["price", "stock", "notes"]),
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


class TyreForm(NumberModelForm):
    price = CommaDecimalField(required=False, max_digits=9, decimal_places=2, min_value=0)
    profile = RowsField(
        columns=("axial from the centre plane", "radius"),
        required=False,
        label="Traced section",
        help_text="One point a line from the outboard bead over the crown to the inboard bead: "
        "axial from the centre plane, then radius, in mm. Leave empty if nobody traced it.",
    )

    fieldsets: ClassVar = [
        (
            "Tyre",
            ["name", "maker", "size", "load_index", "speed_symbol", "rim_min_in", "rim_max_in"],
        ),
        (
            "Measures",
            [
                "section_width_mm",
                "measuring_rim_in",
                "measured",
                "overall_diameter_mm",
                "tread_width_mm",
                "shoulder_drop_mm",
                "profile",
            ],
        ),
        ("Selling", ["price", "stock"]),
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


class UseForm(NumberModelForm):
    envelope = RowsField(
        columns=("share of lock", "share of bump"),
        label="Bump over lock",
        help_text="One point a line, from 0 to 1 of the lock: how much of the bump travel is "
        "used there. Between the points it runs straight.",
    )

    class Meta:
        model = UseProfile
        fields = ("envelope", "droop_fraction", "lateral_g", "needed_hard_mm", "needed_soft_mm")

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


class OrderWheelsForm(forms.Form):
    """Wheel, tyre and spacer for both axles; an axle with nothing chosen stays as it is."""

    def __init__(self, *args: Any, order: WorkOrder, **kwargs: Any) -> None:
        self.order = order
        self.rows = {row.axle: row for row in OrderWheels.objects.filter(order=order)}
        super().__init__(*args, **kwargs)
        self.fieldsets = [(f"{axle.capitalize()} axle", self._add(axle)) for axle in AXLES]

    def _add(self, axle: str) -> list[str]:
        row = self.rows.get(axle)
        self.fields[f"{axle}_wheel"] = forms.ModelChoiceField(
            WheelModel.objects.all(),
            label="Wheel",
            required=False,
            initial=row.wheel_id if row else None,
            empty_label="not part of this order",
        )
        self.fields[f"{axle}_tyre"] = forms.ModelChoiceField(
            TyreModel.objects.all(),
            label="Tyre",
            required=False,
            initial=row.tyre_id if row else None,
            empty_label="not part of this order",
        )
        self.fields[f"{axle}_spacer_mm"] = NumberField(
            label="Spacer, mm",
            required=False,
            min_value=0,
            max_value=100,
            initial=row.spacer_mm if row else None,
            help_text="Empty means none.",
        )
        names = [f"{axle}_wheel", f"{axle}_tyre", f"{axle}_spacer_mm"]
        return names + self._add_state(axle, row)

    def _add_state(self, axle: str, row: OrderWheels | None) -> list[str]:
        """In which state the tyre is judged; a new one at rest if nothing is said."""
        for name, label, most, words in (
            ("worn_mm", "Tread worn off, mm", 12, "Empty: judged as new, when it is largest."),
            ("growth_mm", "Growth at speed, mm of radius", 12, "Empty: none."),
        ):
            self.fields[f"{axle}_{name}"] = NumberField(
                label=label,
                required=False,
                min_value=0,
                max_value=most,
                initial=(getattr(row, name) or None) if row else None,
                help_text=words,
            )
        self.fields[f"{axle}_largest_allowed"] = forms.BooleanField(
            label="Judge the largest tyre of this size that the standard allows",
            required=False,
            initial=row.largest_allowed if row else False,
        )
        return [f"{axle}_worn_mm", f"{axle}_growth_mm", f"{axle}_largest_allowed"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for axle in AXLES:
            wheel, tyre = cleaned.get(f"{axle}_wheel"), cleaned.get(f"{axle}_tyre")
            spacer = cleaned.get(f"{axle}_spacer_mm")
            if wheel and not tyre:
                self.add_error(f"{axle}_tyre", "Choose the tyre that goes on this wheel.")
            if not wheel and (tyre or spacer):
                self.add_error(f"{axle}_wheel", "Choose the wheel that this belongs to.")
            if wheel and tyre and (why := rim_mismatch(wheel, tyre)):
                self.add_error(f"{axle}_tyre", why)
        return cleaned

    def choices(self) -> dict[str, OrderWheels | None]:
        """By axle, the unsaved row that was chosen, or None for no choice."""
        return {axle: self._choice(axle) for axle in AXLES}

    def _choice(self, axle: str) -> OrderWheels | None:
        wheel = self.cleaned_data.get(f"{axle}_wheel")
        if wheel is None:
            return None
        return OrderWheels(
            order=self.order,
            axle=axle,
            wheel=wheel,
            tyre=self.cleaned_data[f"{axle}_tyre"],
            spacer_mm=self.cleaned_data.get(f"{axle}_spacer_mm") or 0.0,
            worn_mm=self.cleaned_data.get(f"{axle}_worn_mm") or 0.0,
            growth_mm=self.cleaned_data.get(f"{axle}_growth_mm") or 0.0,
            largest_allowed=bool(self.cleaned_data.get(f"{axle}_largest_allowed")),
        )


def rim_mismatch(wheel: WheelModel, tyre: TyreModel) -> str:
    """Why a tyre's rim code does not suit a wheel; empty if it does or cannot be read."""
    code = tyre.size.upper().split("R")[-1].strip().rstrip("C") if "R" in tyre.size.upper() else ""
    try:
        rim = float(code)
    except ValueError:
        return ""
    if rim != wheel.diameter_in:
        return f"This tyre is for a {rim:g} in rim; the wheel has {wheel.diameter_in:g} in."
    return ""
