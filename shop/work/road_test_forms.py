"""What is asked before a road test is kept that says something else than the clearance check."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models.work import Wrong


class ContradictionForm(forms.Form):
    """Which is wrong, for the very sentences that were shown: others are asked about anew."""

    prefix = "settle"
    fieldsets: ClassVar = [("", ["seen", "wrong", "wrong_note"])]

    seen = forms.CharField(widget=forms.HiddenInput)
    wrong = forms.ChoiceField(
        label=_("What is wrong?"), choices=Wrong.choices, widget=forms.RadioSelect
    )
    wrong_note = forms.CharField(label=_("What speaks for it"), max_length=200, required=False)

    def __init__(self, data: Any, *, sentences: Sequence[str]) -> None:
        self.sentences = list(sentences)
        self.key = hashlib.sha256("\n".join(sentences).encode()).hexdigest()[:16]
        answered = data.get("settle-seen") == self.key
        super().__init__(data if answered else None, initial={"seen": self.key})
