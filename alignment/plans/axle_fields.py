"""Fields of one axle's plan: what is aimed at, where adjusters stand, and what else is said."""

from __future__ import annotations

from django import forms

from alignment.fields.unit_fields import TypedField
from alignment.models import (
    CAMBER_TOLERANCE_DEG,
    CASTER_TOLERANCE_DEG,
    TOE_TOLERANCE_DEG,
    Bushes,
    PlannedSetting,
)
from alignment.text.labels import ADJUSTER_LABELS, MEANS, ROD_PREFIX, camber_method_text
from shop.models import Axle
from shop.orders.services.cautions import ROLLING_CAUTION

ADJUSTERS = tuple(name for name in ADJUSTER_LABELS if name != "toe_link_mm")
TOLERANCES = {
    "camber_tolerance": CAMBER_TOLERANCE_DEG,
    "toe_tolerance": TOE_TOLERANCE_DEG,
    "caster_tolerance": CASTER_TOLERANCE_DEG,
}

Fields = dict[str, forms.Field]


def axle_fields(axle: str, plan: PlannedSetting | None) -> Fields:
    """The fields of an axle by name; ``plan`` is what it is to be set to so far."""
    where = str(Axle(axle).label).lower()
    return {
        **_angles(where, plan),
        **_adjusters(where),
        **_parts(where),
        **_tolerances(where),
        "notes": forms.CharField(
            label=f"Notes, {where}", required=False, widget=forms.Textarea({"rows": 2})
        ),
        "version": forms.IntegerField(widget=forms.HiddenInput, required=False),
    }


def _angles(where: str, plan: PlannedSetting | None) -> Fields:
    methods = [
        ("", "Nothing: camber is left as it comes"),
        *((word, label) for word, label, _ in MEANS),
    ]
    by = plan.camber_by if plan else ""
    if by and not by.startswith(ROD_PREFIX) and by not in dict(methods):
        methods.append((by, camber_method_text(by)))
    return {
        "camber": TypedField("camber", label=f"Camber, {where}", help_text="Minus is top inboard."),
        "camber_by": forms.ChoiceField(
            label=f"Reached by, {where}", choices=methods, required=False
        ),
        "camber_rod": forms.CharField(
            label=f"Name of the rod, {where}",
            required=False,
            max_length=50,
            help_text="Only when one rod of a multi-link axle sets the camber.",
        ),
        "toe": TypedField(
            "toe",
            label=f"Toe per wheel, {where}",
            help_text="Plus is toe-in. Half of total toe.",
        ),
        "caster": TypedField("caster", label=f"Caster to aim at, {where}"),
    }


def _adjusters(where: str) -> Fields:
    fields: Fields = {}
    for name in ADJUSTERS:
        label, unit = ADJUSTER_LABELS[name]
        shown = "°" if unit == "deg" else "mm"
        kind = "sai" if unit == "deg" else "change"
        fields[name] = TypedField(kind, label=f"{label}, {shown}, {where}")
    fields["ride_height_mm"].help_text = "Against the survey. Lowering is negative: -15."
    fields["bump_stop_mm"].help_text = "As wheel travel that it takes away."
    return fields


def _parts(where: str) -> Fields:
    return {
        "rods": forms.CharField(
            label=f"Rods made longer or shorter, {where}",
            required=False,
            max_length=400,
            widget=forms.Textarea({"rows": 2}),
            help_text="One a line, in millimetres: upper front = -1.5",
        ),
        "bushes": forms.ChoiceField(
            label=f"Bushes, give under side load, {where}",
            choices=[("", "As the survey has it"), *Bushes.choices],
            required=False,
            help_text="An assumption with its own doubt, in place of what was measured on the "
            "pattern, or where nobody measured it.",
        ),
        "rolled_lips": forms.BooleanField(
            label=f"Fender lips rolled, {where}",
            required=False,
            help_text=f"Where the survey says how far a lip turns in. {ROLLING_CAUTION}",
        ),
    }


def _tolerances(where: str) -> Fields:
    fields: Fields = {}
    for name, default in TOLERANCES.items():
        label = name.removesuffix("_tolerance").capitalize()
        field = TypedField("accuracy", label=f"{label} tolerance, ± °, {where}", signed=False)
        field.initial = f"{default:g}"
        fields[name] = field
    return fields
