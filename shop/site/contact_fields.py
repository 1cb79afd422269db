"""Telephone numbers and mail addresses in the forms in which people have them."""

from __future__ import annotations

import re
from email.utils import parseaddr
from typing import Any
from urllib.parse import unquote

from django import forms
from django.utils.translation import gettext as _

from shop.values.contact_keys import telephone_key

#: Signs between digits, and what may name an extension or stand for a country.
_TELEPHONE = re.compile(r"(?:tel\.?:?)?[\s+\d()/.,·\-–‐]*(?:(?:ext\.?|x|#)\s*\d+)?", re.IGNORECASE)
LEAST_DIGITS = 3


class TelephoneField(forms.CharField):
    """A telephone number in any grouping; kept as it was typed, without ``tel:`` before it."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 40)
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "tel"}))
        super().__init__(**kwargs)

    def clean(self, value: Any) -> str:
        text: str = super().clean(value)
        if not text:
            return ""
        if not _TELEPHONE.fullmatch(text) or len(telephone_key(text)) < LEAST_DIGITS:
            raise forms.ValidationError(
                _(
                    "“{text}” is no telephone number. Enter digits, for example +49 555 0123."
                ).format(text=text)
            )
        return re.sub(r"^tel\.?:?\s*", "", text, flags=re.IGNORECASE)


class MailField(forms.EmailField):
    """A mail address, also out of ``mailto:`` or with its owner's name before it."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "email"}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        if text.lower().startswith("mailto:"):
            text = unquote(text[len("mailto:") :].partition("?")[0])
        return parseaddr(text)[1] or text if "<" in text else text
