"""Rows of one page that several people change, add and take away at the same time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from django import forms
from django.db.models import Model
from django.http import QueryDict
from django.utils.translation import gettext as _

from common.numerals import whole
from shop.site.joining import OPENED, JoinedModelForm, fingerprint, opened_with, plain
from shop.site.typed_forms import BaseModelFormSet

#: What the rows are, and the form of one of them.
Row = TypeVar("Row", bound=Model)
RowForm = TypeVar("RowForm", bound="JoinedModelForm[Any]")
COUNTS = ("TOTAL", "INITIAL")


class JoinedRows(BaseModelFormSet[Row, RowForm]):
    """Rows whose forms join.

    Taking away a row that another person changed is asked about once. A row that another person
    took away is gone, unless it was changed here: then it comes back once as a new row.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.came_back = 0
        if self.is_bound:
            self.data = self._on_what_is_there(self.data)

    def _on_what_is_there(self, data: Any) -> Any:
        """What was sent, with the rows that are gone left out, or behind the others as new ones."""
        total, initial = (whole(data.get(f"{self.prefix}-{name}_FORMS", "")) for name in COUNTS)
        if total is None or initial is None or not initial <= total <= self.absolute_max:
            return data
        there = {str(row.pk) for row in self.get_queryset()}
        gone = [n for n in range(initial) if self._sent(data, n).get("id", "") not in there]
        if not gone:
            return data
        changed = [n for n in gone if self._was_changed(self._sent(data, n))]
        self.came_back = len(changed)
        kept = [n for n in range(initial) if n not in gone]
        order = [*kept, *changed, *range(initial, total)]
        sent = QueryDict(mutable=True)
        for key in data:
            if not key.startswith(f"{self.prefix}-"):
                sent.setlist(key, data.getlist(key))
        for new, old in enumerate(order):
            for name, value in self._sent(data, old).items():
                if old not in gone or name not in {"id", OPENED}:
                    sent[f"{self.prefix}-{new}-{name}"] = value
        for name, count in zip(COUNTS, (len(order), len(kept)), strict=True):
            sent[f"{self.prefix}-{name}_FORMS"] = str(count)
        return sent

    def _sent(self, data: Any, number: int) -> dict[str, str]:
        start = f"{self.prefix}-{number}-"
        return {key.removeprefix(start): data[key] for key in data if key.startswith(start)}

    def _was_changed(self, sent: Mapping[str, str]) -> bool:
        """Whether a row holds anything else than what the page was opened with."""
        if sent.get("DELETE"):
            return False
        opened = opened_with(sent.get(OPENED))
        return any(fingerprint(plain(sent.get(name))) != was for name, was in opened.items())

    def clean(self) -> None:
        super().clean()
        if self.came_back:
            raise forms.ValidationError(
                _(
                    "Another person removed a row that you changed. It is shown again as a new "
                    "row: save again to keep it, or empty it."
                )
            )
        gone: list[Any] = self.deleted_forms
        changed = [form.instance for form in gone if form.changed_meanwhile()]
        if changed:
            rows = "; ".join(str(row) for row in changed)
            raise forms.ValidationError(
                _(
                    "Another person changed what you are removing: {rows}. Save again to remove "
                    "it, or take the tick away."
                ).format(rows=rows)
            )
