"""Forms whose fields take units as typed, show what was understood, and ask about odd values."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django import forms
from django.urls import reverse_lazy

from alignment.fields.plausibility import Question
from alignment.geometry import units
from alignment.geometry.units import Understood

ACCEPT = "accept"
#: Kinds that are a number with a sign, and nothing else in everyday use.
SIGNED_NUMBERS = ("camber", "caster", "toe", "toe_total", "temperature")
READ_BACK = reverse_lazy("typed_read")


class TypedField(forms.CharField):
    """A short text that becomes a number in the form's ``clean``.

    ``kind`` is sent to ``alignment.visits.views.typed_read`` when the field changes: the answer
    appears beside the field, and the page works without it.
    """

    def __init__(self, kind: str, *, signed: bool = True, **kwargs: Any) -> None:
        self.kind = kind
        kwargs.setdefault("required", False)
        kwargs.setdefault("max_length", 40)
        super().__init__(**kwargs)
        # Number pads of tablets have no minus and no marks: plain lengths get one at once, signed
        # angles where static/entry.js puts a key for the sign beside them.
        self.widget.attrs.update(
            {
                "inputmode": "text" if signed else "decimal",
                "autocomplete": "off",
                "autocapitalize": "off",
                "spellcheck": "false",
                "enterkeyhint": "next",
            }
        )
        if signed and (kind in SIGNED_NUMBERS or kind.startswith("sweep_")):
            self.widget.attrs["data-signed"] = kind

    def ask_server(self, name: str, auto_id: str) -> None:
        """Let the field show what the server understands as soon as it changes."""
        self.widget.attrs.update(
            {
                "hx-get": f"{READ_BACK}?kind={self.kind}&field={name}",
                "hx-trigger": "change",
                "hx-target": f"#{auto_id}_read",
                "hx-include": "#id_toe_unit, #id_toe_diameter, #id_toe_place",
            }
        )
        if self.kind.startswith("sweep_"):  # four fields give one caster
            corner = self.kind.removeprefix("sweep_")
            self.widget.attrs["hx-target"] = f"#{self.kind}_read"
            self.widget.attrs["hx-include"] = f"[name^={self.kind}_], #id_sai_{corner}"


class TypedForm(forms.Form):
    """``understood`` maps field names to what was read; ``questions`` are asked with a tick."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.understood: dict[str, str] = {}
        self.questions: list[Question] = []
        self.accepted: list[list[dict[str, Any]]] = []
        self.theirs: list[tuple[str, str, str]] = []

    def bind_read_back(self) -> None:
        """To be called when all fields exist."""
        for name, field in self.fields.items():
            if isinstance(field, TypedField):
                field.ask_server(name, f"id_{name}")

    def read(
        self, name: str, reader: Callable[[str], Understood], say: Callable[[float], str]
    ) -> Understood | None:
        """The number in a field; None when it is empty or refused (the error is noted)."""
        text = (self.cleaned_data.get(name) or "").strip()
        if not text:
            return None
        try:
            number = reader(text)
        except units.NotUnderstood as refusal:
            self.add_error(name, str(refusal))
            return None
        self.understood[name] = number.words or say(number.value)
        return number

    @property
    def ticked(self) -> set[str]:
        if hasattr(self.data, "getlist"):
            return set(self.data.getlist(ACCEPT))
        found = self.data.get(ACCEPT, [])
        return {found} if isinstance(found, str) else set(found)

    def ask(self, asked: Iterable[tuple[str | None, Question]]) -> None:
        """Put each question at its field (None: on top of the form) unless it was ticked for the
        values typed."""
        for name, question in asked:
            self.questions.append(question)
            if question.key in self.ticked:
                self.accepted.append(question.kept)
            else:
                self.add_error(name, question.text)

    def put(self, name: str, value: str) -> None:
        """Replace one sent value, as where the version on record is newer."""
        # Any: the stubs give a form's data no copy().
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        if value or name not in self.fields:
            data[name] = value
        else:
            data.pop(name, None)
        self.data = data
