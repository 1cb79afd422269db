"""What a search for ways to clear may change, and within which limits."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms

from fitment.fields.numbers import NumberField
from fitment.job.car import Car
from fitment.tryout.data import SetUp
from fitment.tryout.limits import limits_of
from shop.site.fields import CommaDecimalField

MAY = (
    ("means", "Means of camber"),
    ("camber", "Camber, inside the range below"),
    ("height", "Ride height, up to 15 mm higher"),
    ("packer", "Bump packers"),
    ("lips", "Arch lips that turn in: rolled"),
    ("spacer", "Spacers"),
    ("tyre", "Tyres of the catalogue"),
    ("sizes", "Standard sizes that the catalogue does not have"),
    ("wheel", "Wheels of the catalogue"),
)


class OptionForm(forms.Form):
    """The wish, what may change, and limits of the job."""

    goal = forms.ChoiceField(
        label="What is wanted",
        choices=[
            ("clear", "This set-up, changed as little as possible, so that it clears"),
            ("widest", "The widest tyre that clears"),
        ],
        widget=forms.RadioSelect,
        initial="clear",
    )
    may = forms.MultipleChoiceField(
        label="What may change",
        choices=MAY,
        widget=forms.CheckboxSelectMultiple,
        initial=[name for name, _ in MAY if name != "sizes"],
    )
    camber_from = NumberField(label="Camber from, °", required=False, min_value=-12, max_value=12)
    camber_to = NumberField(label="to, °", required=False, min_value=-12, max_value=12)
    diameter_from = NumberField(
        label="Overall diameter from, mm", required=False, min_value=300, max_value=1200
    )
    diameter_to = NumberField(label="to, mm", required=False, min_value=300, max_value=1200)
    budget = CommaDecimalField(
        label="Budget for the axle",
        required=False,
        max_digits=9,
        decimal_places=2,
        min_value=0,
        help_text="Wheels, tyres, spacers and what other means take, on both sides. "
        "Empty: no limit.",
    )
    fieldsets: ClassVar = [
        ("Wish", ["goal", "may"]),
        (
            "Limits",
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
                self.add_error(f"{name}_to", "This is less than where the range begins.")
            elif (low is None) != (high is None) and not self.errors:
                self.add_error(f"{name}_to", "A range needs both its ends, or neither.")
        return cleaned

    def asked(self) -> dict[str, Any]:
        """The answers as plain data."""
        kept = dict(self.cleaned_data)
        kept["budget"] = str(kept["budget"]) if kept.get("budget") is not None else None
        return kept
