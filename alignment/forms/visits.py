"""The form of a visit to the rack: conditions, readings and adjuster positions."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from functools import partial
from typing import Any

from django import forms

from alignment.forms.readers import bare_number, reader_of
from alignment.forms.typed import TypedField, TypedForm
from alignment.geometry import units
from alignment.geometry.units import Understood
from alignment.models import (
    AXLE_CORNERS,
    LENGTHS,
    PlanAxle,
    PlannedSetting,
    Quantity,
    RackVisit,
    Stage,
    ToeReference,
    ToeUnit,
)
from alignment.questions import questions_about
from alignment.words import ADJUSTER_LABELS, CORNER_WORDS, adjuster_label
from shop.models import WorkOrder

#: What a rack gives, in the order in which it gives it.
ENTRY_ROWS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (PlanAxle.FRONT, (Quantity.CAMBER, Quantity.CASTER, Quantity.SAI, Quantity.TOE)),
    (PlanAxle.REAR, (Quantity.CAMBER, Quantity.TOE)),
    (PlanAxle.FRONT, (Quantity.RIDE_HEIGHT, Quantity.WHEELBASE)),
    (PlanAxle.REAR, (Quantity.RIDE_HEIGHT,)),
)
ENTRY_TITLES = ("Front axle", "Rear axle", "Front, heights and wheelbase", "Rear, height")
HINTS = {
    Quantity.CAMBER: "°, minus is top inboard",
    Quantity.CASTER: "°, plus is top rearward",
    Quantity.SAI: "°",
    Quantity.TOE: "plus is toe-in, also on the right",
    Quantity.RIDE_HEIGHT: "mm, hub centre to fender lip",
    Quantity.WHEELBASE: "mm",
}
MOST_POSITIONS = 12


@dataclass(frozen=True)
class EntryRow:
    """One line of the entry table; bound fields, left and right."""

    label: str
    hint: str
    left: Any
    right: Any
    name: Any = None
    name_is_typed: bool = False

    @property
    def sides(self) -> tuple[Any, Any]:
        return self.left, self.right


class VisitForm(TypedForm):
    stage = forms.ChoiceField(label="When", choices=Stage.choices)
    rack_name = forms.CharField(label="Rack", max_length=80, required=False)
    accuracy = TypedField("accuracy", label="Its accuracy, ± °", signed=False)
    toe_unit = forms.ChoiceField(
        label="Toe without a unit is in",
        choices=ToeUnit.choices,
        help_text="A unit typed with the number always wins.",
    )
    toe_diameter = TypedField(
        "length",
        label="Diameter where toe is measured, mm",
        signed=False,
        help_text="Needed for toe in millimetres or inches.",
    )
    toe_reference = forms.ChoiceField(
        label="Front toe is counted from", choices=ToeReference.choices
    )
    tyre_pressure = forms.CharField(label="Tyre pressures set to", max_length=120, required=False)
    fuel = forms.CharField(label="Fuel and load", max_length=120, required=False)
    steering_ahead = forms.BooleanField(
        label="Steering wheel straight ahead and held", required=False
    )
    notes = forms.CharField(label="Notes", required=False, widget=forms.Textarea({"rows": 3}))
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    entry_key = forms.UUIDField(widget=forms.HiddenInput, required=False)

    conditions = (
        "stage",
        "rack_name",
        "accuracy",
        "toe_unit",
        "toe_diameter",
        "toe_reference",
        "tyre_pressure",
        "fuel",
        "steering_ahead",
    )

    def __init__(
        self,
        *args: Any,
        order: WorkOrder,
        visit: RackVisit | None = None,
        plans: list[PlannedSetting] | None = None,
        **kwargs: Any,
    ) -> None:
        self.order, self.visit = order, visit
        self.plans = {plan.axle: plan for plan in plans or []}
        kwargs["initial"] = {**self._initial(), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        for _axle, quantities in ENTRY_ROWS:
            for quantity in quantities:
                for corner in AXLE_CORNERS[_axle]:
                    self._add_reading(quantity, corner)
        self._add_positions()
        self.bind_read_back()

    # ---- what the form starts with

    def _initial(self) -> dict[str, Any]:
        if self.visit is None:
            return {"entry_key": uuid.uuid4(), **self._rack_of_last_visit()}
        visit = self.visit
        initial: dict[str, Any] = {
            name: getattr(visit, name)
            for name in (
                "stage",
                "rack_name",
                "toe_unit",
                "toe_reference",
                "tyre_pressure",
                "fuel",
                "steering_ahead",
                "notes",
                "version",
                "entry_key",
            )
        }
        initial["accuracy"] = f"{visit.accuracy_deg:g}"
        initial["toe_diameter"] = _plain(visit.toe_diameter_mm)
        for reading in visit.readings.all():
            initial[f"{reading.quantity}_{reading.corner}"] = reading.typed
        return initial

    def _rack_of_last_visit(self) -> dict[str, Any]:
        """The rack is the same as yesterday; the conditions of the car are not."""
        last = RackVisit.objects.order_by("-at", "-pk").first()
        if last is None:
            return {"toe_unit": ToeUnit.DEGREES, "toe_reference": ToeReference.THRUST}
        return {
            "rack_name": last.rack_name,
            "accuracy": f"{last.accuracy_deg:g}",
            "toe_unit": last.toe_unit,
            "toe_diameter": _plain(last.toe_diameter_mm),
            "toe_reference": last.toe_reference,
        }

    def _add_reading(self, quantity: str, corner: str) -> None:
        label = f"{Quantity(quantity).label}, {CORNER_WORDS[corner]}".replace(
            "Toe, per wheel", "Toe"
        )
        kind = "length" if quantity in LENGTHS else str(Quantity(quantity).value)
        signed = quantity not in (*LENGTHS, Quantity.SAI)
        self.fields[f"{quantity}_{corner}"] = TypedField(kind, label=label, signed=signed)

    def _add_positions(self) -> None:
        self._position_names: dict[str, list[str]] = {}
        for axle, corners in AXLE_CORNERS.items():
            names = self._names_sent(axle) if self.is_bound else self._names_offered(axle)
            self._position_names[axle] = names
            for index, name in enumerate(names):
                prefix = f"pos_{axle}_{index}"
                known = name in ADJUSTER_LABELS or name.startswith("rod:")
                self.fields[f"{prefix}_name"] = forms.CharField(
                    label=f"Another adjuster, {axle}",
                    required=False,
                    max_length=60,
                    initial=name,
                    widget=forms.HiddenInput if known else forms.TextInput,
                )
                for corner in corners:
                    self.fields[f"{prefix}_{corner}"] = TypedField(
                        "position",
                        label=f"{adjuster_label(name) or 'Another adjuster'}, "
                        f"{CORNER_WORDS[corner]}",
                        max_length=60,
                        initial=self._position_typed(corner, name),
                    )

    def _names_sent(self, axle: str) -> list[str]:
        """The rows that the page had, whatever the order's parts are by now."""
        names = []
        for index in range(MOST_POSITIONS):
            key = f"pos_{axle}_{index}_name"
            if key not in self.data:
                break
            names.append(str(self.data[key]).strip()[:60])
        return names

    def _names_offered(self, axle: str) -> list[str]:
        """Adjusters recorded, those of the order's parts and means, toe links, one spare."""
        names: list[str] = []
        if self.visit is not None:
            names += [
                p.adjuster for p in self.visit.positions.all() if p.corner in AXLE_CORNERS[axle]
            ]
        names += (
            self.order.lines.filter(part__axle__in=(axle, "any"))
            .exclude(part__adjuster="")
            .values_list("part__adjuster", flat=True)
        )
        if axle in self.plans:
            names += _adjusters_of_plan(self.plans[axle])
        names.append("toe_link_mm")
        offered = [name for name in dict.fromkeys(names) if name != "ride_height_mm"]
        return [*offered[: MOST_POSITIONS - 1], ""]

    def _position_typed(self, corner: str, name: str) -> str:
        if self.visit is None or not name:
            return ""
        for position in self.visit.positions.all():
            if (position.corner, position.adjuster) == (corner, name):
                return position.typed
        return ""

    # ---- for the page

    @property
    def condition_fields(self) -> list[Any]:
        return [self[name] for name in self.conditions]

    @property
    def entry_groups(self) -> list[tuple[str, list[EntryRow]]]:
        groups = []
        for title, (axle, quantities) in zip(ENTRY_TITLES, ENTRY_ROWS, strict=True):
            left, right = AXLE_CORNERS[axle]
            rows = [
                EntryRow(
                    str(Quantity(quantity).label),
                    HINTS[Quantity(quantity)],
                    self[f"{quantity}_{left}"],
                    self[f"{quantity}_{right}"],
                )
                for quantity in quantities
            ]
            groups.append((title, rows))
        return groups

    @property
    def position_groups(self) -> list[tuple[str, list[EntryRow]]]:
        groups = []
        for axle, names in self._position_names.items():
            left, right = AXLE_CORNERS[axle]
            rows = []
            for index, name in enumerate(names):
                prefix = f"pos_{axle}_{index}"
                named = self[f"{prefix}_name"]
                rows.append(
                    EntryRow(
                        adjuster_label(name),
                        "",
                        self[f"{prefix}_{left}"],
                        self[f"{prefix}_{right}"],
                        named,
                        not named.is_hidden,
                    )
                )
            groups.append((str(PlanAxle(axle).label), rows))
        return groups

    # ---- what was typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        diameter = self.read(
            "toe_diameter", units.parse_length, partial(units.format_mm, signed=False)
        )
        if diameter is not None and diameter.value <= 0:
            self.add_error("toe_diameter", "A diameter is more than nothing.")
            diameter = None
        self.diameter_mm = diameter.value if diameter else None
        self.accuracy_deg = self._clean_accuracy()
        self.readings = self._clean_readings(cleaned.get("toe_unit") or units.DEGREES)
        self.positions = self._clean_positions()
        asked = questions_about(
            self.readings,
            targets=self._targets(cleaned.get("stage", "")),
            bare_toe_unit=cleaned.get("toe_unit") or units.DEGREES,
            toe_diameter_mm=self.diameter_mm,
        )
        self.ask((f"{q.fields[0][1]}_{q.fields[0][0]}", q) for q in asked)
        if not self.readings and not self.positions and not self.errors:
            self.add_error(None, "There is no reading yet: type at least one. Zero is a reading.")
        return cleaned

    def _clean_accuracy(self) -> float | None:
        number = self.read("accuracy", units.parse_angle, units.format_degrees)
        if number is None:
            return None
        if not 0 <= number.value <= 5:
            self.add_error("accuracy", "The accuracy of a rack lies between 0 and 5°.")
            return None
        return number.value

    def _clean_readings(self, toe_unit: str) -> dict[tuple[str, str], Understood]:
        found = {}
        for axle, quantities in ENTRY_ROWS:
            for quantity in quantities:
                reader, say = reader_of(quantity, toe_unit, self.diameter_mm)
                for corner in AXLE_CORNERS[axle]:
                    name = f"{quantity}_{corner}"
                    number = self.read(name, reader, say)
                    if number is None:
                        continue
                    if quantity in LENGTHS and number.value <= 0:
                        self.add_error(name, "A height or a wheelbase is more than nothing.")
                        continue
                    found[corner, str(Quantity(quantity).value)] = number
        return found

    def _clean_positions(self) -> dict[tuple[str, str], Understood]:
        found: dict[tuple[str, str], Understood] = {}
        for axle, names in self._position_names.items():
            for index, _name in enumerate(names):
                prefix = f"pos_{axle}_{index}"
                adjuster = (self.cleaned_data.get(f"{prefix}_name") or "").strip()
                for corner in AXLE_CORNERS[axle]:
                    number = self.read(f"{prefix}_{corner}", units.parse_position, bare_number)
                    if number is None:
                        continue
                    if not adjuster:
                        self.add_error(f"{prefix}_name", "Say which adjuster this is.")
                    elif (corner, adjuster) in found:
                        self.add_error(f"{prefix}_name", "This adjuster is in the table twice.")
                    else:
                        found[corner, adjuster] = number
        return found

    def _targets(self, stage: str) -> dict[tuple[str, str], float]:
        """Targets to hold signs against: only once the work has begun."""
        if stage == Stage.BEFORE:
            return {}
        targets: dict[tuple[str, str], float] = {}
        for axle, plan in self.plans.items():
            for corner in AXLE_CORNERS[axle]:
                targets[corner, str(Quantity.TOE.value)] = plan.toe_deg
                if plan.camber_deg is not None:
                    targets[corner, str(Quantity.CAMBER.value)] = plan.camber_deg
        return targets

    def conditions_cleaned(self) -> dict[str, Any]:
        """For ``visit_save``; what was left empty takes the model's default."""
        names = ("stage", "rack_name", "toe_unit", "toe_reference", "tyre_pressure", "fuel")
        values = {name: self.cleaned_data[name] for name in (*names, "steering_ahead", "notes")}
        values["toe_diameter_mm"] = self.diameter_mm
        values["accepted"] = self.accepted
        if self.accuracy_deg is not None:
            values["accuracy_deg"] = self.accuracy_deg
        return values

    def meet(self, standing: RackVisit) -> None:
        """Show what somebody else saved beside what is in the form; the next press overwrites."""
        theirs = {f"{r.quantity}_{r.corner}": r.typed for r in standing.readings.all()}
        self.theirs = []
        for name, field in self.fields.items():
            if not isinstance(field, TypedField) or name.startswith("pos_"):
                continue
            if name in ("accuracy", "toe_diameter"):
                continue
            mine, other = (self.cleaned_data.get(name) or "").strip(), theirs.get(name, "")
            if mine != other:
                self.theirs.append((str(field.label), other or "empty", mine or "empty"))
        self.put("version", str(standing.version))


def _plain(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _adjusters_of_plan(plan: PlannedSetting) -> list[str]:
    by_means = {
        "top_mount": "top_mount_in_mm",
        "lower_arm": "lower_arm_out_mm",
        "upper_arm": "upper_arm_in_mm",
        "knuckle": "knuckle_camber_deg",
    }
    names = [name for name in plan.adjusters if name in ADJUSTER_LABELS]
    names += [f"rod:{rod}" for rod in plan.adjusters.get("rods_mm", {})]
    if plan.camber_by:
        names.append(by_means.get(plan.camber_by, plan.camber_by))
    return names
