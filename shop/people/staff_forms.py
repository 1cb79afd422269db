"""What a manager sets: bays, the shop itself, who works in it."""

from __future__ import annotations

from typing import Any, ClassVar
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext_lazy as _

from shop.models import Bay, ShopSettings, User
from shop.site.amount_fields import MoneyField, PercentField
from shop.site.fields import field_of
from shop.site.joining import JoinedModelForm


class BayForm(JoinedModelForm[Bay]):
    class Meta:
        model = Bay
        fields = ("name", "has_rack", "in_use")


class ShopForm(JoinedModelForm[ShopSettings]):
    hourly_rate = MoneyField(label=_("Hourly rate"), min_value=0, max_digits=9, decimal_places=2)
    tax_rate = PercentField(
        label=_("Tax rate, %"), min_value=0, max_value=100, max_digits=5, decimal_places=2
    )
    timezone = forms.ChoiceField(label=_("Time zone"), required=False)
    fieldsets: ClassVar = [
        (_("Shop, as printed on quotes"), ["name", "address", "phone", "email"]),
        (_("Money"), ["currency", "hourly_rate", "tax_rate", "prices_with_tax"]),
        (_("Quotes"), ["quote_days", "quote_terms"]),
        (_("Time"), ["timezone"]),
        (_("Email"), ["remind_after_days"]),
        (_("After the job"), ["retorque_km_from", "retorque_km_to", "next_check_km", "sheet_size"]),
    ]

    class Meta:
        model = ShopSettings
        fields = (
            "name",
            "address",
            "phone",
            "email",
            "currency",
            "hourly_rate",
            "tax_rate",
            "prices_with_tax",
            "quote_days",
            "quote_terms",
            "timezone",
            "remind_after_days",
            "retorque_km_from",
            "retorque_km_to",
            "next_check_km",
            "sheet_size",
        )
        widgets: ClassVar = {
            "address": forms.Textarea(attrs={"rows": 3}),
            "quote_terms": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.is_bound:
            rate = field_of(self, "hourly_rate", MoneyField)
            rate.currency = str(self.data.get("currency", "")).strip().upper()
        zones = sorted(zone for zone in available_timezones() if "/" in zone or zone == "UTC")
        field_of(self, "timezone", forms.ChoiceField).choices = [
            ("", _("same as the server")),
            *((z, z) for z in zones),
        ]

    def clean_currency(self) -> str:
        code: str = self.cleaned_data["currency"].strip().upper()
        if len(code) != 3 or not code.isalpha() or not code.isascii():
            raise forms.ValidationError(_("Enter three letters, for example EUR."))
        return code

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        low, high = data.get("retorque_km_from"), data.get("retorque_km_to")
        if low is not None and high is not None and low > high:
            self.add_error("retorque_km_to", _("Must not be less than the start."))
        return data


class StaffForm(JoinedModelForm[User]):
    password = forms.CharField(
        label=_("Password"),
        required=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=_("Leave empty to keep the present password."),
    )

    class Meta:
        model = User
        fields = ("username", "display_name", "email", "role", "is_active")
        labels: ClassVar = {"username": _("Sign-in name"), "is_active": _("May sign in")}
        help_texts: ClassVar = {
            "username": "",
            "is_active": "",
            "email": _("For a forgotten password."),
        }

    def __init__(self, *args: Any, acting: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.acting = acting
        if self.instance.pk is None:
            self.fields["password"].required = True
            self.fields["password"].help_text = _("At least ten characters.")

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        if password:
            validate_password(password, self.instance)
        return password

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.instance.pk == self.acting.pk:
            if not data.get("is_active"):
                self.add_error("is_active", _("You cannot disable your own account."))
            if data.get("role") != self.acting.role:
                self.add_error("role", _("Ask another manager to change your role."))
        return data

    def save(self, commit: bool = True) -> User:
        user: User = super().save(commit=False)
        if self.cleaned_data["password"]:
            user.set_password(self.cleaned_data["password"])
        if commit:
            self.claim()
            user.save()
        return user
