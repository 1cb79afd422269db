"""A table: a file, or what was copied out of a sheet."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from common.csv_text import BadTable, text_of


class TableForm(forms.Form):
    file = forms.FileField(label=_("CSV file"), required=False)
    text = forms.CharField(
        label=_("Or the table itself"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text=_("Headings in the first line; semicolons, commas or tabs between the columns."),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        file = cleaned.get("file")
        try:
            if file is not None:
                cleaned["text"] = text_of(file.read())
            elif cleaned.get("text"):
                cleaned["text"] = text_of(cleaned["text"].encode())
        except BadTable as bad:
            self.add_error("file" if file else "text", str(bad))
            return cleaned
        if not cleaned.get("text", "").strip():
            raise forms.ValidationError(_("Choose a file, or put a table into the field."))
        return cleaned
