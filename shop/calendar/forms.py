"""A block of time in a bay."""

from __future__ import annotations

import datetime as dt
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.calendar.opening import moment
from shop.models import Bay, Role, User
from shop.site.fields import DateInput, TimeInput, field_of
from shop.site.joining import JoinedForm
from shop.site.typed_forms import ModelChoiceField

#: Years in which anything is booked or looked up: days near the ends of time have no zone.
CALENDAR_YEARS = range(2000, 2101)


class BayField(ModelChoiceField[Bay]):
    """A choice of bays that says which of them has the alignment rack."""

    def label_from_instance(self, obj: Bay) -> str:
        return _("{bay} (rack)").format(bay=obj.name) if obj.has_rack else obj.name


class BookingForm(forms.Form):
    """A bay, a technician and a block of time of one day."""

    day = forms.DateField(label=_("Day"), widget=DateInput())
    starts = forms.TimeField(label=_("From"), widget=TimeInput())
    ends = forms.TimeField(label=_("To"), widget=TimeInput())
    bay = BayField(
        label=_("Bay"), queryset=Bay.objects.filter(in_use=True), empty_label=_("choose")
    )
    technician = forms.ModelChoiceField(
        label=_("Technician"), queryset=User.objects.none(), empty_label=_("choose")
    )
    needs_rack = forms.BooleanField(label=_("Needs the alignment rack"), required=False)
    by_mail = forms.BooleanField(label=_("Tell the customer by email"), required=False)

    outside_reason = forms.CharField(
        label=_("Reason for a time outside the opening hours"), required=False, max_length=200
    )

    fieldsets: ClassVar = [
        (_("When"), ["day", "starts", "ends"]),
        (_("Bay and technician"), ["needs_rack", "bay", "technician", "by_mail"]),
        (_("Outside the opening hours"), ["outside_reason"]),
    ]

    def __init__(self, *args: Any, may_mail: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not may_mail:
            del self.fields["by_mail"]
        technicians = User.objects.filter(is_active=True)
        field_of(self, "technician", forms.ModelChoiceField).queryset = technicians.filter(
            role__in=[Role.TECHNICIAN, Role.MANAGER]
        )

    def clean_day(self) -> dt.date:
        day: dt.date = self.cleaned_data["day"]
        if day.year not in CALENDAR_YEARS:
            raise forms.ValidationError(_("Enter a day between the years 2000 and 2100."))
        return day

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if all(data.get(name) is not None for name in ("day", "starts", "ends")):
            data["starts_at"] = moment(data["day"], data["starts"])
            data["ends_at"] = moment(data["day"], data["ends"])
        return data


class BookingEditForm(JoinedForm, BookingForm):
    """Another time, bay or technician for a block that stands."""


class NoShowForm(forms.Form):
    reason = forms.CharField(
        label=_("What is known of why"),
        max_length=200,
        help_text=_("For example: not reached by telephone. Kept in the order's log."),
    )
