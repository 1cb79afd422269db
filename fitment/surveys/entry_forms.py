"""A survey as it is typed: its head and its spots together.

``SurveyEntry`` builds the document, and leads every problem that the check file's reader finds
back to the field it came from.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Self

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext

from alignment.geometry.model import CURVES, JOINTS
from common.numerals import whole
from fitment.engine import checkfile
from fitment.surveys.feature_forms import (
    Document,
    FeatureForm,
    feature_field,
    features_initial,
    line_of,
)
from fitment.surveys.forms import COMPLIANCE_FIELDS, LIMIT_FIELDS, SurveyForm
from fitment.text.labels import JOINT_WORDS
from shop.site.joining import OPENED

BLANK_FEATURES = 2
MAX_FEATURES = 40

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
