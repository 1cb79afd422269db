"""The form of a visit to the rack: conditions, readings and adjuster positions."""

from __future__ import annotations

import datetime as dt
import json
import uuid
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.parsers import reader_of
from alignment.fields.plausibility import questions_about
from alignment.fields.table_rows import EntryRow
from alignment.fields.unit_fields import TypedField
from alignment.geometry import units
from alignment.geometry.units import Understood
from alignment.models import (
    LENGTHS,
    OF_AXLE,
    POSITIVE,
    SWEEP,
    PlannedSetting,
    Quantity,
    RackVisit,
    Stage,
    ToePlace,
    ToeReference,
    ToeUnit,
)
from alignment.text.labels import adjuster_here, axle_here, corner_here
from alignment.visits.condition_forms import MOMENT, SAME_NAME, TYPED, ConditionsForm
from alignment.visits.position_forms import PositionsForm
from alignment.visits.questions import question_of_date, questions_about_visit
from alignment.visits.services.sweeps import STEPS
from alignment.visits.sweep_forms import SweepsForm
from alignment.visits.three_way_merge import Merged
from common.corners import AXLE_CORNERS, CORNERS, axle_of
from common.numerals import short
from shop.models import Axle, WorkOrder

#: In the order of the work: before the plates, from the rack, and lengths.
ENTRY_ROWS: tuple[tuple[str | Promise, str, tuple[str, ...]], ...] = (
    (
        gettext_lazy("Tyres and heights, front"),
        Axle.FRONT,
        (Quantity.PRESSURE, Quantity.RIDE_HEIGHT),
    ),
    (
        gettext_lazy("Tyres and heights, rear"),
        Axle.REAR,
        (Quantity.PRESSURE, Quantity.RIDE_HEIGHT),
    ),
    (
        gettext_lazy("Front axle"),
        Axle.FRONT,
        (Quantity.CAMBER, Quantity.CASTER, Quantity.SAI, Quantity.TOE, Quantity.TOE_TOTAL),
    ),
    (gettext_lazy("Rear axle"), Axle.REAR, (Quantity.CAMBER, Quantity.TOE, Quantity.TOE_TOTAL)),
    (gettext_lazy("Lengths for the setback"), Axle.FRONT, (Quantity.WHEELBASE, Quantity.TRACK)),
)
HINTS: dict[Quantity, str | Promise] = {
    Quantity.CAMBER: gettext_lazy("°, minus is top inboard"),
    Quantity.CASTER: gettext_lazy("°, plus is top rearward"),
    Quantity.SAI: "°",
    Quantity.TOE: gettext_lazy("plus is toe-in on both sides"),
    Quantity.TOE_TOTAL: gettext_lazy("both wheels together, where the rack gives no more"),
    Quantity.RIDE_HEIGHT: gettext_lazy("mm, hub centre to arch lip"),
    Quantity.PRESSURE: gettext_lazy("bar, or 35 psi"),
    Quantity.WHEELBASE: gettext_lazy("mm, for the setback"),
    Quantity.TRACK: gettext_lazy("mm, for the setback as an angle"),
}


