"""The part of a form for texts in other languages than the shop's own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.models.texts import Translated


def add_texts(
    form: forms.ModelForm[Any], names: Sequence[str], languages: Iterable[tuple[str, str]]
) -> list[str]:
    """Add a field for each text in each language, beside the one for the shop's own language.

    ``form`` is that of a :class:`shop.models.texts.Translated` row. Answers the fields' names.
    """
    added = []
    for code, language in languages:
        for name in names:
            own = form.fields[name]
            key = text_key(name, code)
            form.fields[key] = forms.CharField(
                label=gettext("{field}, in {language}").format(field=own.label, language=language),
                required=False,
                max_length=getattr(own, "max_length", None),
                widget=type(own.widget)(attrs={**own.widget.attrs, "lang": code}),
                initial=form.instance.texts.get(code, {}).get(name, ""),
            )
            added.append(key)
    return added


def take_texts(
    form: forms.ModelForm[Any], names: Sequence[str], languages: Iterable[tuple[str, str]]
) -> None:
    """Put what was typed into the form's row, which is not saved by this."""
    row: Translated = form.instance
    for code, _language in languages:
        for name in names:
            key = text_key(name, code)
            if key in form.cleaned_data:
                row.set_text(code, name, form.cleaned_data[key])


def text_key(name: str, code: str) -> str:
    """The name of a text's field: ``name_de``."""
    return f"{name}_{code.replace('-', '_')}"
