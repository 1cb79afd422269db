"""The head of a corner survey's form: the same data as a check file's corner, field by field.

``entry_forms.py`` joins it with the spots.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from alignment.geometry.model import CURVES, JOINT_SIGMA_MM, JOINTS, LINKS, STRUT, WISHBONES
from fitment.engine.uncertainty.compliance import COMPLIANCES
from fitment.fields.numbers import NumberField, PointField
from fitment.fields.rows import OpenArcsField, ReachField, RodsField
from fitment.text.labels import BUSH_WORDS, JOINT_WORDS, KIND_WORDS
from shop.languages.formatting import capital
from shop.site.joining import JoinedForm

TYPED_KINDS = (STRUT, WISHBONES, LINKS)
LIMIT_FIELDS = ("bump_mm", "droop_mm", "steer_in_deg", "steer_out_deg")
COMPLIANCE_FIELDS = (
    "camber_deg_per_g",
    "toe_deg_per_g",
    "lateral_mm_per_g",
    "aft_mm_per_g",
    "tyre_side_mm_per_g",
)


class SurveyForm(JoinedForm, forms.Form):
    """The head of a survey; which joints it asks for depends on ``kind``."""

    not_joined = ("measured_on", "measured_by")
    measured_on = forms.DateField(
        label=_("Measured on"),
        initial=timezone.localdate,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    measured_by = forms.CharField(label=_("Measured by"), max_length=80)
    camber_deg = NumberField(label=_("Camber in the survey pose, °"))
    toe_deg = NumberField(
        label=_("Toe in the survey pose, °"), help_text=_("Front edge in: positive.")
    )
    bump_mm = NumberField(
        label=_("Bump to the stop, mm"),
        required=False,
        help_text=_(
            "From the height at which the corner was measured. Unknown: leave empty; "
            "the corner then stays unmeasured."
        ),
    )
    droop_mm = NumberField(label=_("Droop to the stop, mm"))
    steer_in_deg = NumberField(
        label=_("Lock, front edge in, °"),
        required=False,
        help_text=_("Empty if it does not steer."),
    )
    steer_out_deg = NumberField(label=_("Lock, front edge out, °"), required=False)
    camber_deg_per_g = NumberField(label=_("Camber, ° per g"), required=False)
    toe_deg_per_g = NumberField(label=_("Toe, ° per g"), required=False)
    lateral_mm_per_g = NumberField(label=_("Inwards, mm per g"), required=False)
    aft_mm_per_g = NumberField(
        label=_("Hub rearward under braking, mm per g"),
        required=False,
        help_text=_("Empty: braking is left out, and the check says so."),
    )
    tyre_side_mm_per_g = NumberField(
        label=_("Tyre sideways at the ground, mm per g"),
        required=False,
        help_text=_(
            "What the tyre goes against its rim. Empty: 10 mm per g are assumed where there is "
            "side load."
        ),
    )
    bushes = forms.ChoiceField(
        label=_("If not measured, take the give of"),
        required=False,
        choices=[
            ("", _("nothing: side load is left out")),
            *((kind, _(BUSH_WORDS[kind])) for kind in COMPLIANCES),
        ],
        help_text=_("An assumption with its own uncertainty; a check that uses it says so."),
    )
    open = OpenArcsField(
        label=_("Looked at and found open"),
        help_text=_(
            "One arc a line: inboard or outboard, from and to on the clock in °, and how "
            "far it is free in mm. For example: inboard 30 60 60"
        ),
    )
    reach = ReachField(
        label=_("Range of the adjusters on the car"),
        help_text=_(
            "One a line: adjuster, least, greatest. For example: toe_link_mm -6 6. "
            "Parts on an order bring their own."
        ),
    )
    notes = forms.CharField(
        label=_("Notes"), required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    base_version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kind = kind
        joints = self._add_joints(kind)
        self.fieldsets = [
            (_("Who and when"), ["measured_on", "measured_by"]),
            (_("Survey pose"), ["camber_deg", "toe_deg"]),
            (_("Stops"), list(LIMIT_FIELDS)),
            (
                _("Joints of a {kind} corner: x forward, y outboard, z up").format(
                    kind=gettext(KIND_WORDS[kind])
                ),
                joints,
            ),
            (_("Adjusters"), ["reach"]),
            (_("Compliance under load, if measured"), [*COMPLIANCE_FIELDS, "bushes"]),
            (_("Looked at and found open"), ["open"]),
            (_("Notes"), ["notes"]),
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        measured = any(cleaned.get(name) is not None for name in COMPLIANCE_FIELDS)
        if measured and cleaned.get("bushes"):
            self.add_error("bushes", _("Either measured or assumed: take one of them away."))
        return cleaned

    def _add_joints(self, kind: str) -> list[str]:
        names = list(JOINTS.get(kind, ()))
        for name in names:
            self.fields[name] = PointField(label=capital(gettext(JOINT_WORDS[name])))
        if kind == STRUT:
            names.append("knuckle_pivot")
            self.fields["knuckle_pivot"] = PointField(
                label=_("Knuckle pivot"),
                required=False,
                help_text=_(
                    "Where the strut turns on the knuckle. Empty: the strut's lower point."
                ),
            )
        if kind == LINKS:
            names.append("links")
            self.fields["links"] = RodsField(
                label=_("The five links"),
                required=True,
                widget=forms.Textarea(attrs={"rows": 6, "cols": 64, "spellcheck": "false"}),
                help_text=_(
                    "One a line: name; inner end x y z; outer end x y z. "
                    "Add “; toe” to the one that sets the toe."
                ),
            )
        if kind != CURVES:
            names.append("sigma_joints_mm")
            self.fields["sigma_joints_mm"] = NumberField(
                label=_("Uncertainty of the joints, mm"),
                required=False,
                help_text=_("Standard, in each coordinate. Empty: {sigma} mm.").format(
                    sigma=f"{JOINT_SIGMA_MM:g}"
                ),
            )
        return names
