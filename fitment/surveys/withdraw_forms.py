"""Why something that was read is taken back."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class WithdrawForm(forms.Form):
    why = forms.CharField(
        label=_("Reason"),
        max_length=200,
        help_text=_("Kept with your name. What was read stays on record, struck through."),
        widget=forms.TextInput(attrs={"list": "reasons"}),
    )


#: Offered beside the field.
REASONS = (
    _("Typed wrongly"),
    _("Read in another unit"),
    _("Sign turned round"),
    _("Read at another spot"),
    _("Read in another pose"),
)
