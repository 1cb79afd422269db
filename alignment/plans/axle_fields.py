"""Fields of one axle's plan: targets, adjusters, parts and tolerances."""

from __future__ import annotations

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.unit_fields import TypedField
from alignment.models import (
    CAMBER_TOLERANCE_DEG,
    CASTER_TOLERANCE_DEG,
    TOE_TOLERANCE_DEG,
    Bushes,
    PlannedSetting,
)
from alignment.text.labels import (
    ADJUSTER_LABELS,
    CAMBER_METHODS,
    ROD_PREFIX,
    adjuster_here,
    axle_here,
    camber_method_text,
)
from shop.languages import speech_of_page
from shop.orders.services.cautions import ROLLING_CAUTION

ADJUSTERS = tuple(name for name in ADJUSTER_LABELS if name != "toe_link_mm")
TOLERANCES = {
    "camber_tolerance": CAMBER_TOLERANCE_DEG,
    "toe_tolerance": TOE_TOLERANCE_DEG,
    "caster_tolerance": CASTER_TOLERANCE_DEG,
}
TOLERANCE_LABELS = {
    "camber_tolerance": gettext_lazy("Camber tolerance, ± °"),
    "toe_tolerance": gettext_lazy("Toe tolerance, ± °"),
    "caster_tolerance": gettext_lazy("Caster tolerance, ± °"),
}

Fields = dict[str, forms.Field]


def axle_fields(axle: str, plan: PlannedSetting | None) -> Fields:
    """The fields of an axle by name; ``plan`` is its plan so far."""
    where = axle_here(axle)
    return {
        **_angles(where, plan),
        **_adjusters(where),
        **_parts(where),
        **_tolerances(where),
        "notes": forms.CharField(
            label=_of(_("Notes"), where), required=False, widget=forms.Textarea({"rows": 2})
        ),
        "version": forms.IntegerField(widget=forms.HiddenInput, required=False),
    }


def _angles(where: str, plan: PlannedSetting | None) -> Fields:
    methods: list[tuple[str, str | Promise]] = [
        ("", _("Not set")),
        *((word, label) for word, label, _ in CAMBER_METHODS),
    ]
    by = plan.camber_by if plan else ""
    if by and not by.startswith(ROD_PREFIX) and by not in dict(methods):
        methods.append((by, camber_method_text(by, speech_of_page())))
    return {
        "camber": TypedField(
            "camber", label=_of(_("Camber"), where), help_text=_("Minus is top inboard.")
        ),
        "camber_by": forms.ChoiceField(
            label=_of(_("Camber set with"), where), choices=methods, required=False
        ),
        "camber_rod": forms.CharField(
            label=_of(_("Name of the link"), where),
            required=False,
            max_length=50,
            help_text=_("Only where one link of a multi-link axle sets camber."),
        ),
        "toe": TypedField(
            "toe",
            label=_of(_("Toe per wheel"), where),
            help_text=_("Plus is toe-in. Half of total toe."),
        ),
        "caster": TypedField("caster", label=_of(_("Target caster"), where)),
    }


def _adjusters(where: str) -> Fields:
    fields: Fields = {}
    for name in ADJUSTERS:
        unit = ADJUSTER_LABELS[name][1]
        shown = "°" if unit == "deg" else "mm"
        kind = "sai" if unit == "deg" else "change"
        fields[name] = TypedField(kind, label=_of(f"{adjuster_here(name)}, {shown}", where))
    fields["ride_height_mm"].help_text = _("Against the survey. Lowering is negative: -15.")
    fields["bump_stop_mm"].help_text = _("As the wheel travel that it takes.")
    return fields


def _parts(where: str) -> Fields:
    return {
        "rods": forms.CharField(
            label=_of(_("Links made longer or shorter"), where),
            required=False,
            max_length=400,
            widget=forms.Textarea({"rows": 2}),
            help_text=_("One a line, in millimetres: upper front = -1.5"),
        ),
        "bushes": forms.ChoiceField(
            label=_of(_("Bushes, compliance under side load"), where),
            choices=[("", _("As surveyed")), *Bushes.choices],
            required=False,
            help_text=_(
                "Assumed, with its own uncertainty, instead of the compliance measured on the car "
                "model or where none was measured."
            ),
        ),
        "rolled_lips": forms.BooleanField(
            label=_of(_("Arch lips rolled"), where),
            required=False,
            help_text=f"{_('Where the survey holds how far a lip turns in.')} {_(ROLLING_CAUTION)}",
        ),
    }


def _tolerances(where: str) -> Fields:
    fields: Fields = {}
    for name, default in TOLERANCES.items():
        label = _of(str(TOLERANCE_LABELS[name]), where)
        field = TypedField("accuracy", label=label, signed=False)
        field.initial = f"{default:g}"
        fields[name] = field
    return fields


def _of(name: str, where: str) -> str:
    """A field's label with its axle, for readers of the page who do not see the heading."""
    return f"{name}, {where}"
