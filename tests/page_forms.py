"""The forms of a page as a browser has them: what it shows, and what it would send."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlsplit

TEXTS = {"text", "textarea", "number", "email", "tel", "search", "password", "date", "time"}
NUMBER = re.compile(r"[-−]?\d+(?:[.,]\d+)?")


@dataclass
class Control:
    """One field of a form. ``values`` is what a browser sends of it; ``options`` what it offers."""

    name: str
    kind: str
    values: list[str] = field(default_factory=list)
    options: list[str] = field(default_factory=list)
    is_main: bool = False

    @property
    def is_seen(self) -> bool:
        return self.kind not in {"hidden", "submit"}

    @property
    def is_typed(self) -> bool:
        return self.kind in TEXTS

    def others(self) -> Iterator[list[str]]:
        """Other values that a person could give."""
        now = self.values[0] if self.values else ""
        if self.kind == "checkbox":
            yield [] if self.values else self.options[:1]
        elif self.kind in {"select", "radio"}:
            yield from ([one] for one in self.options if [one] != self.values)
        elif self.kind == "date":
            day = dt.date.fromisoformat(now) if now else dt.date(2026, 3, 2)
            yield from ([str(day + dt.timedelta(days=days))] for days in (1, 2))
        elif self.kind == "time":
            yield from ([text] for text in ("06:15", "06:45", "21:15", "21:45"))
        elif NUMBER.fullmatch(now):
            number = float(now.replace(",", ".").replace("−", "-"))
            for by in (1.0, 2.0, 0.1, 0.2):
                yield [f"{number + by:g}"]
        elif "\n" in now and NUMBER.match(now):
            yield from ([NUMBER.sub(number, now, count=1)] for number in ("-21", "-22", "1", "0.5"))
        else:
            yield from ([f"{now} {word}".strip()] for word in ("mauve", "ochre"))
            yield from ([number] for number in ("0.4", "0.6", "7", "9"))


@dataclass
class PageForm:
    """A form that is posted. ``path`` is where to; empty for the page's own address."""

    path: str
    controls: list[Control] = field(default_factory=list)

    def data(self, **changed: list[str]) -> dict[str, list[str]]:
        """What its main button sends, with other values for some of the fields."""
        sent: dict[str, list[str]] = {}
        buttons = [one for one in self.controls if one.kind == "submit"]
        button = next((one for one in buttons if one.is_main), buttons[0] if buttons else None)
        for control in self.controls:
            if control.kind == "submit" and control is not button:
                continue
            if control.name:
                sent.setdefault(control.name, []).extend(control.values)
        return {name: values for name, values in {**sent, **changed}.items() if values}

    def all_data(self) -> dict[str, list[str]]:
        """The same with every field of the form, empty ones too, so that each can be filled."""
        empty = {one.name: [""] for one in self.controls if one.is_seen and one.name}
        return {**empty, **self.data()}

    def control(self, name: str) -> Control | None:
        return next((one for one in self.controls if one.name == name), None)

    @property
    def seen(self) -> list[Control]:
        return [one for one in self.controls if one.is_seen]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[PageForm] = []
        self._form: PageForm | None = None
        self._select: Control | None = None
        self._area: Control | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = dict(attrs)
        if tag == "form":
            self._form = PageForm(urlsplit(has.get("action") or "").path)
            if (has.get("method") or "").lower() == "post":
                self.forms.append(self._form)
        if self._form is None:
            return
        name, value = has.get("name") or "", has.get("value") or ""
        if tag == "option" and self._select is not None:
            self._select.options.append(value)
            if "selected" in has:
                self._select.values.append(value)
        elif tag == "select":
            self._select = Control(name, "select")
            self._form.controls.append(self._select)
        elif tag == "textarea":
            self._area = Control(name, "textarea", [""])
            self._form.controls.append(self._area)
        elif tag == "button" and has.get("type") == "submit":
            is_main = "primary" in (has.get("class") or "").split()
            self._form.controls.append(Control(name, "submit", [value], is_main=is_main))
        elif tag == "input":
            self._input(name, has.get("type") or "text", value or "", has)

    def _input(self, name: str, kind: str, value: str, has: dict[str, str | None]) -> None:
        assert self._form is not None
        if kind == "file":
            return
        if kind in {"checkbox", "radio"}:
            value = value or "on"
            held = [value] if "checked" in has else []
            known = self._form.control(name) if kind == "radio" else None
            if known is not None:
                known.options.append(value)
                known.values.extend(held)
            else:
                self._form.controls.append(Control(name, kind, held, [value]))
        else:
            self._form.controls.append(Control(name, kind, [value]))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select":
            if self._select is not None and not self._select.values:
                self._select.values = self._select.options[:1]
            self._select = None
        elif tag == "textarea":
            if self._area is not None:
                self._area.values[0] = self._area.values[0].removeprefix("\n")
            self._area = None

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.values[0] += data


def forms_of(response: Any, path: str) -> list[PageForm]:
    """The forms of an answer that are posted to ``path``, which is the page's own address."""
    reader = _Reader()
    reader.feed(response.content.decode())
    return [form for form in reader.forms if form.path in ("", path)]
