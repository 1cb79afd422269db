"""Forms of a work order: the request, notes, waiting, the override."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from shop.models import OrderKind, Vehicle, WaitingFor, WorkOrder
from shop.site.fields import field_of
from shop.site.joining import JoinedForm, JoinedModelForm
from shop.site.uses import UsesField, uses_taken

#: More than any car has run.
MOST_KM = 5_000_000


class OrderForm(JoinedModelForm[WorkOrder]):
    """The request of one customer for one vehicle."""

    use = UsesField()
    fieldsets: ClassVar = [
        (_("Request"), ["kind", "request_text", "use", "class_rules", "class_record"]),
        (_("Vehicle"), ["mileage_km", "moves_wheel_or_height"]),
    ]

    class Meta:
        model = WorkOrder
        fields = (
            "kind",
            "request_text",
            "class_rules",
            "class_record",
            "mileage_km",
            "moves_wheel_or_height",
        )
        widgets: ClassVar = {"request_text": forms.Textarea(attrs={"rows": 4})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["use"] = self.instance.uses
        field_of(self, "class_record", forms.ModelChoiceField).empty_label = _(
            "none, or not recorded"
        )
        kind = field_of(self, "kind", forms.ChoiceField)
        kept = {OrderKind.COMEBACK} if self.instance.kind == OrderKind.COMEBACK else set()
        if kept:
            del self.fields["kind"]
        else:
            kind.choices = [c for c in OrderKind.choices if c[0] != OrderKind.COMEBACK]
        self.fields["moves_wheel_or_height"].help_text = _(
            "Clearance is then checked before parts are ordered and the job is booked."
        )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        uses_taken(data)
        return data


class CopyForm(forms.Form):
    """For which vehicle an order is copied, and what is asked this time."""

    vehicle = forms.ModelChoiceField(
        label=_("Vehicle"), queryset=Vehicle.objects.none(), empty_label=None
    )
    request_text = forms.CharField(
        label=_("Customer's request"), required=False, widget=forms.Textarea(attrs={"rows": 4})
    )
    mileage_km = forms.IntegerField(
        label=_("Mileage, km"), required=False, min_value=0, max_value=MOST_KM
    )

    def __init__(self, *args: Any, vehicles: QuerySet[Vehicle], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field_of(self, "vehicle", forms.ModelChoiceField).queryset = vehicles


class WaitForm(JoinedForm, forms.Form):
    waiting_for = forms.ChoiceField(
        label=_("Waiting for"), choices=WaitingFor.choices, required=False, widget=forms.RadioSelect
    )

    def __init__(self, *args: Any, waiting_for: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.on_record = {"waiting_for": waiting_for}


class NotesForm(JoinedForm, forms.Form):
    technician_notes = forms.CharField(
        label=_("Staff notes"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=_("Not shown to the customer."),
    )


class OverrideForm(forms.Form):
    digest = forms.CharField(widget=forms.HiddenInput)
    reason = forms.CharField(
        label=_("Reason for the override"),
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Recorded with your name and printed on the spec sheet."),
    )
