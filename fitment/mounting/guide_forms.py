"""Forms of fitment tables and their rows."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _

from fitment.engine.solid.designation import BadSize, size_of
from fitment.fields.model_forms import NumberModelForm
from fitment.models import Guide, GuideRow
from fitment.text.labels import CAMBER_METHODS, camber_method_text
from shop.models.axles import AXLE_CHOICES
from shop.models.vehicles import ADJUSTERS
from shop.site.fields import DateInput
from shop.site.joining import JoinedModelForm
from shop.site.typed_forms import ModelForm


class GuideForm(JoinedModelForm[Guide]):
    fieldsets: ClassVar = [
        (_("The table"), ["car_model", "maker", "title"]),
        (_("Where it is from"), ["source", "revision", "dated", "notes"]),
    ]

    class Meta:
        model = Guide
        fields = ("car_model", "maker", "title", "source", "revision", "dated", "notes")
        widgets: ClassVar = {"dated": DateInput(), "notes": forms.Textarea(attrs={"rows": 3})}


class RevisionForm(ModelForm[Guide]):
    """What is new about a newer revision; its rows are taken over and then corrected."""

    class Meta:
        model = Guide
        fields = ("revision", "dated", "source", "notes")
        widgets: ClassVar = {"dated": DateInput(), "notes": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, older: Guide, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.older = older

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("revision", "").strip() == self.older.revision:
            self.add_error("revision", _("This is the revision that is on record already."))
        dated = cleaned.get("dated")
        if dated and dated < self.older.dated:
            self.add_error("dated", _("This is before the revision that it replaces."))
        return cleaned


class GuideRowForm(NumberModelForm[GuideRow]):
    axle = forms.ChoiceField(label=_("Axle"), choices=AXLE_CHOICES)
    camber_by = forms.ChoiceField(
        label=_("Camber set with"),
        required=False,
        choices=[
            ("", _("the table names none")),
            *((name, lazy(camber_method_text, str)(name)) for name in CAMBER_METHODS),
        ],
    )
    adjuster = forms.ChoiceField(
        label=_("Adjuster"), required=False, choices=[("", _("none named")), *ADJUSTERS[1:]]
    )
    fieldsets: ClassVar = [
        (_("About"), ["axle", "wheel_width_in", "wheel_diameter_in", "tyre_size"]),
        (_("Wheel"), ["offset_min_mm", "offset_max_mm", "spacer_max_mm"]),
        (_("Setting"), ["camber_deg", "camber_by", "height_min_mm"]),
        (_("Adjuster"), ["adjuster", "adjuster_min", "adjuster_max"]),
        (_("Beside"), ["parts", "note"]),
    ]

    class Meta:
        model = GuideRow
        fields = (
            "axle",
            "wheel_width_in",
            "wheel_diameter_in",
            "tyre_size",
            "offset_min_mm",
            "offset_max_mm",
            "spacer_max_mm",
            "camber_deg",
            "camber_by",
            "height_min_mm",
            "adjuster",
            "adjuster_min",
            "adjuster_max",
            "parts",
            "note",
        )

    def clean_tyre_size(self) -> str:
        text: str = self.cleaned_data["tyre_size"].strip()
        if text:
            try:
                size_of(text)
            except BadSize as odd:
                raise forms.ValidationError(f"{odd}.") from None
        return text

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        width, across = cleaned.get("wheel_width_in"), cleaned.get("wheel_diameter_in")
        if (width is None) != (across is None):
            missing = "wheel_width_in" if width is None else "wheel_diameter_in"
            self.add_error(missing, _("A wheel's size is width and diameter."))
        if width is None and not cleaned.get("tyre_size"):
            self.add_error("tyre_size", _("Say which wheel or which tyre the row is about."))
        for low, high in (("offset_min_mm", "offset_max_mm"), ("adjuster_min", "adjuster_max")):
            if None not in (cleaned.get(low), cleaned.get(high)) and cleaned[low] > cleaned[high]:
                self.add_error(high, _("This is below the other end."))
        ends = (cleaned.get("adjuster_min"), cleaned.get("adjuster_max"))
        if cleaned.get("adjuster") and ends == (None, None):
            self.add_error("adjuster_min", _("Enter the range that the table gives."))
        if not cleaned.get("adjuster") and ends != (None, None):
            self.add_error("adjuster", _("A position belongs to an adjuster."))
        return cleaned
