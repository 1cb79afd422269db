"""The form of a car model: its hubs, papers and original tyres."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import CarModel
from shop.models.mounting import MountingNeeds
from shop.people.torque_range import check_range
from shop.site.corrections import CorrectionForm
from shop.site.fields import CommaDecimalField, CommaFloatField

#: What a car model requires of wheels and tyres; ``shop.models.mounting`` says what each is.
MOUNTING = tuple(field.name for field in MountingNeeds._meta.fields)


class CarModelForm(CorrectionForm[CarModel]):
    corrected: ClassVar = (
        "bolt_count",
        "bolt_circle_mm",
        "centre_bore_mm",
        "thread",
        "wheel_seat",
        "fastener",
        "fastener_length_mm",
        "thread_depth_mm",
        "nut_form",
        "nut_depth_mm",
        "load_index_front",
        "load_index_rear",
        "speed_symbol",
        "top_speed_kmh",
        "axle_load_front_kg",
        "axle_load_rear_kg",
    )
    thread_depth_mm = CommaFloatField(
        label=_("Free depth behind the hub face, mm"),
        required=False,
        min_value=0,
        help_text=_("Bolts: how far one may reach before it meets the brake or the hub's end."),
    )
    nut_depth_mm = CommaFloatField(
        label=_("Depth of a closed nut, mm"),
        required=False,
        min_value=0,
        help_text=_("From the seat to the inside end."),
    )
    wheel_nut_torque_max_nm = CommaDecimalField(
        label=_("Wheel nut torque up to, N·m"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=1,
        help_text=_("Only where the maker gives a range."),
    )
    fastener_length_mm = CommaFloatField(
        label=_("Length of stud or bolt, mm"),
        required=False,
        min_value=0,
        help_text=_("Stud: length beyond the hub face. Bolt: shank length below the seat."),
    )
    axle_load_front_kg = CommaFloatField(
        label=_("Permitted axle load, front, kg"), required=False, min_value=0
    )
    axle_load_rear_kg = CommaFloatField(
        label=_("Permitted axle load, rear, kg"), required=False, min_value=0
    )
    top_speed_kmh = CommaFloatField(label=_("Top speed, km/h"), required=False, min_value=0)
    oe_offset_front_mm = CommaFloatField(label=_("Original offset, front, mm"), required=False)
    oe_offset_rear_mm = CommaFloatField(label=_("Original offset, rear, mm"), required=False)
    drive_apart_percent = CommaFloatField(
        label=_("Coupled tyres, largest difference, %"),
        required=False,
        min_value=0.1,
        max_value=10,
        help_text=_(
            "Difference of rolling circumference that the vehicle's maker allows. If "
            "empty, the shop's front-to-rear rule applies."
        ),
    )
    bolt_circle_mm = CommaDecimalField(label=_("Bolt circle, mm"), required=False, min_value=0)
    centre_bore_mm = CommaDecimalField(label=_("Centre bore, mm"), required=False, min_value=0)
    wheel_nut_torque_nm = CommaDecimalField(
        label=_("Wheel nut torque, N·m"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=1,
    )
    fieldsets: ClassVar = [
        (_("Car model"), ["name", "notes", "steered_notes", "driven_notes"]),
        (
            _("Wheel mounting"),
            [
                "bolt_count",
                "bolt_circle_mm",
                "centre_bore_mm",
                "thread",
                "wheel_nut_torque_nm",
                "wheel_nut_torque_max_nm",
                "wheel_seat",
                "fastener",
                "fastener_length_mm",
                "thread_depth_mm",
                "nut_form",
                "nut_depth_mm",
            ],
        ),
        (
            _("Requirements from the vehicle papers"),
            [
                "load_index_front",
                "load_index_rear",
                "speed_symbol",
                "top_speed_kmh",
                "axle_load_front_kg",
                "axle_load_rear_kg",
            ],
        ),
        (
            _("Original equipment"),
            [
                "oe_tyre_front",
                "oe_tyre_rear",
                "oe_offset_front_mm",
                "oe_offset_rear_mm",
                "driven",
                "drive_apart_percent",
                "drive_apart_source",
                "has_assistance_sensors",
            ],
        ),
    ]

    class Meta:
        model = CarModel
        fields = (
            "name",
            "notes",
            "steered_notes",
            "driven_notes",
            "bolt_count",
            "bolt_circle_mm",
            "centre_bore_mm",
            "thread",
            "wheel_nut_torque_nm",
            "wheel_nut_torque_max_nm",
            *MOUNTING,
            "oe_tyre_front",
            "oe_tyre_rear",
            "has_assistance_sensors",
        )
        widgets: ClassVar = {"notes": forms.Textarea(attrs={"rows": 3})}

    def clean(self) -> dict[str, Any]:
        check_range(self, "wheel_nut_torque_nm", "wheel_nut_torque_max_nm")
        return super().clean()

    def clean_drive_apart_source(self) -> str:
        source: str = self.cleaned_data["drive_apart_source"].strip()
        if self.cleaned_data.get("drive_apart_percent") is not None and not source:
            raise forms.ValidationError(_("Enter the source of the maker's figure."))
        return source
