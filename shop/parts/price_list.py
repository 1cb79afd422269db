"""A supplier's price list from a table: looked at first, taken whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from common.csv_text import MOST_ROWS, BadTable, Cells, rows_of
from shop.models import Part, Supplier
from shop.site.amount_fields import MoneyField
from shop.site.refusals import Refused

#: Headings by what they mean. A part's number and its net price are needed.
HEADINGS = {
    "supplier": "supplier",
    "part number": "number",
    "number": "number",
    "net price": "price",
    "price": "price",
    "name": "name",
}
NUMBER_LENGTH, NAME_LENGTH = 40, 120


@dataclass
class PriceRow:
    """One line of the file; ``part`` None is one that the shop does not have yet."""

    line: int
    number: str
    name: str = ""
    price: Decimal | None = None
    supplier: Supplier | None = None
    part: Part | None = None
    problems: list[str] = field(default_factory=list)

    @property
    def old_price(self) -> Decimal | None:
        return self.part.price if self.part else None

    @property
    def changes(self) -> bool:
        """Whether taking the row would change a part on record."""
        if self.part is None:
            return False
        other = self.supplier is not None and self.supplier.pk != self.part.supplier_id
        return other or self.price != self.part.price


@dataclass
class PriceList:
    """A list looked at."""

    rows: list[PriceRow]
    unknown: list[str]

    @property
    def bad(self) -> list[PriceRow]:
        return [row for row in self.rows if row.problems]

    @property
    def new(self) -> list[PriceRow]:
        return [row for row in self.rows if row.part is None]

    @property
    def changed(self) -> list[PriceRow]:
        return [row for row in self.rows if row.changes]

    @property
    def may_import(self) -> bool:
        return bool(self.rows) and not self.bad


def price_list(text: str) -> PriceList:
    """Look at a list without saving anything. Raises BadTable where no rows can be read."""
    read = rows_of(text)
    if len(read) < 2:
        raise BadTable(_("There is no row under the headings."))
    if len(read) - 1 > MOST_ROWS:
        raise BadTable(
            _("There are more than {most} rows: send the table in parts.").format(most=MOST_ROWS)
        )
    columns, unknown = _columns(read[0])
    parts = {part.number.casefold(): part for part in Part.objects.all()}
    suppliers = {one.name.casefold(): one for one in Supplier.objects.all()}
    rows: list[PriceRow] = []
    first_at: dict[str, int] = {}
    for cells in read[1:]:
        entry = dict(_entry(cells, columns))
        row = _row(cells, entry, parts, suppliers)
        if len(cells.cells) > len(read[0].cells) and any(cells.cells[len(read[0].cells) :]):
            row.problems.append(
                _("More cells than headings: a decimal comma between commas, or one too many.")
            )
        key = row.number.casefold()
        if key in first_at:
            row.problems.append(_("The same part as line {line}.").format(line=first_at[key]))
        first_at.setdefault(key, row.line)
        rows.append(row)
    return PriceList(rows, unknown)


def _columns(head: Cells) -> tuple[dict[int, str], list[str]]:
    """The meaning of each column, and headings without one."""
    columns: dict[int, str] = {}
    unknown = []
    for place, heading in enumerate(head.cells):
        plain = heading.split(",")[0].split("(")[0].strip().casefold().replace("_", " ")
        meaning = HEADINGS.get(plain)
        if meaning is None:
            unknown += [heading] if heading else []
        elif meaning in columns.values():
            raise BadTable(_("Two columns are headed alike: {columns}.").format(columns=heading))
        else:
            columns[place] = meaning
    names = {"number": "part number", "price": "net price"}
    missing = [words for meaning, words in names.items() if meaning not in columns.values()]
    if missing:
        said = _("A column is missing: {columns}.").format(columns=", ".join(missing))
        if unknown:
            more = _("Unknown headings: {columns}.").format(columns=", ".join(unknown))
            said = f"{said} {more}"
        raise BadTable(said)
    return columns, unknown


def _entry(cells: Cells, columns: dict[int, str]) -> Iterator[tuple[str, str]]:
    for place, meaning in columns.items():
        yield meaning, cells.cells[place] if place < len(cells.cells) else ""


def _row(
    cells: Cells, entry: dict[str, str], parts: dict[str, Part], suppliers: dict[str, Supplier]
) -> PriceRow:
    number = entry["number"]
    row = PriceRow(cells.line, number, entry.get("name", ""), part=parts.get(number.casefold()))
    if not number:
        row.problems.append(_("No part number."))
    elif len(number) > NUMBER_LENGTH or len(row.name) > NAME_LENGTH:
        row.problems.append(_("The part number or name is too long."))
    named = entry.get("supplier", "")
    row.supplier = suppliers.get(named.casefold())
    if named and row.supplier is None:
        row.problems.append(_("No supplier of this name is on record: {name}.").format(name=named))
    try:
        row.price = MoneyField(min_value=Decimal(0), max_digits=9, decimal_places=2).clean(
            entry["price"]
        )
    except ValidationError as odd:
        row.problems.append(
            _("Net price “{text}”: {reason}").format(
                text=entry["price"], reason=" ".join(odd.messages)
            )
        )
    return row


@transaction.atomic
def prices_take(looked_at: PriceList, *, with_new: bool) -> tuple[int, int]:
    """Save a list that has no bad row: (parts changed, parts added). New parts only if asked for.

    Raises Refused where a row is wrong: nothing is saved then.
    """
    if not looked_at.may_import:
        raise Refused(_("Nothing was imported: some rows are wrong."))
    return _update(looked_at.changed), _add(looked_at.new) if with_new else 0


def _update(rows: Sequence[PriceRow]) -> int:
    locked = Part.objects.select_for_update().in_bulk([row.part.pk for row in rows if row.part])
    for row in rows:
        if row.part is None or row.price is None:
            continue
        part = locked[row.part.pk]
        part.price = row.price
        part.supplier = row.supplier or part.supplier
        part.save(update_fields=["price", "supplier"])
    return len(rows)


def _add(rows: Sequence[PriceRow]) -> int:
    for row in rows:
        Part.objects.create(
            number=row.number,
            name=row.name or row.number,
            price=row.price or Decimal(0),
            supplier=row.supplier,
        )
    return len(rows)
