"""The form of the opening hours: a line for each weekday, and the closed days as text."""

from __future__ import annotations

import datetime as dt
from typing import Any, ClassVar

from django import forms
from django.utils.dates import WEEKDAYS as NAMES
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.calendar.opening import WEEKDAYS, Hours
from shop.site.fields import TimeInput
from shop.site.joining import JoinedForm


class OpeningForm(JoinedForm, forms.Form):
    """Hours of the week, both empty for a closed weekday, and closed days with their reasons."""

    closed = forms.CharField(
        label=gettext_lazy("Closed days"),
        required=False,
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=gettext_lazy(
            "One on each line, year first, with a reason if you like: 2027-12-24 Holidays"
        ),
    )

    fieldsets: ClassVar = [
        *((NAMES[day], [f"opens_{day}", f"closes_{day}"]) for day in WEEKDAYS),
        (gettext_lazy("Holidays"), ["closed"]),
    ]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        closed = self.fields.pop("closed")
        for day in WEEKDAYS:
            for name, label in (("opens", _("{day}, from")), ("closes", _("{day}, to"))):
                self.fields[f"{name}_{day}"] = forms.TimeField(
                    label=label.format(day=NAMES[day]), required=False, widget=TimeInput()
                )
        self.fields["closed"] = closed

    def clean_closed(self) -> dict[dt.date, str]:
        """Reasons by day; refused with the line that cannot be read."""
        found: dict[dt.date, str] = {}
        lines = self.cleaned_data["closed"].splitlines()
        for number, line in enumerate(lines, start=1):
            if not line.strip():
                continue
            day, _space, reason = line.strip().partition(" ")
            try:
                found[dt.date.fromisoformat(day)] = reason.strip()[:80]
            except ValueError:
                raise forms.ValidationError(
                    _("Line {number} does not begin with a day such as 2027-12-24.").format(
                        number=number
                    )
                ) from None
        return found

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for day in WEEKDAYS:
            opens, closes = data.get(f"opens_{day}"), data.get(f"closes_{day}")
            if (opens is None) != (closes is None):
                missing = "opens" if opens is None else "closes"
                words = _("Give both times, or none for a closed day.")
                self.add_error(f"{missing}_{day}", words)
            elif opens is not None and closes is not None and closes <= opens:
                self.add_error(f"closes_{day}", _("Must be after the start of the day."))
        return data

    def week(self) -> dict[int, Hours]:
        """The hours by weekday, after the form was found valid."""
        data = self.cleaned_data
        return {
            day: None
            if data[f"opens_{day}"] is None
            else (data[f"opens_{day}"], data[f"closes_{day}"])
            for day in WEEKDAYS
        }


def first_values(week: dict[int, Hours], closed: dict[dt.date, str]) -> dict[str, Any]:
    """What is on record, as the form shows it."""
    values: dict[str, Any] = {}
    for day, hours in week.items():
        values[f"opens_{day}"], values[f"closes_{day}"] = hours or (None, None)
    lines = (f"{day.isoformat()} {reason}".strip() for day, reason in sorted(closed.items()))
    return values | {"closed": "\n".join(lines)}
