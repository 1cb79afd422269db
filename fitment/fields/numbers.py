"""Fields for numbers as people type them: decimal comma or point, one row of numbers a line."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

#: Signs that keyboards and word processors put for a minus.
_MINUS = str.maketrans({"\u2212": "-", "\u2013": "-", "\u2011": "-"})
_BLANKS = re.compile(r"[\s;|\u00a0\u202f]+")


def parse_number(text: str) -> float:
    """A decimal number with point or comma. Raises ValueError with a reason."""
    plain = text.strip().translate(_MINUS)
    if plain.count(",") + plain.count(".") > 1:
        raise ValueError(f"“{text}” could mean two numbers: leave out separators of thousands")
    try:
        value = float(plain.replace(",", "."))
    except ValueError:
        raise ValueError(f"“{text}” is not a number") from None
    if not math.isfinite(value):
        raise ValueError(f"“{text}” is not a finite number")
    return value


def number_text(value: Any) -> str:
    """A number the way a form shows it: no idle zeros, no exponent."""
    if value is None:
        return ""
    text = f"{float(value):.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def split_row(line: str) -> list[str]:
    """The words of one typed row: separated by blanks, semicolons or bars."""
    words = [word for word in _BLANKS.split(line.strip()) if word]
    return [word.rstrip(",") if word != "," else word for word in words]


class NumberField(forms.FloatField):
    """One number; empty is None."""

    widget = forms.TextInput
    #: Characters that it may be typed with.
    longest = 20

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "text", "size": 10}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]  # the stubs say int
        typed = "" if value is None else str(value).strip()
        if len(typed) > self.longest:
            told = _("Too long: at most {count} characters.")
            raise forms.ValidationError(told.format(count=self.longest))
        return self.read(typed) if typed else None

    def read(self, typed: str) -> float:
        """The number that a text means. Raises ValidationError with the reason."""
        try:
            return parse_number(typed)
        except ValueError as odd:
            raise forms.ValidationError(f"{odd}.") from None

    def prepare_value(self, value: Any) -> Any:
        return number_text(value) if isinstance(value, int | float) else value


class RowsField(forms.CharField):
    """Rows of numbers, one a line, all of the same length: ``[[…], …]``.

    ``columns`` name the numbers for the messages.
    """

    def __init__(self, *, columns: Sequence[str], rows: int = 5, **kwargs: Any) -> None:
        self.columns = tuple(columns)
        kwargs.setdefault(
            "widget", forms.Textarea(attrs={"rows": rows, "cols": 24, "spellcheck": "false"})
        )
        super().__init__(**kwargs)

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        rows: list[list[float]] = []
        problems: list[str] = []
        for count, line in enumerate(str(text).splitlines(), start=1):
            if not line.strip():
                continue
            try:
                rows.append(self._row(line))
            except ValueError as odd:
                problems.append(f"Line {count}: {odd}.")
        if problems:
            raise forms.ValidationError(problems)
        return rows

    def _row(self, line: str) -> list[float]:
        words = split_row(line)
        if len(words) != len(self.columns):
            wanted = ", ".join(self.columns)
            raise ValueError(
                f"{len(words)} numbers where {len(self.columns)} belong ({wanted}), "
                "with blanks between them"
            )
        return [parse_number(word) for word in words]

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list | tuple):
            return "\n".join("  ".join(number_text(item) for item in row) for row in value)
        return value


class PointField(RowsField):
    """One point, x y z: a list of three numbers, or None."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"size": 24}))
        super().__init__(columns=("x", "y", "z"), **kwargs)

    def clean(self, value: Any) -> Any:
        rows = super().clean(value)
        if len(rows) > 1:
            raise forms.ValidationError(_("One point only: x y z."))
        return rows[0] if rows else None

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list | tuple):
            return "  ".join(number_text(item) for item in value)
        return value
