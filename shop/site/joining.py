"""Forms that join what two people changed, field by field, and ask where both changed one field.

A form that edits what is on record carries, for each of its fields, a fingerprint of the text that
it was opened with. When it comes back, three texts of each field are compared: what it was opened
with (its fingerprint), what is on record now (the field's initial value) and what was sent. A
field that the sender left alone takes what is on record now; one that no other person changed
keeps what was sent; one that both changed, and not alike, is refused once with both texts. The
form that shows the refusal is opened with what is on record now, so that sending it again decides.

The comparison and the save have to be one step. ``shop.site.sending`` runs each POST in a
transaction; a model form claims its row when it saves (:func:`shop.models.versioned.claim`), and a
view whose form edits other rows reads them under a lock of the row that they belong to.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

from django import forms
from django.db import transaction
from django.db.models import Model
from django.forms.boundfield import BoundField
from django.http import QueryDict
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from shop.models.versioned import Versioned, claim
from shop.site.typed_forms import ModelForm

#: What a form is about.
Row = TypeVar("Row", bound=Model)

OPENED = "opened"
#: Bounds what is read of a sent list of fingerprints: some hundreds of fields.
LARGEST = 40_000
#: Hexadecimal digits of a fingerprint.
DIGITS = 12

_taken_over: ContextVar[list[str] | None] = ContextVar("taken_over", default=None)


@contextmanager
def noting() -> Iterator[list[str]]:
    """Labels of the fields that forms took over from another person's save, inside the block."""
    found: list[str] = []
    token = _taken_over.set(found)
    try:
        yield found
    finally:
        _taken_over.reset(token)


def fingerprint(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:DIGITS]


