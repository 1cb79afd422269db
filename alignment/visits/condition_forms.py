"""The conditions of a visit on its form: the car's, the rack's, and how the rack writes toe."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.parsers import reader_of
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.geometry import units
from alignment.models import RackVisit, Stage, ToePlace, ToeReference, ToeUnit
from shop.languages import figures
from shop.models import WorkOrder

#: Form fields that the visit has under the same name.
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
#: Usual words, offered after those of the order's visits.
USUAL = {
    "fuel": (
        gettext_lazy("full tank, car empty"),
        gettext_lazy("half a tank, car empty"),
        gettext_lazy("a quarter tank, car empty"),
    ),
    "ballast": (gettext_lazy("none"), gettext_lazy("75 kg in the driver's seat")),
    "tyre_pressure": (gettext_lazy("cold"), gettext_lazy("warm")),
}
MOMENT = "%Y-%m-%dT%H:%M"
ACCURACY_RANGE = gettext_lazy("Must be between 0 and 5°.")
#: A clock may run ahead by this much.
AHEAD = dt.timedelta(minutes=15)


class MomentInput(forms.DateTimeInput):
    input_type = "datetime-local"

    def __init__(self) -> None:
        super().__init__(format=MOMENT)


class ConditionsForm(TypedForm):
    """Fields of the car and the rack, and what is understood of them."""

    visit: RackVisit | None

    stage = forms.ChoiceField(label=gettext_lazy("Stage"), choices=Stage.choices)
    at = forms.DateTimeField(
        label=gettext_lazy("Measured at"),
        required=False,
        widget=MomentInput,
        error_messages={
            "invalid": gettext_lazy("Not a date with a time. Type it as 2026-03-01 09:30.")
        },
    )
    mileage = TypedField("mileage", label=gettext_lazy("Mileage, km"), signed=False)
    fuel = forms.CharField(label=gettext_lazy("Fuel and load"), max_length=120, required=False)
    ballast = forms.CharField(
        label=gettext_lazy("Ballast or driver weight"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("For example: 75 kg in the driver's seat."),
    )
    tyre_pressure = forms.CharField(
        label=gettext_lazy("Tyre condition"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("Cold or warm. Enter the pressures in the table."),
    )
    temperature = TypedField("temperature", label=gettext_lazy("Temperature, °C"))
    steering_ahead = forms.BooleanField(
        label=gettext_lazy("Steering wheel straight ahead and held"), required=False
    )
    level = forms.BooleanField(
        label=gettext_lazy("Rack level, plates free, springs settled"), required=False
    )
    rack_name = forms.CharField(label=gettext_lazy("Rack"), max_length=80, required=False)
    accuracy = TypedField("accuracy", label=gettext_lazy("Rack accuracy, ± °"), signed=False)
    toe_unit = forms.ChoiceField(
        label=gettext_lazy("Toe without a unit is in"),
        choices=ToeUnit.choices,
        help_text=gettext_lazy("A unit typed with the number takes precedence."),
    )
    toe_place = forms.ChoiceField(
        label=gettext_lazy("Toe as a length is measured at"),
        choices=ToePlace.choices,
        required=False,
    )
    toe_diameter = TypedField(
        "toe_diameter",
        label=gettext_lazy("Diameter there"),
        help_text=gettext_lazy(
            'Needed for toe in mm or inches: 600, a rim as 17", a tyre as 225/45R17.'
        ),
    )
    toe_reference = forms.ChoiceField(
        label=gettext_lazy("Front toe counted from"), choices=ToeReference.choices
    )
    steering_ratio = TypedField(
        "ratio",
        label=gettext_lazy("Steering ratio"),
        signed=False,
        help_text=gettext_lazy("For example 15.5."),
    )
    notes = forms.CharField(
        label=gettext_lazy("Notes"), required=False, widget=forms.Textarea({"rows": 3})
    )

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
        """Words to choose from: those of the order's visits first, then the usual ones."""
        visits = list(order.rack_visits.all())
        said = {name: [getattr(visit, name) for visit in visits] for name in USUAL}
        offered = {name: [*reversed(said[name]), *map(str, USUAL[name])] for name in USUAL}
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
        """Whether the rack's fields have to be filled in or corrected."""
        return not self["accuracy"].value() or any(self[name].errors for name in self.rack)

    def clean_at(self) -> dt.datetime | None:
        at: dt.datetime | None = self.cleaned_data["at"]
        if at is not None and at > timezone.now() + AHEAD:
            raise forms.ValidationError(_("This date is in the future."))
        return at

    def clean_conditions(self) -> None:
        """Read the fields of the rack and the car; to be called before readings are read."""
        self.measured_at = str(self.cleaned_data.get("toe_place") or ToePlace.STATED)
        self.diameter_mm = self._clean_diameter(self.measured_at)
        self.accuracy_deg = self._clean_accuracy()
        self.typed_conditions = self._clean_conditions()

    def _clean_diameter(self, place: str) -> float | None:
        reader, say = reader_of("toe_diameter", "", None, place)
        self.diameter_typed = (self.cleaned_data.get("toe_diameter") or "").strip()
        diameter = self.read("toe_diameter", reader, say)
        return diameter.value if diameter else None

    def _clean_accuracy(self) -> float | None:
        number = self.read("accuracy", units.parse_angle, figures.format_degrees)
        if number is None:
            return None
        if not 0 <= number.value <= 5:
            self.add_error("accuracy", ACCURACY_RANGE)
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
        values["toe_place"] = self.measured_at
        values["toe_diameter_mm"] = self.diameter_mm
        values["toe_diameter_typed"] = self.diameter_typed
        values.update(self.typed_conditions)
        if self.accuracy_deg is not None:
            values["accuracy_deg"] = self.accuracy_deg
        if self.cleaned_data.get("at") is not None:
            values["at"] = self._at()
        return values

    def _at(self) -> dt.datetime:
        """The field shows minutes: an unchanged time keeps its seconds."""
        at: dt.datetime = self.cleaned_data["at"]
        if self.visit is not None and self.visit.at.replace(second=0, microsecond=0) == at:
            return self.visit.at
        return at