class VisitForm(ConditionsForm, SweepsForm, PositionsForm):
    """Conditions, readings, sweeps and positions; ``readings`` holds what was read once clean."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    entry_key = forms.UUIDField(
        widget=forms.HiddenInput({"data-carry": "entry_key"}), required=False
    )
    base = forms.CharField(widget=forms.HiddenInput, required=False)

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
        for _title, axle, quantities in ENTRY_ROWS:
            for quantity in quantities:
                for corner in _corners(axle, quantity):
                    self._add_reading(quantity, corner)
        self.add_sweeps()
        self.add_positions()
        self.bind_read_back()
        self.suggest(order)
        if visit is None:
            self.fields["at"].widget.attrs["data-carry"] = "at"
        for name, field in self.fields.items():
            place = self.position_place(name)
            key = f"pos:{place[0]}:{place[1]}" if place is not None and place[1] else name
            field.widget.attrs["data-key"] = key
        if not self.is_bound and visit is not None:
            self.initial["base"] = json.dumps(self.texts(), separators=(",", ":"))

    # ---- what the form starts with

    def _initial(self) -> dict[str, Any]:
        if self.visit is None:
            now = timezone.now().replace(second=0, microsecond=0)
            return {"entry_key": uuid.uuid4(), "at": now, **self._rack_of_last_visit()}
        visit = self.visit
        initial: dict[str, Any] = {
            name: getattr(visit, name) for name in (*SAME_NAME, "at", "version", "entry_key")
        }
        initial["accuracy"] = short(visit.accuracy_deg)
        initial["toe_diameter"] = visit.toe_diameter_typed or _plain(visit.toe_diameter_mm)
        for name, _kind, field in TYPED:
            initial[name] = _plain(getattr(visit, field))
        for reading in visit.readings.all():
            if reading.unit != SWEEP:
                initial[f"{reading.quantity}_{reading.corner}"] = reading.typed
        for corner, typed in visit.sweeps.items():
            for step, *_rest in STEPS:
                initial[f"sweep_{corner}_{step}"] = typed.get(step, "")
        return initial

    def _rack_of_last_visit(self) -> dict[str, Any]:
        """The rack is that of the last visit; the conditions of the car are not."""
        last = RackVisit.objects.order_by("-at", "-pk").first()
        if last is None:
            return {
                "toe_unit": ToeUnit.DEGREES,
                "toe_reference": ToeReference.THRUST,
                "toe_place": ToePlace.STATED,
            }
        return {
            "rack_name": last.rack_name,
            "accuracy": short(last.accuracy_deg),
            "toe_unit": last.toe_unit,
            "toe_place": last.toe_place,
            "toe_diameter": last.toe_diameter_typed or _plain(last.toe_diameter_mm),
            "toe_reference": last.toe_reference,
        }

    def _add_reading(self, quantity: str, corner: str) -> None:
        where = axle_here(axle_of(corner)) if quantity in OF_AXLE else corner_here(corner)
        label = f"{Quantity(quantity).label}, {where}"
        if quantity == Quantity.TOE:
            label = f"{_('Toe')}, {where}"
        kind = "length" if quantity in LENGTHS else str(Quantity(quantity).value)
        signed = quantity not in (*POSITIVE, Quantity.SAI)
        self.fields[f"{quantity}_{corner}"] = TypedField(kind, label=label, signed=signed)

    def texts(self) -> dict[str, str]:
        """The text of each field that people fill, by a name that outlasts a change of rows."""
        found = {}
        for name, field in self.fields.items():
            if name in ("version", "entry_key", "base") or name.endswith("_name"):
                continue
            key, value = name, self[name].value()
            place = self.position_place(name)
            if place is not None:
                if not place[1]:
                    continue
                key = f"pos:{place[0]}:{place[1]}"
            if isinstance(field, forms.BooleanField):
                found[key] = "on" if value else ""
            elif isinstance(value, dt.datetime):
                local = timezone.localtime(value) if timezone.is_aware(value) else value
                found[key] = local.strftime(MOMENT)
            else:
                found[key] = str(value or "").strip().replace("\r\n", "\n")
        return found

    # ---- for the page

    @property
    def entry_groups(self) -> list[tuple[str, list[EntryRow]]]:
        groups = []
        for title, axle, quantities in ENTRY_ROWS:
            rows = [
                EntryRow(
                    str(Quantity(quantity).label),
                    str(HINTS[Quantity(quantity)]),
                    tuple(self[f"{quantity}_{corner}"] for corner in _corners(axle, quantity)),
                )
                for quantity in quantities
            ]
            groups.append((str(title), rows))
        return groups

    # ---- what was typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        toe_unit = cleaned.get("toe_unit") or units.DEGREES
        self.clean_conditions()
        self.readings = self._clean_readings(toe_unit)
        self.sweeps = self.clean_sweeps(
            {c: n.value for (c, q), n in self.readings.items() if q == Quantity.SAI}
        )
        self.positions = self.clean_positions()
        self._ask(cleaned, toe_unit)
        for corner, sweep in self.sweeps.items():
            self.readings.setdefault((corner, str(Quantity.CASTER.value)), sweep.understood)
        if not self.readings and not self.positions and not self.errors:
            self.add_error(None, _("Enter at least one reading. Zero is a reading."))
        return cleaned

    def _clean_readings(self, toe_unit: str) -> dict[tuple[str, str], Understood]:
        found = {}
        for _title, axle, quantities in ENTRY_ROWS:
            for quantity in quantities:
                reader, say = reader_of(quantity, toe_unit, self.diameter_mm)
                for corner in _corners(axle, quantity):
                    name = f"{quantity}_{corner}"
                    number = self.read(name, reader, say)
                    if number is None:
                        continue
                    if quantity in LENGTHS and number.value <= 0:
                        self.add_error(name, _("Must be greater than zero."))
                        continue
                    found[corner, str(Quantity(quantity).value)] = number
        return found

    def _ask(self, cleaned: dict[str, Any], toe_unit: str) -> None:
        asked = questions_about(
            self.readings,
            targets=self._targets(cleaned.get("stage", "")),
            bare_toe_unit=toe_unit,
            toe_diameter_mm=self.diameter_mm,
            swept={
                corner: (sweep.caster_deg, sweep.expanded_deg)
                for corner, sweep in self.sweeps.items()
            },
        )
        asked += questions_about_visit(
            order=self.order,
            visit=self.visit,
            stage=cleaned.get("stage", ""),
            at=cleaned.get("at"),
            mileage_km=self.typed_conditions["mileage_km"],
            read={key: number.value for key, number in self.readings.items()},
            entry_key=cleaned.get("entry_key"),
        )
        if self.visit is None:
            asked += question_of_date(self.order, cleaned.get("at"))
        self.ask((question.field, question) for question in asked)

    def _targets(self, stage: str) -> dict[tuple[str, str], float]:
        """Targets to compare signs with: only once the work has begun."""
        if stage == Stage.BEFORE:
            return {}
        targets: dict[tuple[str, str], float] = {}
        for axle, plan in self.plans.items():
            for corner in AXLE_CORNERS[axle]:
                targets[corner, str(Quantity.TOE.value)] = plan.toe_deg
                if plan.camber_deg is not None:
                    targets[corner, str(Quantity.CAMBER.value)] = plan.camber_deg
        return targets

    def values_cleaned(self) -> dict[str, Any]:
        """Everything of the visit but its numbers, for ``visit_save``."""
        sweeps = {corner: dict(sweep.typed) for corner, sweep in self.sweeps.items()}
        return {**self.conditions_cleaned(), "accepted": self.accepted, "sweeps": sweeps}

    def take(self, texts: dict[str, str]) -> None:
        """Put texts, by their names in ``texts``, into what was sent; for a bound form."""
        places = {self.position_place(name): name for name in self.fields}
        for key, text in texts.items():
            if not key.startswith("pos:"):
                self.put(key, text)
                continue
            _, corner, adjuster = key.split(":", 2)
            name = places.get((corner, adjuster))
            if name is not None:
                self.put(name, text)
                continue
            axle = axle_of(corner)
            index = len(self._position_names[axle])
            self._position_names[axle].append(adjuster)
            self.put(f"pos_{axle}_{index}_name", adjuster)
            self.put(f"pos_{axle}_{index}_{corner}", text)

    def meet(self, merged: Merged, standing: RackVisit) -> None:
        """Show what another person saved beside the form's texts; the next save overwrites it."""
        self.theirs = [
            (self.label_of(key), theirs or _("empty"), mine or _("empty"))
            for key, theirs, mine in merged.conflicts
        ]
        self.put("version", str(standing.version))
        self.put("base", json.dumps(merged.standing, separators=(",", ":")))

    def label_of(self, key: str) -> str:
        """The label of a field by its name in ``texts``."""
        if key.startswith("pos:"):
            _, corner, adjuster = key.split(":", 2)
            where = corner_here(corner) if corner in CORNERS else corner
            return f"{adjuster_here(adjuster)}, {where}"
        return str(self.fields[key].label) if key in self.fields else key


def _corners(axle: str, quantity: str) -> tuple[str, ...]:
    corners = AXLE_CORNERS[axle]
    return corners[:1] if quantity in OF_AXLE else corners


def _plain(value: float | None) -> str:
    return "" if value is None else short(value, 6)
