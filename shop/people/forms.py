"""Forms of the records: customers, vehicles, car models and parts."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shop.models import Customer, Part, Vehicle
from shop.models.texts import other_languages
from shop.models.vehicles import ADJUSTERS
from shop.people.torque_range import check_range
from shop.site.amount_fields import MoneyField
from shop.site.fields import CommaDecimalField, CommaFloatField, VinField, field_of
from shop.site.joining import JoinedModelForm
from shop.site.text_fields import add_texts, take_texts


class CustomerForm(JoinedModelForm[Customer]):
    fieldsets: ClassVar = [
        (_("Customer"), ["name", "phone", "email", "address"]),
        (_("Language and units of their spec sheet and page"), ["language", "units", "angles"]),
        ("", ["notes"]),
    ]

    class Meta:
        model = Customer
        fields = ("name", "phone", "email", "address", "language", "units", "angles", "notes")
        widgets: ClassVar = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "notes": forms.Textarea(attrs={"rows": 3}),
            "phone": forms.TextInput(attrs={"inputmode": "tel"}),
        }


class VehicleForm(JoinedModelForm[Vehicle]):
    fieldsets: ClassVar = [
        (_("Vehicle"), ["description", "plate", "mileage_km", "car_model"]),
        (_("VIN"), ["vin", "market"]),
    ]

    class Meta:
        model = Vehicle
        fields = ("description", "plate", "mileage_km", "car_model", "vin", "market")
        field_classes: ClassVar = {"vin": VinField}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["vin"].widget.attrs["autocapitalize"] = "characters"
        field_of(self, "car_model", forms.ModelChoiceField).empty_label = _("not chosen")
        self.fields["car_model"].help_text = _(
            "Vehicles with the same body and suspension share a car model and its surveys."
        )
        self.fields["market"].help_text = _("The VIN check digit applies in North America.")


class PartForm(JoinedModelForm[Part]):
    price = MoneyField(label=_("Price"), min_value=0, max_digits=9, decimal_places=2)
    reach_min = CommaFloatField(label=_("Range from"), required=False)
    reach_max = CommaFloatField(label=_("Range to"), required=False)
    step = CommaFloatField(label=_("Adjusts in steps of"), required=False, min_value=0.001)
    mark_size = CommaFloatField(label=_("One mark is"), required=False, min_value=0.001)
    shim_mm = CommaFloatField(label=_("One shim is, mm"), required=False, min_value=0.01)
    thread_pitch_mm = CommaFloatField(
        label=_("Pitch of its thread, mm"), required=False, min_value=0.1
    )
    bump_mm = CommaFloatField(label=_("Bump travel, mm"), required=False, min_value=0)
    droop_mm = CommaFloatField(label=_("Droop travel, mm"), required=False, min_value=0)
    torque_nm = CommaDecimalField(
        label=_("Torque, N·m"), required=False, min_value=0, max_digits=6, decimal_places=1
    )
    torque_max_nm = CommaDecimalField(
        label=_("Torque up to, N·m"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=1,
        help_text=_("Only where the maker gives a range."),
    )
    adjuster = forms.ChoiceField(label=_("Adjusts"), choices=ADJUSTERS, required=False)
    rod = forms.CharField(
        label=_("Or replaces the rod"),
        required=False,
        max_length=30,
        help_text=_("Its name in the survey of a five-link corner"),
    )
    fieldsets: tuple[tuple[str | Promise, list[str]], ...] = (
        (_("Part"), ["number", "name", "maker", "kind", "axle", "price", "supplier", "lead"]),
        (_("Function"), ["moves_wheel", "adjuster", "rod", "reach_min", "reach_max"]),
        (
            _("Adjustment"),
            ["step", "mark_size", "shim_mm", "thread_pitch_mm", "threads"],
        ),
        (_("Damper"), ["bump_mm", "droop_mm", "height_by"]),
        (_("Fitting"), ["torque_nm", "torque_max_nm", "caution"]),
    )
    #: What customers read, in their language where it is given.
    texts = ("name", "caution")

    class Meta:
        model = Part
        fields = (
            "number",
            "name",
            "maker",
            "kind",
            "axle",
            "price",
            "supplier",
            "lead",
            "moves_wheel",
            "adjuster",
            "reach_min",
            "reach_max",
            "step",
            "mark_size",
            "shim_mm",
            "thread_pitch_mm",
            "threads",
            "bump_mm",
            "droop_mm",
            "height_by",
            "torque_nm",
            "torque_max_nm",
            "caution",
        )
        widgets: ClassVar = {"caution": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.adjuster.startswith("rod:"):
            self.initial["rod"] = self.instance.adjuster.removeprefix("rod:")
            self.initial["adjuster"] = ""
        self.fields["step"].help_text = _("mm, or ° at the knuckle; empty if stepless")
        self.fields["mark_size"].help_text = _("mm, or ° at the knuckle, if it has marks")
        self.fields["bump_mm"].help_text = _(
            "Wheel travel from survey height to the stop, with this damper fitted. If "
            "empty, clearance at this corner stays unmeasured."
        )
        self.fields["droop_mm"].help_text = _("From survey height to full extension")
        self.fields["height_by"].help_text = _(
            "A damper adjusted at its lower mount moves its stops too"
        )
        self.fields["thread_pitch_mm"].help_text = _("For threaded adjusters, for example 1.5")
        told = add_texts(self, self.texts, other_languages())
        self.fieldsets = (*self.fieldsets, (_("For customers of another language"), told))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        rod = (data.get("rod") or "").strip()
        if rod and data.get("adjuster"):
            self.add_error("rod", _("A part adjusts one thing. Choose it above or name a rod."))
        elif rod:
            data["adjuster"] = f"rod:{rod}"
        check_range(self, "torque_nm", "torque_max_nm")
        low, high = data.get("reach_min"), data.get("reach_max")
        if low is not None and high is not None and low > high:
            self.add_error("reach_max", _("Must not be less than the start of the range."))
        if (low is not None or high is not None) and not data.get("adjuster"):
            self.add_error("adjuster", _("Choose what the part adjusts, or clear the range."))
        if data.get("threads") and data.get("thread_pitch_mm") is None:
            self.add_error("thread_pitch_mm", _("Enter the thread pitch."))
        if data.get("adjuster") and not data.get("moves_wheel"):
            self.add_error(
                "moves_wheel", _("Must be ticked: a part that adjusts something moves the wheel.")
            )
        take_texts(self, self.texts, other_languages())
        return data
