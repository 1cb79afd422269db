"""The form on which torques are signed for."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.languages import formatting
from shop.orders.services.torques import TorqueDue
from shop.site.fields import CommaDecimalField
from shop.work.torques import outside_said


class TorqueForm(forms.Form):
    """A tick and a figure for each fastener that is due, and room for one that is not on the list.

    The figure stands at what is due; another one inside the range may be entered, one outside is
    asked about and not taken.
    """

    tool = forms.CharField(
        label=_("Torque wrench"), max_length=80, help_text=_("Name or number of the wrench")
    )

    def __init__(self, *args: Any, due: list[TorqueDue], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.due = [one for one in due if one.is_open]
        self.fieldsets: list[tuple[str | Promise, list[str]]] = [(_("Tool"), ["tool"])]
        for item in self.due:
            done, torque = _names(item)
            self.fields[done] = forms.BooleanField(required=False, label=_tick_label(item))
            self.fields[torque] = _torque_field(_("Tightened to, N·m"))
            self.fields[torque].initial = item.torque_nm
            self.fieldsets.append((item.title, [done, torque]))
        self.fields["other_what"] = forms.CharField(
            required=False,
            max_length=200,
            label=_("Another fastener"),
            help_text=_("It settles nothing that is on the list."),
        )
        self.fields["other_torque"] = _torque_field(_("Torque, N·m"))
        self.fieldsets.append((_("Not on the list"), ["other_what", "other_torque"]))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for item in self.due:
            done, torque = _names(item)
            figure = data.get(torque)
            if not data.get(done) or torque in self.errors:
                continue
            if figure is None:
                self.add_error(torque, _("Enter the torque."))
            elif not item.accepts(figure):
                self.add_error(torque, outside_said(item, figure))
        if data.get("other_what") and data.get("other_torque") is None:
            self.add_error("other_torque", _("Enter the torque."))
        if not self.errors and not self.signed() and self.other() is None:
            self.add_error(None, _("Tick at least one fastener."))
        return data

    def signed(self) -> dict[str, Decimal]:
        """The keys that are signed for, each with its figure in N·m."""
        data = self.cleaned_data
        return {
            item.key: data[torque]
            for item, (done, torque) in ((item, _names(item)) for item in self.due)
            if data.get(done) and data.get(torque) is not None
        }

    def other(self) -> tuple[str, Decimal] | None:
        """The fastener that is not on the list, with its figure; None where there is none."""
        what, figure = self.cleaned_data.get("other_what"), self.cleaned_data.get("other_torque")
        return (what, figure) if what and figure is not None else None


def _names(item: TorqueDue) -> tuple[str, str]:
    return f"done_{item.key}", f"torque_{item.key}"


def _torque_field(label: str | Promise) -> CommaDecimalField:
    return CommaDecimalField(
        label=label,
        required=False,
        min_value=Decimal("0.1"),
        max_value=Decimal(2000),
        max_digits=6,
        decimal_places=1,
    )


def _tick_label(item: TorqueDue) -> str:
    if item.torque_nm is None:
        return gettext("Tightened to the vehicle maker's figure")
    if item.torque_max_nm is not None:
        return gettext("Tightened to {low} to {high} N·m").format(
            low=formatting.plain(item.torque_nm), high=formatting.plain(item.torque_max_nm)
        )
    return gettext("Tightened to {torque} N·m").format(torque=formatting.plain(item.torque_nm))
