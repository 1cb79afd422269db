"""Wheels and tyres from a table that a spreadsheet wrote: looked at first, taken whole or not.

Every row goes through the form that a person would fill in. One bad row stops the whole table,
and is named with its line and what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django import forms
from django.db import models, transaction
from django.utils.translation import gettext_lazy as _

from common.csv_text import MOST_ROWS, BadTable, Cells, rows_of
from fitment.catalogue.cell_text import without_unit
from fitment.catalogue.forms import TyreForm, WheelForm
from fitment.fields.numbers import number_text, parse_number

Key = tuple[str, ...]


@dataclass(frozen=True)
class Kind:
    """What can be imported: its form, what makes a row itself, and its columns by heading."""

    words: str
    form: type[TyreForm | WheelForm]
    key: tuple[str, ...]
    headings: Mapping[str, str]


TYRES = Kind(
    "tyres",
    TyreForm,
    ("maker", "name", "size"),
    {
        "name": "name",
        "maker": "maker",
        "size": "size",
        "section width": "section_width_mm",
        "measuring rim": "measuring_rim_in",
        "diameter": "overall_diameter_mm",
        "tread width": "tread_width_mm",
        "shoulder drop": "shoulder_drop_mm",
        "load index": "load_index",
        "speed symbol": "speed_symbol",
        "rim from": "rim_min_in",
        "rim to": "rim_max_in",
        "price": "price",
        "stock": "stock",
    },
)
WHEELS = Kind(
    "wheels",
    WheelForm,
    ("maker", "name", "diameter_in", "width_in", "offset_mm"),
    {
        "name": "name",
        "maker": "maker",
        "diameter": "diameter_in",
        "width": "width_in",
        "offset": "offset_mm",
        "flange": "flange_mm",
        "barrel": "barrel_mm",
        "bolts": "bolt_count",
        "bolt circle": "bolt_circle_mm",
        "centre bore": "centre_bore_mm",
        "load rating": "load_rating_kg",
        "seat": "seat",
        "thickness at the bolts": "pad_mm",
        "price": "price",
        "stock": "stock",
        "notes": "notes",
    },
)
KINDS = {"tyres": TYRES, "wheels": WHEELS}


@dataclass
class TableRow:
    """One line of the file as it would be saved."""

    line: int
    name: str
    form: TyreForm | WheelForm
    is_new: bool
    changes: tuple[str, ...] = ()
    problems: list[str] = field(default_factory=list)

    @property
    def words(self) -> str:
        """What would become of the row."""
        if self.problems:
            return "wrong"
        if self.is_new:
            return "new"
        return f"changes {', '.join(self.changes)}" if self.changes else "as it is"


@dataclass
class Preview:
    """A table looked at: its rows, and unknown headings."""

    kind: Kind
    rows: list[TableRow]
    unknown: list[str]

    @property
    def bad(self) -> list[TableRow]:
        return [row for row in self.rows if row.problems]

    @property
    def may_import(self) -> bool:
        return bool(self.rows) and not self.bad

    @property
    def counts(self) -> dict[str, int]:
        """How many rows are new, changed and as they are."""
        counts = {"new": 0, "changed": 0, "same": 0}
        for row in self.rows:
            counts["new" if row.is_new else "changed" if row.changes else "same"] += 1
        return counts


def preview(kind: Kind, text: str) -> Preview:
    """Look at a table without saving anything. Raises BadTable where no rows can be read."""
    headings, lines = _table(text)
    fields = {place: _field(kind, heading) for place, heading in enumerate(headings)}
    unknown = [
        headings[place] for place, name in fields.items() if name is None and headings[place]
    ]
    found = [name for name in fields.values() if name is not None]
    twice = {name for name in found if found.count(name) > 1}
    missing = [heading for heading, name in kind.headings.items() if name in _needed(kind, found)]
    if twice:
        raise BadTable(
            _("Two columns are headed alike: {columns}.").format(columns=", ".join(sorted(twice)))
        )
    if missing:
        said = _("A column is missing: {columns}.").format(columns=", ".join(missing))
        if unknown:
            more = _("Unknown headings: {columns}.").format(columns=", ".join(unknown))
            said = f"{said} {more}"
        raise BadTable(said)
    known = {_key(kind, _values(kind, row)): row for row in kind.form.Meta.model.objects.all()}
    rows: list[TableRow] = []
    first_at: dict[Key, int] = {}
    for read in lines:
        entry = {
            name: read.cells[place]
            for place, name in fields.items()
            if name and place < len(read.cells)
        }
        row = _row(kind, read.line, entry, known)
        row.problems += _too_many(read, len(headings))
        key = _key(kind, entry)
        if key in first_at:
            row.problems.append(f"The same as line {first_at[key]}.")
        first_at.setdefault(key, read.line)
        rows.append(row)
    return Preview(kind, rows, unknown)


def _table(text: str) -> tuple[list[str], list[Cells]]:
    """Headings and the rows below them. Raises BadTable where there is no such table."""
    rows = rows_of(text)
    if len(rows) < 2:
        raise BadTable(_("There is no row under the headings."))
    if len(rows) - 1 > MOST_ROWS:
        raise BadTable(
            _("There are more than {most} rows: send the table in parts.").format(most=MOST_ROWS)
        )
    return rows[0].cells, rows[1:]


@transaction.atomic
def take_over(looked_at: Preview) -> None:
    """Save all rows of a table that has no bad one."""
    if not looked_at.may_import:
        raise BadTable(_("Nothing was imported: some rows are wrong."))
    for row in looked_at.rows:
        row.form.save()


def _field(kind: Kind, heading: str) -> str | None:
    """The field that a heading means: by its words, its label or its name."""
    plain = heading.split(",")[0].split("(")[0].strip().casefold().replace("_", " ")
    labels = {
        str(field.verbose_name).split(",")[0].casefold(): field.name
        for field in kind.form.Meta.model._meta.fields
        if field.name in kind.headings.values()
    }
    names = {name.rsplit("_mm", 1)[0].replace("_", " "): name for name in kind.headings.values()}
    whole = {name.replace("_", " "): name for name in kind.headings.values()}
    return ({**whole, **names, **labels, **kind.headings}).get(plain)


def _needed(kind: Kind, found: list[str]) -> set[str]:
    return {name for name in kind.key if name != "maker"} - set(found)


def _too_many(read: Cells, columns: int) -> list[str]:
    """A row with more cells than headings: most often a decimal comma between commas."""
    over = len(read.cells) - columns
    if over <= 0 or not any(read.cells[columns:]):
        return []
    return [
        f"It has {len(read.cells)} cells under {columns} headings: one separator too many, or a "
        "decimal comma between commas."
    ]


def _values(kind: Kind, row: models.Model) -> dict[str, Any]:
    return {name: getattr(row, name) for name in kind.key}


def _key(kind: Kind, values: Mapping[str, Any]) -> Key:
    """What makes a row itself, however its numbers are written."""
    return tuple(
        "".join(_plain(values.get(name, "")).split())
        if name == "size"
        else _plain(values.get(name, ""))
        for name in kind.key
    )


def _plain(value: Any) -> str:
    text = str(value).strip().replace(",", ".")
    try:
        return number_text(float(text))
    except ValueError:
        return " ".join(text.split()).casefold()


def _row(
    kind: Kind, line: int, entry: dict[str, str], known: Mapping[Key, models.Model]
) -> TableRow:
    """One line through its form; an empty cell leaves what is on record."""
    before = known.get(_key(kind, entry))
    form_of: Callable[..., TyreForm | WheelForm] = kind.form
    blank = form_of(instance=before)
    data = {name: _shown(blank, name) for name in blank.fields}
    for name, text in entry.items():
        if text:
            label = str(blank[name].label)
            plain = text if name == "price" else without_unit(text, label)
            data[name] = _choice(blank.fields[name], plain)
    if before is not None and entry.get("section_width_mm"):
        _trust_less(blank, data)
    form = form_of(data, instance=before)
    problems = []
    if not form.is_valid():
        for name, errors in form.errors.items():
            label = "" if name == "__all__" else f"{form[name].label}: "
            problems += [f"{label}{error}" for error in errors]
    changed = [name for name, text in entry.items() if text and name in form.changed_data]
    changes = tuple(str(form[name].label).split(",")[0].lower() for name in changed)
    if before is not None and "measured" in form.changed_data:
        changes = (*changes, "no longer a width that this shop measured")
    name = " ".join(str(entry.get(key, "")) for key in kind.key).strip()
    return TableRow(line, name, form, before is None, changes, problems)


def _trust_less(blank: TyreForm | WheelForm, data: dict[str, Any]) -> None:
    """Another width than the one that this shop measured is a printed one again."""
    if not blank["measured"].value():
        return
    try:
        same = number_text(blank["section_width_mm"].value()) == number_text(
            parse_number(data["section_width_mm"])
        )
    except ValueError:
        return
    if not same:
        data["measured"] = ""


def _shown(form: TyreForm | WheelForm, name: str) -> Any:
    """What a form would hold for a field when it is opened."""
    value = form[name].value()
    return "" if value is None or value is False else value


def _choice(field: forms.Field, text: str) -> str:
    """A choice by its words as well as by its short name."""
    for key, words in getattr(field, "choices", ()):
        if str(words).casefold() == text.casefold():
            return str(key)
    return text
