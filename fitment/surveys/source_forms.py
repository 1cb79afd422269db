"""Forms of surveys that come from elsewhere: another car model, or a check file."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext_lazy as _

from fitment.fields.numbers import NumberField
from fitment.models.surveys import CornerSurvey, CornerSurveyQuerySet
from fitment.surveys.services import COPY_SIGMA_MM
from shop.site.fields import field_of
from shop.site.typed_forms import ModelChoiceField

#: A check file with four surveys and their readings is some 100 kB; this leaves room for outlines.
MAX_FILE_BYTES = 1_000_000


class SourceField(ModelChoiceField[CornerSurvey]):
    """A survey of another car model by its name, version and date."""

    def label_from_instance(self, obj: CornerSurvey) -> str:
        return f"{obj}, measured {obj.measured_on:%d.%m.%Y} by {obj.measured_by}"


class CopyForm(forms.Form):
    """Which survey of another car model, how much less sure, and why it may stand for this one."""

    source = SourceField(CornerSurvey.objects.none(), label=_("Survey"))
    sigma_mm = NumberField(
        label=_("Added to the uncertainty of every spot, mm"),
        min_value=1,
        max_value=30,
        initial=COPY_SIGMA_MM,
        help_text=_(
            "Standard, in quadrature. 5 mm is a judgement of this project, without a source."
        ),
    )
    why = forms.CharField(
        label=_("What lets you think that both are alike"),
        max_length=300,
        help_text=_("For example: the same floor and suspension, another tailgate."),
    )

    def __init__(self, *args: Any, sources: CornerSurveyQuerySet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field_of(self, "source", SourceField).queryset = sources

    def clean_why(self) -> str:
        text = str(self.cleaned_data["why"]).strip()
        return text if text.endswith((".", "!", "?")) else f"{text}."


class ImportForm(forms.Form):
    """A check file to take one corner's survey from, or all of them."""

    file = forms.FileField(label=_("Check file (JSON)"))
    whole = forms.BooleanField(label=_("Take every corner that is in it"), required=False)
    measured_on = forms.DateField(
        label=_("Measured on"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=_("Empty: as the file says, else today."),
    )
    measured_by = forms.CharField(
        label=_("Measured by"),
        required=False,
        max_length=80,
        help_text=_("Empty: as the file says, else you."),
    )

    def clean_file(self) -> UploadedFile[bytes]:
        file: UploadedFile[bytes] = self.cleaned_data["file"]
        if file.size is not None and file.size > MAX_FILE_BYTES:
            raise forms.ValidationError(
                f"The file is larger than {MAX_FILE_BYTES // 1000} kB: not a check file."
            )
        return file
