"""Visits as CSV, a line for each number, and as JSON with everything that was noted."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from io import StringIO
from typing import Any

from alignment.models import LENGTHS, Quantity, RackVisit
from alignment.text.question_messages import confirmed_said
from alignment.visits.services.derived_quantities import derived_of, expanded, limits_of

FORMAT = "archroom readings 1"
HEAD = (
    "visit",
    "order",
    "vehicle",
    "stage",
    "at",
    "mileage_km",
    "kind",
    "corner",
    "quantity",
    "typed",
    "typed_unit",
    "value",
    "unit",
    "uncertainty",
)
#: Spreadsheets take a cell that begins like this for a formula.
FORMULA = ("=", "@", "\t", "\r")


def unit_of(quantity: str) -> str:
    if quantity == Quantity.PRESSURE:
        return "bar"
    return "mm" if quantity in LENGTHS else "deg"


def as_csv(visits: Iterable[RackVisit]) -> str:
    """Readings and adjuster positions; ``uncertainty`` is twice the standard one."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow(HEAD)
    for visit in visits:
        head = (
            visit.pk,
            visit.order.number,
            _safe(str(visit.vehicle)),
            visit.stage,
            visit.at.isoformat(timespec="seconds"),
            "" if visit.km is None else visit.km,
        )
        for row in _numbers(visit):
            writer.writerow(
                [*head, *(_safe(cell) if isinstance(cell, str) else cell for cell in row)]
            )
    return out.getvalue()


def as_json(visits: Iterable[RackVisit]) -> str:
    document = {"format": FORMAT, "visits": [visit_document(visit) for visit in visits]}
    return json.dumps(document, indent=1, ensure_ascii=False)


def visit_document(visit: RackVisit) -> dict[str, Any]:
    """One visit with its conditions, what was typed, what it means and what follows from it."""
    return {
        "visit": visit.pk,
        "order": visit.order.number,
        "vehicle": {"description": str(visit.vehicle), "vin": visit.vehicle.vin},
        "stage": visit.stage,
        "at": visit.at.isoformat(timespec="seconds"),
        "technician": str(visit.technician),
        "conditions": {
            "mileage_km": visit.km,
            "rack": visit.rack_name,
            "accuracy_deg": visit.accuracy_deg,
            "toe_measured_at": visit.toe_place,
            "toe_diameter_mm": visit.toe_diameter_mm,
            "toe_counted_from": visit.toe_reference,
            "steering_ahead": visit.steering_ahead,
            "level": visit.level,
            "steering_ratio": visit.steering_ratio,
            "tyres": visit.tyre_pressure,
            "fuel": visit.fuel,
            "ballast": visit.ballast,
            "temperature_c": visit.temperature_c,
            "notes": visit.notes,
            "confirmed": confirmed_said(visit.accepted),
        },
        "readings": [_entry(visit, row) for row in _numbers(visit) if row[0] == "reading"],
        "sweeps": visit.sweeps,
        "adjusters": [
            {
                "corner": p.corner,
                "adjuster": p.adjuster,
                "typed": p.typed,
                "value": p.value,
                "unit": p.unit,
            }
            for p in visit.positions.all()
        ],
        "derived": [
            {"name": d.code, "value": d.value, "unit": d.unit, "uncertainty": d.expanded}
            for d in derived_of(visit)
        ],
    }


Row = tuple[str, str, str, str, str, float, str, float | str]


def _numbers(visit: RackVisit) -> list[Row]:
    rows: list[Row] = []
    for r in visit.readings.all():
        uncertainty: float | str = ""
        if unit_of(r.quantity) == "deg":
            uncertainty = round(expanded(limits_of(visit, r.corner, r.quantity)), 6)
        rows.append(
            (
                "reading",
                r.corner,
                r.quantity,
                r.typed,
                r.unit,
                round(r.value, 6),
                unit_of(r.quantity),
                uncertainty,
            )
        )
    for p in visit.positions.all():
        rows.append(("adjuster", p.corner, p.adjuster, p.typed, p.unit, p.value, p.unit, ""))
    return rows


def _entry(visit: RackVisit, row: Row) -> dict[str, Any]:
    names = ("corner", "quantity", "typed", "typed_unit", "value", "unit", "uncertainty")
    entry: dict[str, Any] = dict(zip(names, row[1:], strict=True))
    entry["uncertainty"] = entry["uncertainty"] or None
    return entry


def _safe(text: str) -> str:
    return f"'{text}" if text.startswith(FORMULA) else text
