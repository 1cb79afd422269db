"""Forms of a work order: the wish, the lines, the signature, the booking."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from shop.models import OrderKind, WaitingFor, WorkOrder


class OrderForm(forms.ModelForm):
    """The wish of one customer for one vehicle, in the order in which people tell it."""

    fieldsets: ClassVar = [
        ("The wish", ["kind", "request_text", "use", "class_rules", "class_record"]),
        ("The car today", ["mileage_km", "moves_wheel_or_height"]),
    ]

    class Meta:
        model = WorkOrder
        fields = (
            "kind",
            "request_text",
            "use",
            "class_rules",
            "class_record",
            "mileage_km",
            "moves_wheel_or_height",
        )
        widgets: ClassVar = {"request_text": forms.Textarea(attrs={"rows": 4})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["class_record"].empty_label = "none, or none that is on record"
        kind = self.fields["kind"]
        kept = {OrderKind.COMEBACK} if self.instance.kind == OrderKind.COMEBACK else set()
        if kept:
            del self.fields["kind"]
        else:
            kind.choices = [c for c in OrderKind.choices if c[0] != OrderKind.COMEBACK]
        self.fields[
            "moves_wheel_or_height"
        ].help_text = "Then the room is checked before parts are ordered and the job is booked."


class WaitForm(forms.Form):
    waiting_for = forms.ChoiceField(
        label="Waiting for", choices=WaitingFor.choices, required=False, widget=forms.RadioSelect
    )


class NotesForm(forms.Form):
    technician_notes = forms.CharField(
        label="Notes for the staff",
        required=False,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="Never shown to the customer.",
    )


class OverrideForm(forms.Form):
    digest = forms.CharField(widget=forms.HiddenInput)
    reason = forms.CharField(
        label="Why the job goes on all the same",
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="It stays on record with your name and stands on the spec sheet.",
    )
