"""Forms of the records: customers, vehicles, patterns, parts, bays, the shop and its staff."""

from __future__ import annotations

from typing import Any, ClassVar
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.password_validation import validate_password

from shop.models import Bay, CarModel, Customer, Part, ShopSettings, User, Vehicle
from shop.models.mounting import MountingNeeds
from shop.site.fields import CommaDecimalField, CommaFloatField, TimeInput, VinField


class CustomerForm(forms.ModelForm):
    fieldsets: ClassVar = [
        ("The customer", ["name", "phone", "email", "address"]),
        ("How the spec sheet and their page speak to them", ["language", "units", "angles"]),
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


class VehicleForm(forms.ModelForm):
    fieldsets: ClassVar = [
        ("The car", ["description", "plate", "mileage_km", "car_model"]),
        ("Its number", ["vin", "market"]),
    ]

    class Meta:
        model = Vehicle
        fields = ("description", "plate", "mileage_km", "car_model", "vin", "market")
        field_classes: ClassVar = {"vin": VinField}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["vin"].widget.attrs["autocapitalize"] = "characters"
        self.fields["car_model"].empty_label = "not known yet"
        self.fields[
            "car_model"
        ].help_text = (
            "Cars of one body and suspension share a pattern, and what was measured on one of them."
        )
        self.fields["market"].help_text = "The check digit of a VIN binds in North America."


#: What a pattern asks of wheels and tyres; ``shop.models.mounting`` says what each is.
MOUNTING = tuple(field.name for field in MountingNeeds._meta.fields)


class CarModelForm(forms.ModelForm):
    fastener_length_mm = CommaFloatField(
        label="Length of stud or bolt, mm",
        required=False,
        min_value=0,
        help_text="Stud: what stands out of the hub face. Bolt: its shank under the seat.",
    )
    axle_load_front_kg = CommaFloatField(
        label="Permitted axle load, front, kg", required=False, min_value=0
    )
    axle_load_rear_kg = CommaFloatField(
        label="Permitted axle load, rear, kg", required=False, min_value=0
    )
    top_speed_kmh = CommaFloatField(label="Top speed, km/h", required=False, min_value=0)
    oe_offset_front_mm = CommaFloatField(label="Original offset, front, mm", required=False)
    oe_offset_rear_mm = CommaFloatField(label="Original offset, rear, mm", required=False)
    drive_apart_percent = CommaFloatField(
        label="Tyres that the drive joins, apart by at most, %",
        required=False,
        min_value=0.1,
        max_value=10,
        help_text="Difference of circumference that the car's maker allows; left empty, the "
        "shop's rule for front to rear holds.",
    )
    bolt_circle_mm = CommaDecimalField(label="Bolt circle, mm", required=False, min_value=0)
    centre_bore_mm = CommaDecimalField(label="Centre bore, mm", required=False, min_value=0)
    wheel_nut_torque_nm = CommaDecimalField(
        label="Wheel nut torque, N·m", required=False, min_value=0, max_digits=6, decimal_places=1
    )
    fieldsets: ClassVar = [
        ("The pattern", ["name", "notes", "steered_notes", "driven_notes"]),
        (
            "Wheel mounting",
            [
                "bolt_count",
                "bolt_circle_mm",
                "centre_bore_mm",
                "thread",
                "wheel_nut_torque_nm",
                "wheel_seat",
                "fastener",
                "fastener_length_mm",
            ],
        ),
        (
            "What its papers ask for",
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
            "As it left the factory",
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
            *MOUNTING,
            "oe_tyre_front",
            "oe_tyre_rear",
            "has_assistance_sensors",
        )
        widgets: ClassVar = {"notes": forms.Textarea(attrs={"rows": 3})}

    def clean_drive_apart_source(self) -> str:
        source: str = self.cleaned_data["drive_apart_source"].strip()
        if self.cleaned_data.get("drive_apart_percent") is not None and not source:
            raise forms.ValidationError("Say where the maker's figure stands.")
        return source


ADJUSTERS = (
    ("", "Sets nothing"),
    ("top_mount_in_mm", "Top mount inboard, mm"),
    ("top_mount_back_mm", "Top mount rearward, mm"),
    ("lower_arm_out_mm", "Lower arm outboard, mm"),
    ("upper_arm_in_mm", "Upper arm inboard, mm"),
    ("knuckle_camber_deg", "Camber at the knuckle, °"),
    ("toe_link_mm", "Toe link longer, mm"),
    ("ride_height_mm", "Ride height higher, mm"),
    ("bump_stop_mm", "Packer or bump stop, mm"),
)


class PartForm(forms.ModelForm):
    price = CommaDecimalField(min_value=0, max_digits=9, decimal_places=2)
    reach_min = CommaFloatField(label="Reach from", required=False)
    reach_max = CommaFloatField(label="Reach to", required=False)
    step = CommaFloatField(label="Moves in steps of", required=False, min_value=0.001)
    mark_size = CommaFloatField(label="One mark is", required=False, min_value=0.001)
    shim_mm = CommaFloatField(label="One shim is, mm", required=False, min_value=0.01)
    thread_pitch_mm = CommaFloatField(
        label="Pitch of its thread, mm", required=False, min_value=0.1
    )
    bump_mm = CommaFloatField(label="Bump travel, mm", required=False, min_value=0)
    droop_mm = CommaFloatField(label="Droop travel, mm", required=False, min_value=0)
    torque_nm = CommaDecimalField(
        label="Torque, N·m", required=False, min_value=0, max_digits=6, decimal_places=1
    )
    adjuster = forms.ChoiceField(label="What it sets", choices=ADJUSTERS, required=False)
    rod = forms.CharField(
        label="Or the rod that it replaces",
        required=False,
        max_length=30,
        help_text="Its name in the survey of a five-link corner",
    )
    fieldsets: ClassVar = [
        ("The part", ["number", "name", "maker", "kind", "axle", "price", "lead"]),
        ("What it does", ["moves_wheel", "adjuster", "rod", "reach_min", "reach_max"]),
        (
            "How a hand sets it",
            ["step", "mark_size", "shim_mm", "thread_pitch_mm", "threads"],
        ),
        ("If it is a damper", ["bump_mm", "droop_mm", "height_by"]),
        ("How it is fitted", ["torque_nm", "caution"]),
    ]

    class Meta:
        model = Part
        fields = (
            "number",
            "name",
            "maker",
            "kind",
            "axle",
            "price",
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
            "caution",
        )
        widgets: ClassVar = {"caution": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.adjuster.startswith("rod:"):
            self.initial["rod"] = self.instance.adjuster.removeprefix("rod:")
            self.initial["adjuster"] = ""
        self.fields["step"].help_text = "mm, ° at the knuckle; empty where it can stand anywhere"
        self.fields["mark_size"].help_text = "mm, ° at the knuckle, where marks are stamped on it"
        self.fields["bump_mm"].help_text = (
            "Of the wheel, from the height of the survey to the stop, with this damper on. "
            "Empty: the room of this corner stays unmeasured"
        )
        self.fields["droop_mm"].help_text = "From the same height until the damper is at its end"
        self.fields[
            "height_by"
        ].help_text = "A damper that is screwed up and down at its foot takes its stops along"
        self.fields["thread_pitch_mm"].help_text = "For what is turned, for example 1.5"

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("rod"):
            if data.get("adjuster"):
                self.add_error("rod", "A part sets one thing: choose it above or name a rod.")
            data["adjuster"] = f"rod:{data['rod'].strip()}"
        low, high = data.get("reach_min"), data.get("reach_max")
        if low is not None and high is not None and low > high:
            self.add_error("reach_max", "The reach ends before it starts.")
        if (low is not None or high is not None) and not data.get("adjuster"):
            self.add_error("adjuster", "A reach belongs to something that the part sets.")
        if data.get("threads") and data.get("thread_pitch_mm") is None:
            self.add_error("thread_pitch_mm", "Turns need the pitch of the thread.")
        if data.get("adjuster") and not data.get("moves_wheel"):
            self.add_error("moves_wheel", "A part that sets something moves the wheel.")
        return data


class BayForm(forms.ModelForm):
    class Meta:
        model = Bay
        fields = ("name", "has_rack", "in_use")


class ShopForm(forms.ModelForm):
    hourly_rate = CommaDecimalField(min_value=0, max_digits=9, decimal_places=2)
    tax_rate = CommaDecimalField(
        label="Tax rate, %", min_value=0, max_value=100, max_digits=5, decimal_places=2
    )
    timezone = forms.ChoiceField(label="Time zone", required=False)
    fieldsets: ClassVar = [
        ("The shop, as it stands on letters", ["name", "address", "phone", "email"]),
        ("Money", ["currency", "hourly_rate", "tax_rate"]),
        ("Time", ["timezone", "day_starts", "day_ends"]),
        ("After the work", ["retorque_km_from", "retorque_km_to", "next_check_km", "sheet_size"]),
    ]

    class Meta:
        model = ShopSettings
        fields = (
            "name",
            "address",
            "phone",
            "email",
            "currency",
            "hourly_rate",
            "tax_rate",
            "timezone",
            "day_starts",
            "day_ends",
            "retorque_km_from",
            "retorque_km_to",
            "next_check_km",
            "sheet_size",
        )
        widgets: ClassVar = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "day_starts": TimeInput(),
            "day_ends": TimeInput(),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        zones = sorted(zone for zone in available_timezones() if "/" in zone or zone == "UTC")
        self.fields["timezone"].choices = [("", "that of the server"), *((z, z) for z in zones)]

    def clean_currency(self) -> str:
        code = self.cleaned_data["currency"].strip().upper()
        if len(code) != 3 or not code.isalpha() or not code.isascii():
            raise forms.ValidationError("A currency is three letters, for example EUR.")
        return code

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if (
            data.get("day_starts")
            and data.get("day_ends")
            and data["day_starts"] >= data["day_ends"]
        ):
            self.add_error("day_ends", "The day ends before it starts.")
        low, high = data.get("retorque_km_from"), data.get("retorque_km_to")
        if low is not None and high is not None and low > high:
            self.add_error("retorque_km_to", "This is before the start.")
        return data


class StaffForm(forms.ModelForm):
    password = forms.CharField(
        label="Password",
        required=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Leave it empty to keep the present one.",
    )

    class Meta:
        model = User
        fields = ("username", "display_name", "role", "is_active")
        labels: ClassVar = {"username": "Sign-in name", "is_active": "May sign in"}
        help_texts: ClassVar = {"username": "", "is_active": ""}

    def __init__(self, *args: Any, acting: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.acting = acting
        if self.instance.pk is None:
            self.fields["password"].required = True
            self.fields["password"].help_text = "At least ten characters."

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        if password:
            validate_password(password, self.instance)
        return password

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.instance.pk == self.acting.pk:
            if not data.get("is_active"):
                self.add_error("is_active", "You cannot lock yourself out.")
            if data.get("role") != self.acting.role:
                self.add_error("role", "Another manager changes your role.")
        return data

    def save(self, commit: bool = True) -> User:
        user = super().save(commit=False)
        if self.cleaned_data["password"]:
            user.set_password(self.cleaned_data["password"])
        if commit:
            user.save()
        return user
