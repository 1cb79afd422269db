"""A table from elsewhere, row by row: visits where everything is understood, and every bad cell.

Nothing is repaired or left out silently: a table with one bad cell gives no visit.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.utils import timezone
from django.utils.translation import gettext as _

from alignment.geometry.units import NotUnderstood, Understood
from alignment.models import LENGTHS, OF_AXLE, Quantity, Stage
from alignment.models.import_layouts import ImportLayout
from alignment.visits.tables import columns
from alignment.visits.tables.columns import Column, corner_of, read_cell
from common.corners import AXLE_CORNERS, axle_of
from common.csv_text import MOST_ROWS, BadTable, Cells, rows_of
from common.numerals import whole
from shop.languages.figures import format_degrees, format_mm, format_number
from shop.models import Corner

STAGE_WORDS = {str(stage.value): stage.value for stage in Stage}
_DATE = re.compile(
    r"(?:(?P<iso>\d{4}-\d{1,2}-\d{1,2})|(?P<day>\d{1,2})(?P<part>[./])(?P<month>\d{1,2})(?P=part)"
    r"(?P<year>\d{4}))(?:[T ,]+(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::\d{2})?)?"
)

#: Characters that the notes of a visit hold.
MOST_NOTES = 2000


@dataclass(frozen=True)
class BadCell:
    """``column`` is empty for an error of the whole row; row 0 is the table itself."""

    row: int
    column: str
    reason: str

    def __str__(self) -> str:
        if not self.row:
            text = _("Table: {reason}")
        elif not self.column:
            text = _("Row {row}: {reason}")
        else:
            text = _("Row {row}, column {column}: {reason}")
        return text.format(row=self.row, column=self.column, reason=self.reason)


@dataclass
class FoundVisit:
    """One visit of the table. ``at`` is None where no column holds the time."""

    rows: list[int]
    stage: str
    at: dt.datetime | None = None
    mileage_km: int | None = None
    notes: str = ""
    readings: dict[tuple[str, str], Understood] = field(default_factory=dict)

    @property
    def stage_label(self) -> str:
        return str(Stage(self.stage).label)

    @property
    def lines(self) -> list[dict[str, str]]:
        """Its readings for the page: corner, quantity, the cell's text, what it means."""
        return [
            {
                "corner": str(Corner(corner).label),
                "quantity": str(Quantity(quantity).label),
                "typed": number.typed,
                "said": _said(quantity, number.value),
            }
            for (corner, quantity), number in self.readings.items()
        ]


def _said(quantity: str, value: float) -> str:
    if quantity == Quantity.PRESSURE:
        return f"{format_number(value, 2, signed=False)} bar"
    return format_mm(value, signed=False) if quantity in LENGTHS else format_degrees(value)


@dataclass
class Found:
    visits: list[FoundVisit]
    bad: list[BadCell]


def header_of(rows: list[Cells], header_row: int) -> list[str] | None:
    """Names of the columns: from their row, or their numbers; None where there is no such row."""
    if header_row == 0:
        widest = max((len(row.cells) for row in rows), default=0)
        return [str(number) for number in range(1, widest + 1)]
    return next((row.cells for row in rows if row.line == header_row), None)


def read_table(text: str, import_layout: ImportLayout, stage: str) -> Found:
    """All visits and all bad cells; ``stage`` applies where no column holds it."""
    found = Found([], [])
    try:
        rows = rows_of(text, import_layout.delimiter)
    except BadTable as bad:
        return Found([], [BadCell(0, "", str(bad))])
    header = header_of(rows, import_layout.header_row)
    if header is None:
        reason = _("Row {row} should hold the columns' names, but is empty.")
        reason = reason.format(row=import_layout.header_row)
        return Found([], [BadCell(0, "", reason)])
    body = [row for row in rows if row.line > import_layout.header_row]
    if len(body) > MOST_ROWS:
        reason = _("More than {count} rows.").format(count=MOST_ROWS)
        return Found([], [BadCell(0, "", reason)])
    places = _places(header, import_layout, found.bad)
    if not body:
        found.bad.append(BadCell(0, "", _("No row below the names.")))
    if not found.bad:
        for row in body:
            _read_row(row.line, row.cells, places, import_layout, stage, found)
    return found


Places = list[tuple[Column, int]]


def _places(header: list[str], import_layout: ImportLayout, bad: list[BadCell]) -> Places:
    names = [name.strip().casefold() for name in header]
    places = []
    for column in columns.columns_of(import_layout.columns):
        name = column.name.strip().casefold()
        if names.count(name) != 1:
            reason = (
                _("No column has this name.")
                if name not in names
                else _("Two columns have this name.")
            )
            bad.append(BadCell(import_layout.header_row, column.name, reason))
        else:
            places.append((column, names.index(name)))
    return places


