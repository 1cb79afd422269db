"""The form of a corner survey: the same data as a check file's corner, typed field by field.

``SurveyEntry`` holds the head of the form and its features together, builds the document,
and leads every problem that the check file's reader finds back to the field it came from.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Self

from django import forms
from django.http import QueryDict
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from alignment.geometry.model import CURVES, JOINT_SIGMA_MM, JOINTS, LINKS, STRUT, WISHBONES
from common.numerals import whole
from fitment.engine import checkfile
from fitment.engine.uncertainty.compliance import COMPLIANCES
from fitment.fields.numbers import NumberField, PointField
from fitment.fields.rows import OpenArcsField, ReachField, RodsField
from fitment.surveys.feature_forms import (
    Document,
    FeatureForm,
    feature_field,
    features_initial,
    line_of,
)
from fitment.text.labels import JOINT_WORDS, KIND_WORDS
from shop.languages.formatting import capital
from shop.site.joining import OPENED, JoinedForm

TYPED_KINDS = (STRUT, WISHBONES, LINKS)
BLANK_FEATURES = 2
MAX_FEATURES = 40
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
            ("", "nothing: side load is left out"),
            *((k, g.words) for k, g in COMPLIANCES.items()),
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
    notes = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 3}))
    base_version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kind = kind
        joints = self._add_joints(kind)
        self.fieldsets = [
            ("Who and when", ["measured_on", "measured_by"]),
            ("Survey pose", ["camber_deg", "toe_deg"]),
            ("Stops", list(LIMIT_FIELDS)),
            (f"Joints of a {KIND_WORDS[kind]} corner: x forward, y outboard, z up", joints),
            ("Adjusters", ["reach"]),
            ("Give under load, if measured", [*COMPLIANCE_FIELDS, "bushes"]),
            ("Open places", ["open"]),
            ("Notes", ["notes"]),
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
            self.fields[name] = PointField(label=capital(JOINT_WORDS[name]))
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


FeatureFormSet = forms.formset_factory(
    FeatureForm, extra=BLANK_FEATURES, max_num=MAX_FEATURES, validate_max=True
)


class SurveyEntry:
    """Head and features of one survey, bound to what was typed or filled from a document."""

    def __init__(
        self, *, kind: str, data: Any = None, document: Document | None = None, **head: Any
    ) -> None:
        self.kind = kind
        self.kept = document or {}
        self.form = SurveyForm(data, kind=kind, initial={**survey_initial(self.kept), **head})
        self.features = FeatureFormSet(
            data,
            prefix="feature",
            initial=features_initial(self.kept),
            form_kwargs={"kind": kind},
        )

    @classmethod
    def with_more_places(cls, *, kind: str, data: QueryDict, document: Document | None) -> Self:
        """Everything typed, unjudged, with two more empty places."""
        typed = data.copy()
        places = whole(typed.get("feature-TOTAL_FORMS", "0")) or 0
        typed["feature-TOTAL_FORMS"] = str(min(places + BLANK_FEATURES, MAX_FEATURES))
        return cls(kind=kind, data=typed, document=document)

    @property
    def used(self) -> list[FeatureForm]:
        return [form for form in self.features.forms if form.is_used]

    @property
    def first_blank(self) -> int:
        """Index of the first spot without a name."""
        named = [bool(form["place"].value()) for form in self.features.forms]
        return named.index(False) if False in named else -1

    @property
    def feature_errors(self) -> list[tuple[str, str]]:
        """Places with something to mend: name and anchor, for the summary on top."""
        if not self.features.is_bound:
            return []
        return [
            (form["place"].value() or f"place {count}", f"place-{count}")
            for count, form in enumerate(self.features.forms, start=1)
            if form.errors
        ]

    def is_valid(self) -> bool:
        """Whether everything typed makes a survey; problems then stand at their fields."""
        typed = all([self.form.is_valid(), self.features.is_valid()])
        if typed:
            try:
                checkfile.parse_corner_survey(self.document())
            except checkfile.BadCheckFile as bad:
                for problem in bad.problems:
                    self._put(problem.path, problem.message)
        return self.form.is_valid() and all(not form.errors for form in self.features.forms)

    def is_on_top_of(self, version: int, by: str) -> bool:
        """Whether what was typed holds what others saved since this form was opened.

        A form that carries what it was opened with has been joined with theirs. Any other says
        so once; sent again, it goes on top of theirs.
        """
        base = self.form.cleaned_data.get("base_version") or 0
        if base == version or OPENED in self.form.data:
            return True
        typed = QueryDict(mutable=True)
        typed.update(self.form.data)
        typed["base_version"] = str(version)
        self.form.data = typed
        self.form.add_error(
            None,
            gettext(
                "{by} saved version {version} of this corner while you were typing. Look at it in "
                "another window; if yours is right, save again."
            ).format(by=by, version=version),
        )
        return False

    def document(self) -> Document:
        """What was typed, as ``survey``, ``suspension``, ``limits`` and ``compliance``."""
        value = self.form.cleaned_data
        survey: Document = {
            "setting": {"camber_deg": value["camber_deg"], "toe_deg": value["toe_deg"]},
            "features": [self._taught(form.as_document()) for form in self.used],
        }
        if value["open"]:
            survey["open"] = value["open"]
        document: Document = {
            "survey": survey,
            "suspension": self._suspension(),
            "limits": {name: value[name] for name in LIMIT_FIELDS if value[name] is not None},
        }
        compliance = {name: value[name] for name in COMPLIANCE_FIELDS if value[name] is not None}
        if compliance or value["bushes"]:
            document["compliance"] = compliance or value["bushes"]
        return document

    def _taught(self, feature: Document) -> Document:
        """A place with what earlier jobs taught of the one of its name."""
        for kept in self.kept.get("survey", {}).get("features", []):
            if kept["place"] == feature["place"] and kept.get("learned"):
                return feature | {"learned": kept["learned"]}
        return feature

    def _suspension(self) -> Document:
        value = self.form.cleaned_data
        if self.kind == CURVES:
            suspension: Document = dict(self.kept["suspension"])
            suspension.pop("reach", None)
        else:
            suspension = {"kind": self.kind}
            joints = (*JOINTS.get(self.kind, ()), "knuckle_pivot", "links")
            for name in joints:
                if value.get(name):
                    suspension[name] = value[name]
            if value.get("sigma_joints_mm") is not None:
                suspension["sigma_joints_mm"] = value["sigma_joints_mm"]
            kept = self.kept.get("suspension", {})
            if kept.get("kind") == self.kind and kept.get("measured"):
                suspension["measured"] = kept["measured"]
            if kept.get("fitted") and all(kept.get(n) == suspension.get(n) for n in joints):
                suspension["fitted"] = kept["fitted"]
        if value["reach"]:
            suspension["reach"] = value["reach"]
        return suspension

    def _put(self, path: str, message: str) -> None:
        """Show a problem at the field that holds what stands at ``path``."""
        steps = [step for step in re.split(r"[.\[\]]+", path) if step]
        if steps[:2] == ["survey", "features"] and len(steps) > 2:
            form: forms.Form = self.used[int(steps[2])]
            field, row = feature_field(steps[3:])
        else:
            form, field, row = self.form, *_head_field(steps, self.form)
        name = field if field in form.fields else None
        where = f"{row}: " if row else ""
        form.add_error(name, f"{where}{message}.")


def _head_field(steps: list[str], form: forms.Form) -> tuple[str, str]:
    inner = [step for step in steps if step in form.fields]
    if not inner:
        return "", ".".join(steps)
    rest = steps[steps.index(inner[0]) + 1 :]
    return inner[0], line_of(rest)


def survey_initial(document: Mapping[str, Any]) -> Document:
    """The head's fields from a stored document."""
    survey, suspension = document.get("survey", {}), document.get("suspension", {})
    initial: Document = dict(survey.get("setting", {}))
    initial.update(document.get("limits", {}))
    compliance = document.get("compliance") or {}
    initial.update({"bushes": compliance} if isinstance(compliance, str) else compliance)
    initial["open"] = survey.get("open", [])
    initial.update({name: suspension[name] for name in JOINT_WORDS if name in suspension})
    initial["links"] = suspension.get("links", [])
    initial["sigma_joints_mm"] = suspension.get("sigma_joints_mm")
    initial["reach"] = suspension.get("reach", {})
    return initial
