"""Fields of a survey whose rows begin with words: open arcs, adjusters' ranges, links."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from typing import Any

from django import forms

from fitment.fields.numbers import number_text, parse_number, split_row

Document = dict[str, Any]
SIDES = ("inboard", "outboard")


class WordedRowsField(forms.CharField, ABC):
    """Rows that begin with words and end in numbers; subclasses turn a row into its value."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault(
            "widget", forms.Textarea(attrs={"rows": 3, "cols": 40, "spellcheck": "false"})
        )
        kwargs.setdefault("required", False)
        super().__init__(**kwargs)

    @abstractmethod
    def row(self, line: str) -> Any:
        """The value of one row. Raises ValueError with what to write instead."""

    def clean(self, value: Any) -> Any:
        rows, problems = [], []
        for count, line in enumerate(str(super().clean(value)).splitlines(), start=1):
            if not line.strip():
                continue
            try:
                rows.append(self.row(line))
            except ValueError as odd:
                problems.append(f"Line {count}: {odd}.")
        if problems:
            raise forms.ValidationError(problems)
        return rows


class OpenArcsField(WordedRowsField):
    """``inboard -60 0 60``: side, from, to, free as far as."""

    def row(self, line: str) -> Document:
        words = split_row(line)
        if len(words) != 4 or words[0].lower() not in SIDES:
            raise ValueError("write the side, from and to in degrees, and how far it is free")
        start, end, beyond = (parse_number(word) for word in words[1:])
        return {
            "side": words[0].lower(),
            "from_deg": start,
            "to_deg": end,
            "beyond_mm": beyond,
        }

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list):
            return "\n".join(
                f"{arc['side']}  {number_text(arc['from_deg'])}  {number_text(arc['to_deg'])}"
                f"  {number_text(arc['beyond_mm'])}"
                for arc in value
            )
        return value


class ReachField(WordedRowsField):
    """``toe_link_mm -3 3``: an adjuster, its least and its greatest value."""

    def row(self, line: str) -> tuple[str, list[float]]:
        words = split_row(line)
        if len(words) < 3:
            raise ValueError("write the adjuster, its least and its greatest value")
        return " ".join(words[:-2]), [parse_number(word) for word in words[-2:]]

    def clean(self, value: Any) -> Any:
        return dict(super().clean(value))

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Mapping):
            return "\n".join(
                f"{name}  {number_text(low)}  {number_text(high)}"
                for name, (low, high) in value.items()
            )
        return value


class RodsField(WordedRowsField):
    """``toe link; -164 -431 -26; -142 -104 -25; toe``: name, inner end, outer end, mark."""

    def row(self, line: str) -> Document:
        parts = [part.strip() for part in line.split(";")]
        if len(parts) not in (3, 4) or (len(parts) == 4 and parts[3].lower() not in ("toe", "")):
            raise ValueError(
                "write name; inner x y z; outer x y z, with semicolons, and “; toe” on one link"
            )
        rod: Document = {"name": parts[0], "inner": _point(parts[1]), "outer": _point(parts[2])}
        if len(parts) == 4 and parts[3]:
            rod["toe"] = True
        return rod

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list):
            return "\n".join(_rod_text(rod) for rod in value)
        return value


def _point(text: str) -> list[float]:
    words = split_row(text)
    if len(words) != 3:
        raise ValueError(f"“{text}” is not a point x y z")
    return [parse_number(word) for word in words]


def _rod_text(rod: Mapping[str, Any]) -> str:
    ends = "; ".join("  ".join(number_text(x) for x in rod[end]) for end in ("inner", "outer"))
    return f"{rod['name']}; {ends}{'; toe' if rod.get('toe') else ''}"