def _read_row(
    number: int,
    cells: list[str],
    places: Places,
    import_layout: ImportLayout,
    stage: str,
    found: Found,
) -> None:
    texts = [(column, cells[place] if place < len(cells) else "") for column, place in places]
    named = {column.what: (column, text) for column, text in texts if not column.is_reading}
    visit = FoundVisit([number], stage)
    before = len(found.bad)
    corner = _read_named(number, named, visit, found.bad)
    for key, column, text in _readings(texts, corner):
        try:
            visit.readings[key] = read_cell(
                column,
                text,
                decimal_mark=import_layout.decimal_mark,
                toe_diameter_mm=import_layout.toe_diameter_mm,
            )
        except NotUnderstood as refusal:
            found.bad.append(BadCell(number, column.name, str(refusal)))
    if len(found.bad) > before:
        return
    if not visit.readings:
        found.bad.append(BadCell(number, "", _("No reading in this row.")))
        return
    _add(visit, found, joins=columns.CORNER in named)


def _notes(text: str) -> str:
    if len(text) > MOST_NOTES:
        raise NotUnderstood(
            _("{count} characters are too many; notes have room for {most}.").format(
                count=len(text), most=MOST_NOTES
            )
        )
    return text


def _read_named(
    number: int, named: dict[str, tuple[Column, str]], visit: FoundVisit, bad: list[BadCell]
) -> str | None:
    """Read the cells that hold no reading; returns the corner of the row where rows have one."""
    corner = None
    for what, (column, text) in named.items():
        try:
            if what == columns.CORNER:
                corner = corner_of(text)
                if corner is None:
                    raise NotUnderstood(
                        _("“{text}” is not a corner. Accepted: LF, RF, LR, RR.").format(text=text)
                    )
            elif what == columns.STAGE and text:
                visit.stage = _stage(text)
            elif what == columns.TIME and text:
                visit.at = _moment(text)
            elif what == columns.MILEAGE and text:
                visit.mileage_km = _mileage(text)
            elif what == columns.NOTES:
                visit.notes = _notes(text)
        except NotUnderstood as refusal:
            bad.append(BadCell(number, column.name, str(refusal)))
    return corner


def _readings(
    texts: list[tuple[Column, str]], row_corner: str | None
) -> Iterator[tuple[tuple[str, str], Column, str]]:
    """Cells with a reading; an empty cell or a dash is none."""
    for column, text in texts:
        if not column.is_reading or text in ("", "-", "–", "—"):
            continue
        corner = column.corner
        if corner == columns.OF_ROW:
            # A row whose corner was refused is not kept, but its other cells are looked at.
            corner = row_corner or Corner.LF
        if column.what in OF_AXLE:
            corner = AXLE_CORNERS[axle_of(corner)][0]
        yield (str(corner), str(Quantity(column.what).value)), column, text


def _add(visit: FoundVisit, found: Found, *, joins: bool) -> None:
    """Rows of single corners join the visit of the same time and stage."""
    last = found.visits[-1] if found.visits else None
    same = last is not None and (last.stage, last.at) == (visit.stage, visit.at)
    if not joins or last is None or not same:
        found.visits.append(visit)
        return
    for key, number in visit.readings.items():
        if key in last.readings and key[1] not in OF_AXLE:
            reason = _("{corner} is already in row {row}.").format(corner=key[0], row=last.rows[-1])
            found.bad.append(BadCell(visit.rows[0], "", reason))
            return
        last.readings[key] = number
    last.rows += visit.rows
    last.mileage_km = last.mileage_km if visit.mileage_km is None else visit.mileage_km
    last.notes = last.notes or visit.notes


def _stage(text: str) -> str:
    words = text.lower()
    found = [value for word, value in STAGE_WORDS.items() if word in words]
    if len(found) != 1:
        raise NotUnderstood(_("“{text}” is neither before, between nor after.").format(text=text))
    return found[0]


def _moment(text: str) -> dt.datetime:
    found = _DATE.fullmatch(text.strip())
    if not found:
        raise NotUnderstood(
            _("“{text}” is not a date. Accepted: 2026-05-31 14:05, 31.5.2026 14:05.").format(
                text=text
            )
        )
    day, month = int(found["day"] or 0), int(found["month"] or 0)
    if found["part"] == "/" and day <= 12 and month <= 12 and day != month:
        raise NotUnderstood(
            _("“{text}” could be two dates. Type it as 2026-05-31.").format(text=text)
        )
    if found["part"] == "/" and month > 12:
        day, month = month, day
    try:
        date = (
            dt.date.fromisoformat(_padded(found["iso"]))
            if found["iso"]
            else (dt.date(int(found["year"]), month, day))
        )
        clock = dt.time(int(found["hour"] or 12), int(found["minute"] or 0))
    except ValueError:
        raise NotUnderstood(_("“{text}” is not a day of the calendar.").format(text=text)) from None
    at = timezone.make_aware(dt.datetime.combine(date, clock))
    if at > timezone.now() + dt.timedelta(days=1):
        raise NotUnderstood(_("“{text}” is in the future.").format(text=text))
    return at


def _padded(iso: str) -> str:
    year, month, day = iso.split("-")
    return f"{year}-{int(month):02d}-{int(day):02d}"


def _mileage(text: str) -> int:
    digits = re.sub(r"[\s.,'\u202f]|km$", "", text)
    count = whole(digits)
    if count is None or count > 3_000_000:
        raise NotUnderstood(_("“{text}” is not a mileage in kilometres.").format(text=text))
    return count
