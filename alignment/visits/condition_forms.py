"""The conditions of a visit on its form: the car's, the rack's, and how the rack writes toe."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.utils import timezone

from alignment.fields.parsers import reader_of
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.geometry import units
from alignment.models import RackVisit, Stage, ToePlace, ToeReference, ToeUnit
from shop.models import WorkOrder

#: Form fields that stand on the visit under the same name.
SAME_NAME = (
    "stage",
    "rack_name",
    "toe_unit",
    "toe_place",
    "toe_reference",
    "tyre_pressure",
    "fuel",
    "ballast",
    "steering_ahead",
    "level",
    "notes",
)
#: Typed conditions: form field, kind of reader, field of the visit.
TYPED = (
    ("mileage", "mileage", "mileage_km"),
    ("temperature", "temperature", "temperature_c"),
    ("steering_ratio", "ratio", "steering_ratio"),
)
#: What is most often said, offered where no earlier visit of the order said anything else.
USUAL = {
    "fuel": ("full tank, car empty", "half a tank, car empty", "a quarter tank, car empty"),
    "ballast": ("none", "75 kg in the driver's seat"),
    "tyre_pressure": ("cold", "warm"),
}
MOMENT = "%Y-%m-%dT%H:%M"
#: A clock that runs ahead by less than this is no mistake.
AHEAD = dt.timedelta(minutes=15)


class MomentInput(forms.DateTimeInput):
    input_type = "datetime-local"

    def __init__(self) -> None:
        super().__init__(format=MOMENT)


class ConditionsForm(TypedForm):
    """Fields about the car and the rack, and what is understood of them."""

    visit: RackVisit | None

    stage = forms.ChoiceField(label="When", choices=Stage.choices)
    at = forms.DateTimeField(
        label="Measured at",
        required=False,
        widget=MomentInput,
        error_messages={"invalid": "This is no date with a time. Type it as 2026-03-01 09:30."},
    )
    mileage = TypedField("mileage", label="Mileage, km", signed=False)
    fuel = forms.CharField(label="Fuel and load", max_length=120, required=False)
    ballast = forms.CharField(
        label="Ballast or people aboard",
        max_length=120,
        required=False,
        help_text="For example: 75 kg in the driver's seat.",
    )
    tyre_pressure = forms.CharField(
        label="Tyres, a word",
        max_length=120,
        required=False,
        help_text="Cold or warm; the pressures go into the table.",
    )
    temperature = TypedField("temperature", label="Temperature, °C")
    steering_ahead = forms.BooleanField(
        label="Steering wheel straight ahead and held", required=False
    )
    level = forms.BooleanField(label="Rack level, plates free, springs settled", required=False)
    rack_name = forms.CharField(label="Rack", max_length=80, required=False)
    accuracy = TypedField("accuracy", label="Its accuracy, ± °", signed=False)
    toe_unit = forms.ChoiceField(
        label="Toe without a unit is in",
        choices=ToeUnit.choices,
        help_text="A unit typed with the number always wins.",
    )
    toe_place = forms.ChoiceField(
        label="Toe as a length is measured at", choices=ToePlace.choices, required=False
    )
    toe_diameter = TypedField(
        "toe_diameter",
        label="Diameter there",
        help_text='Needed for toe in mm or inches: 600, a rim as 17", a tyre as 225/45R17.',
    )
    toe_reference = forms.ChoiceField(
        label="Front toe is counted from", choices=ToeReference.choices
    )
    steering_ratio = TypedField(
        "ratio", label="Steering ratio", signed=False, help_text="If known, as 15.5."
    )
    notes = forms.CharField(label="Notes", required=False, widget=forms.Textarea({"rows": 3}))

    conditions = (
        "stage",
        "at",
        "mileage",
        "fuel",
        "ballast",
        "tyre_pressure",
        "temperature",
        "steering_ahead",
        "level",
    )
    rack = (
        "rack_name",
        "accuracy",
        "toe_unit",
        "toe_place",
        "toe_diameter",
        "toe_reference",
        "steering_ratio",
    )

    def suggest(self, order: WorkOrder) -> None:
        """Words to choose with a finger: those of the order's visits first, then the usual."""
        visits = list(order.rack_visits.all())
        said = {name: [getattr(visit, name) for visit in visits] for name in USUAL}
        offered = {name: [*reversed(said[name]), *USUAL[name]] for name in USUAL}
        km = [visit.mileage_km for visit in visits if visit.mileage_km is not None]
        offered["mileage"] = [str(each) for each in (*reversed(km), order.mileage_km) if each]
        self.suggestions = {
            f"known_{name}": list(dict.fromkeys(word for word in words if word))
            for name, words in offered.items()
        }
        for name in offered:
            self.fields[name].widget.attrs["list"] = f"known_{name}"

    @property
    def condition_fields(self) -> list[Any]:
        return [self[name] for name in self.conditions]

    @property
    def rack_fields(self) -> list[Any]:
        return [self[name] for name in self.rack]

    @property
    def rack_is_open(self) -> bool:
        """Whether how the rack shows things still has to be said, or was refused."""
        return not self["accuracy"].value() or any(self[name].errors for name in self.rack)

    def clean_at(self) -> dt.datetime | None:
        at: dt.datetime | None = self.cleaned_data["at"]
        if at is not None and at > timezone.now() + AHEAD:
            raise forms.ValidationError("This is still to come. Is the date right?")
        return at

    def clean_conditions(self) -> None:
        """What is typed about the rack and the car; to be called before readings are read."""
        self.toe_place = self.cleaned_data.get("toe_place") or ToePlace.STATED
        self.diameter_mm = self._clean_diameter(self.toe_place)
        self.accuracy_deg = self._clean_accuracy()
        self.typed_conditions = self._clean_conditions()

    def _clean_diameter(self, place: str) -> float | None:
        reader, say = reader_of("toe_diameter", "", None, place)
        self.diameter_typed = (self.cleaned_data.get("toe_diameter") or "").strip()
        diameter = self.read("toe_diameter", reader, say)
        return diameter.value if diameter else None

    def _clean_accuracy(self) -> float | None:
        number = self.read("accuracy", units.parse_angle, units.format_degrees)
        if number is None:
            return None
        if not 0 <= number.value <= 5:
            self.add_error("accuracy", "The accuracy of a rack lies between 0 and 5°.")
            return None
        return number.value

    def _clean_conditions(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for name, kind, field in TYPED:
            number = self.read(name, *reader_of(kind, "", None))
            found[field] = None if number is None else number.value
        if found["mileage_km"] is not None:
            found["mileage_km"] = int(found["mileage_km"])
        return found

    def conditions_cleaned(self) -> dict[str, Any]:
        """For ``visit_save``; what was left empty takes the model's default."""
        values = {name: self.cleaned_data[name] for name in SAME_NAME}
        values["toe_place"] = self.toe_place
        values["toe_diameter_mm"] = self.diameter_mm
        values["toe_diameter_typed"] = self.diameter_typed
        values.update(self.typed_conditions)
        if self.accuracy_deg is not None:
            values["accuracy_deg"] = self.accuracy_deg
        if self.cleaned_data.get("at") is not None:
            values["at"] = self._at()
        return values

    def _at(self) -> dt.datetime:
        """The field shows minutes: a time that was not touched keeps its seconds."""
        at: dt.datetime = self.cleaned_data["at"]
        if self.visit is not None and self.visit.at.replace(second=0, microsecond=0) == at:
            return self.visit.at
        return at
