"""Forms of the work itself: parts, torques, road tests, comebacks."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.languages import formatting
from shop.models import (
    Comeback,
    Corner,
    Happens,
    InstalledPart,
    LineKind,
    RoadTest,
    WorkOrder,
)
from shop.models.work import Tried
from shop.site.fields import CommaFloatField, PhotoField, field_of
from shop.site.forms import MoveForm
from shop.site.typed_forms import ModelForm


class InstalledForm(ModelForm[InstalledPart]):
    fieldsets: ClassVar = [
        (_("Fitted"), ["line", "description", "corner_or_axle", "serial"]),
        (_("Removed"), ["removed", "removed_to"]),
    ]

    class Meta:
        model = InstalledPart
        fields = ("line", "description", "corner_or_axle", "serial", "removed", "removed_to")

    def __init__(self, *args: Any, order: WorkOrder, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        line = field_of(self, "line", forms.ModelChoiceField)
        line.queryset = order.lines.filter(kind=LineKind.PART)
        line.empty_label = _("another part")
        self.fields["description"].required = False
        self.fields["description"].help_text = _("Only for a part that is not on this order.")
        self.fields["removed_to"].help_text = _("For example: given to the customer, scrapped")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("line") and not data.get("description"):
            self.add_error("description", _("Choose a part from the order or describe another."))
        return data


class RoadTestForm(ModelForm[RoadTest]):
    fieldsets: ClassVar = [
        (_("Standing still"), ["lock_left", "lock_right"]),
        (_("Driving, within the law"), ["dip", "loaded"]),
        ("", ["notes"]),
    ]

    class Meta:
        model = RoadTest
        fields = ("lock_left", "lock_right", "dip", "loaded", "notes")
        widgets: ClassVar = {
            "lock_left": forms.RadioSelect,
            "lock_right": forms.RadioSelect,
            "dip": forms.RadioSelect,
            "loaded": forms.RadioSelect,
            "notes": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("lock_left", "lock_right", "dip", "loaded"):
            field_of(self, name, forms.ChoiceField).choices = Tried.choices


class MarkForm(forms.Form):
    """One place looked at: it touched, or a gap was measured there."""

    corner = forms.ChoiceField(
        label=_("Corner"), choices=[("", _("choose")), *Corner.choices], required=False
    )
    place = forms.CharField(label=_("Spot"), max_length=80, required=False)
    contact = forms.BooleanField(label=_("Touched"), required=False)
    gap_mm = CommaFloatField(label=_("Gap, mm"), required=False, min_value=0, max_value=500)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.widget.attrs["aria-label"] = field.label or formatting.capital(name)
        self.fields["place"].widget.attrs["list"] = "places"

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.has_changed():
            return data
        if not data.get("corner"):
            self.add_error("corner", _("Choose the corner."))
        if not data.get("place"):
            self.add_error("place", _("Enter the spot."))
        if "gap_mm" not in self.errors:
            gap = data.get("gap_mm")
            if data.get("contact") and gap is not None:
                self.add_error("gap_mm", _("Contact has no gap. Enter one of the two."))
            if not data.get("contact") and gap is None:
                self.add_error("gap_mm", _("Tick contact or enter the gap."))
        return data


def mark_formset(data: Any = None) -> Any:
    factory = forms.formset_factory(MarkForm, extra=4, max_num=40, validate_max=True)
    return factory(data, prefix="marks")


def marks_of(formset: Any) -> list[dict[str, Any]]:
    return [form.cleaned_data for form in formset.forms if form.has_changed()]


class ComebackForm(ModelForm[Comeback]):
    mileage_km = forms.IntegerField(label=_("Mileage, km"), required=False, min_value=0)
    photo = PhotoField(
        label=_("Photograph"),
        required=False,
        help_text=_("JPEG, PNG or WebP, at most 8 MB. Seen by staff only."),
    )
    fieldsets: ClassVar = [
        (_("Where and when"), ["corner", "place", "happens"]),
        (_("Customer's description"), ["description", "mileage_km", "photo"]),
    ]

    class Meta:
        model = Comeback
        fields = ("corner", "place", "happens", "description", "photo")
        widgets: ClassVar = {
            "corner": forms.RadioSelect,
            "description": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field_of(self, "corner", forms.ChoiceField).choices = Corner.choices
        field_of(self, "happens", forms.ChoiceField).choices = [("", _("choose")), *Happens.choices]
        self.fields["place"].widget.attrs["list"] = "places"


class HandOverForm(MoveForm):
    """The last look: a remark, and what the customer wants on the spec sheet."""

    curves = forms.BooleanField(
        label=_("Print camber and toe curves on the spec sheet"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, wants_reason=False, **kwargs)
        self.fields["reason"].label = _(
            "Remark, or a manager's reason if the road test found contact"
        )