def opened_with(sent: str | None) -> dict[str, str]:
    """The fingerprints that a form was opened with, by field; empty for what is none."""
    if not sent or len(sent) > LARGEST:
        return {}
    try:
        found = json.loads(sent)
    except (ValueError, RecursionError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {key: value for key, value in found.items() if isinstance(value, str)}


def plain(text: Any) -> str:
    """A text as it is after a browser has sent it and a field has stripped it."""
    return "" if text is None else "\n".join(str(text).splitlines()).strip()


class JoinedForm(forms.BaseForm):
    """Mixed into a form whose initial values are what is on record; the template shows
    ``opened_input``. ``is_edit`` says that there is something on record to be joined with."""

    #: Fields that begin with something that is not on record, such as today's date.
    not_joined: Sequence[str] = ()
    #: What is on record where the form begins with another value, by field.
    on_record: Mapping[str, Any] = {}

    @property
    def is_edit(self) -> bool:
        return True

    # ---- the texts of a field

    def _text_on_record(self, field: BoundField) -> str:
        """The text on record."""
        return self._text_of(field, self.on_record.get(field.name, field.initial))

    def _joined_fields(self) -> Iterator[BoundField]:
        for field in self:
            widget = field.field.widget
            skipped = widget.is_hidden or field.field.disabled or widget.needs_multipart_form
            skipped = skipped or isinstance(widget, forms.PasswordInput)
            if not skipped and field.name not in self.not_joined:
                yield field

    def _text_of(self, field: BoundField, value: Any) -> str:
        """A value in the way in which the page shows it and a browser sends it back."""
        widget = field.field.widget
        if isinstance(widget, forms.CheckboxInput):
            return "on" if widget.check_test(value) else ""
        shown = widget.format_value(field.field.prepare_value(value))
        if isinstance(widget, forms.Select | forms.RadioSelect):
            return "\n".join(sorted(str(one) for one in shown if one not in (None, "")))
        return plain(shown)

    def _text_sent(self, field: BoundField) -> str:
        value = field.data
        if isinstance(field.field.widget, forms.CheckboxInput):
            return "on" if value else ""
        if isinstance(value, list | tuple):
            return "\n".join(sorted(str(one) for one in value))
        return plain(value)

    @property
    def opened_input(self) -> SafeString:
        """The hidden input with the fingerprints of what is on record; empty on a new record."""
        if not self.is_edit:
            return mark_safe("")
        name = self.add_prefix(OPENED)
        if self.is_bound and not self.is_judged and name in self.data:
            sent = self.data[name]  # shown again unjudged, as where a row is added
        else:
            prints = {f.name: fingerprint(self._text_on_record(f)) for f in self._joined_fields()}
            sent = json.dumps(prints, separators=(",", ":"))
        return format_html('<input type="hidden" name="{}" value="{}">', name, sent)

    # ---- joining

    def changed_meanwhile(self) -> bool:
        """Whether another person changed any field since the form was opened."""
        opened = opened_with(self.data.get(self.add_prefix(OPENED)))
        return any(
            opened.get(field.name, now) != now
            for field in self._joined_fields()
            for now in (fingerprint(self._text_on_record(field)),)
        )

    #: Whether anything was taken over from another person's save.
    has_taken = False

    def has_changed(self) -> bool:
        return self.has_taken or super().has_changed()

    is_judged = False

    def full_clean(self) -> None:
        self.is_judged = True
        conflicts = self._join() if self.is_bound and self.is_edit else {}
        super().full_clean()
        for name, standing in conflicts.items():
            self.add_error(name, standing)

    def _join(self) -> dict[str, str]:
        """Take what others changed and the sender did not; answer a sentence for each field that
        both changed."""
        opened = opened_with(self.data.get(self.add_prefix(OPENED)))
        taken, conflicts = {}, {}
        for field in self._joined_fields():
            was = opened.get(field.name)
            now = self._text_on_record(field)
            if was is None and opened and field.html_name not in self.data:
                taken[field] = now  # there was no such field when the form was opened
            if was is None or was == fingerprint(now):
                continue
            sent = self._text_sent(field)
            if fingerprint(sent) == was:
                taken[field] = now
            elif now != sent and self._means_else(field):
                conflicts[field.name] = self._say_both(field, now)
        self._take_over(taken)
        return conflicts

    def _means_else(self, field: BoundField) -> bool:
        """Whether what was sent means something else than what is on record."""
        now = self.on_record.get(field.name, field.initial)
        return field.field.has_changed(now, field.data)

    def _take_over(self, taken: Mapping[BoundField, str]) -> None:
        if not taken:
            return
        data = QueryDict(mutable=True)
        for key in self.data:
            values = self.data.getlist(key) if hasattr(self.data, "getlist") else [self.data[key]]
            data.setlist(key, values)
        for field, text in taken.items():
            if isinstance(field.field.widget, forms.SelectMultiple):
                data.setlist(field.html_name, text.split("\n") if text else [])
            elif text or not isinstance(field.field.widget, forms.CheckboxInput):
                data[field.html_name] = text
            else:
                data.pop(field.html_name, None)
        self.data, self.has_taken = data, True
        noted = _taken_over.get()
        if noted is not None:
            noted.extend(str(field.label) for field in taken)

    def _say_both(self, field: BoundField, now: str) -> str:
        return _(
            "Another person changed this to “{theirs}” while you were editing. Your entry is still "
            "here: save again to keep it, or enter theirs."
        ).format(theirs=self._words_of(field, now) or _("empty"))

    def _words_of(self, field: BoundField, text: str) -> str:
        """A text of a field as people read it: a choice by its label."""
        if isinstance(field.field.widget, forms.CheckboxInput):
            return _("ticked") if text else _("not ticked")
        choices = getattr(field.field.widget, "choices", None)
        if choices is None:
            return text
        labels = dict(_flat(choices))
        return ", ".join(labels.get(one, one) for one in text.split("\n") if one)


def _flat(choices: Any) -> Iterator[tuple[str, str]]:
    for value, label in choices:
        if isinstance(label, list | tuple):
            yield from _flat(label)
        else:
            yield str(value), str(label)


class JoinedModelForm(JoinedForm, ModelForm[Row]):
    """A model form that joins, and whose save claims its row. Raises Overtaken where another save
    came between reading and writing: the whole POST is then run again."""

    @property
    def is_edit(self) -> bool:
        return self.instance.pk is not None and not self.instance._state.adding

    def save(self, commit: bool = True) -> Any:
        if not commit:
            return super().save(commit=False)
        with transaction.atomic():
            self.claim()
            return super().save()

    def claim(self) -> None:
        """For a save that is not this form's own."""
        if self.is_edit and isinstance(self.instance, Versioned):
            claim(self.instance)
