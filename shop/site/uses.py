"""What a car is for, where people tick it: one use or several."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import Use


class UsesField(forms.MultipleChoiceField):
    """Uses of a car; several may be ticked. Its value is a list of :class:`Use`."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", _("Use"))
        kwargs.setdefault("widget", forms.CheckboxSelectMultiple)
        kwargs.setdefault("help_text", _("Clearance is judged for every use that is ticked."))
        super().__init__(choices=Use.choices, **kwargs)


def uses_taken(data: dict[str, Any]) -> None:
    """Put the ticked uses where an order keeps them: the hardest, and the further ones."""
    if "use" in data:
        ticked = [name for name in Use.values if name in data["use"]]
        data["use"], data["further_uses"] = ticked[-1], ticked[:-1]
