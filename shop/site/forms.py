"""A form that several capabilities share."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.validators import MaxLengthValidator
from django.utils.translation import gettext_lazy as _


class MoveForm(forms.Form):
    """A reason, where the move wants one."""

    reason = forms.CharField(
        label=_("Reason"),
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("The reason is kept in the log."),
    )

    def __init__(
        self, *args: Any, wants_reason: bool = True, most: int | None = None, **kwargs: Any
    ) -> None:
        """``most`` is how many characters are kept of the reason; without it, all of them."""
        super().__init__(*args, **kwargs)
        self.fields["reason"].required = wants_reason
        if most is not None:
            self.fields["reason"].validators.append(MaxLengthValidator(most))
