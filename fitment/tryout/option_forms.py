"""What a search for options may change, and within which limits."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from fitment.fields.numbers import NumberField
from fitment.job.car import Car
from fitment.tryout.data import SetUp
from fitment.tryout.limits import limits_of
from shop.site.amount_fields import MoneyField

MAY = (
    ("camber_method", _("What sets camber")),
    ("camber", _("Camber, inside the range below")),
    ("height", _("Ride height, up to 15 mm higher")),
    ("packer", _("Bump packers")),
    ("lips", _("Arch lips that turn in: rolled")),
    ("spacer", _("Spacers")),
    ("tyre", _("Tyres of the catalogue")),
    ("sizes", _("Standard sizes that the catalogue does not have")),
    ("wheel", _("Wheels of the catalogue")),
)


class OptionForm(forms.Form):
    """What is wanted, what may change, and limits of the job."""

    goal = forms.ChoiceField(
        label=_("What is wanted"),
        choices=[
            ("clear", _("This set-up, changed as little as possible, so that it clears")),
            ("widest", _("The widest tyre that clears")),
        ],
        widget=forms.RadioSelect,
        initial="clear",
    )
    may = forms.MultipleChoiceField(
        label=_("What may change"),
        choices=MAY,
        widget=forms.CheckboxSelectMultiple,
        initial=[name for name, _label in MAY if name != "sizes"],
    )
    camber_from = NumberField(
        label=_("Camber from, °"), required=False, min_value=-12, max_value=12
    )
    camber_to = NumberField(label=_("to, °"), required=False, min_value=-12, max_value=12)
    diameter_from = NumberField(
        label=_("Overall diameter from, mm"), required=False, min_value=300, max_value=1200
    )
    diameter_to = NumberField(label=_("to, mm"), required=False, min_value=300, max_value=1200)
    budget = MoneyField(
        label=_("Budget for the axle"),
        required=False,
        max_digits=9,
        decimal_places=2,
        min_value=0,
        help_text=_(
            "Wheels, tyres, spacers and parts to set camber otherwise, on both sides. "
            "Empty: no limit."
        ),
    )
    fieldsets: ClassVar = [
        (_("Request"), ["goal", "may"]),
        (
            _("Limits"),
            ["camber_from", "camber_to", "diameter_from", "diameter_to", "budget"],
        ),
    ]

    def __init__(self, *args: Any, car: Car, set_up: SetUp, **kwargs: Any) -> None:
        kwargs["initial"] = {**limits_of(car, set_up), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in ("camber", "diameter"):
            low, high = cleaned.get(f"{name}_from"), cleaned.get(f"{name}_to")
            if low is not None and high is not None and low > high:
                self.add_error(f"{name}_to", gettext("Below the start of the range."))
            elif (low is None) != (high is None) and not self.errors:
                self.add_error(f"{name}_to", gettext("Fill in both ends of the range, or neither."))
        return cleaned

    def asked(self) -> dict[str, Any]:
        """The answers as plain data."""
        kept = dict(self.cleaned_data)
        kept["budget"] = str(kept["budget"]) if kept.get("budget") is not None else None
        return kept
