"""Model forms in which people type numbers, held against the rules of a check file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, TypeVar

from django import forms
from django.db.models import Model

from fitment.engine.checkfile.reader import Node, Problem
from fitment.engine.checkfile.setting import read_tyre, read_wheel
from fitment.engine.model import Wheel
from fitment.engine.solid.designation import BadSize, size_of
from fitment.fields.numbers import NumberField
from shop.site.joining import JoinedModelForm

#: What a form is about.
Row = TypeVar("Row", bound=Model)


class NumberModelForm(JoinedModelForm[Row]):
    """A model form in which every float is typed as people write numbers."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            if isinstance(field, forms.FloatField) and not isinstance(field, NumberField):
                number = NumberField(
                    label=field.label,
                    required=field.required,
                    help_text=field.help_text,
                    initial=field.initial,
                    min_value=field.min_value,
                    max_value=field.max_value,
                )
                self.fields[name] = number

    def refuse_what_the_engine_refuses(self, corner: Mapping[str, Any], part: str) -> None:
        """Hold the entry against the check file's own rules and put each problem at its field."""
        for problem in part_problems(corner, part):
            name = problem.path.split(".")[0].split("[")[0]
            self.add_error(name if name in self.fields else None, f"{problem.message}.")


def part_problems(document: Mapping[str, Any], part: str) -> list[Problem]:
    """What is wrong with a ``wheel`` or ``tyre`` of a check file; paths start inside it."""
    problems: list[Problem] = []
    table = Node(dict(document), "", problems).table()
    if part == "wheel":
        read_wheel(table)
    else:
        read_tyre(table, _wheel_for(document))
    return problems


def _wheel_for(tyre: Mapping[str, Any]) -> Wheel:
    """A wheel on which this tyre could be measured; blank where its size says nothing."""
    try:
        size = size_of(str(tyre.get("size", "")))
    except BadSize:
        return Wheel(diameter_in=math.nan, width_in=math.nan, offset_mm=0.0)
    width = tyre.get("measuring_rim_in") or size.measuring_rim_in
    return Wheel(diameter_in=size.rim_in, width_in=width, offset_mm=0.0)
