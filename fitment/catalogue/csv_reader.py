"""From an uploaded file to the cells of a table, as spreadsheets and people write them."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

#: More than any catalogue of one maker; keeps a wrong file from holding up the server.
MOST_ROWS, MOST_BYTES = 2000, 512 * 1024
#: How files begin that spreadsheets write for themselves, whatever they are called.
SHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
UTF16 = (b"\xff\xfe", b"\xfe\xff")
UNREADABLE = "\N{REPLACEMENT CHARACTER}"
MONEY = re.compile(r"(?:€|£|\$|EUR|GBP|USD|CHF)", re.I)
UNITS = {"mm": ("mm",), "in": ("in", '"', "″", "inch", "zoll"), "kg": ("kg",)}


class BadTable(ValueError):
    """A file that is no table of this kind; the text says why."""


@dataclass(frozen=True)
class Cells:
    """One row that holds something, with the number of the line on which it begins."""

    line: int
    cells: list[str]


def text_of(content: bytes) -> str:
    """The text of an uploaded file. Raises BadTable for one that is too large or no text."""
    if len(content) > MOST_BYTES:
        raise BadTable(f"The file is larger than {MOST_BYTES // 1024} KB.")
    if content.startswith(SHEETS):
        raise BadTable(
            "This is a spreadsheet's own file, whatever it is called: save the sheet as CSV first."
        )
    if content.startswith(UTF16):
        text = content.decode("utf-16", errors="replace")
    elif b"\0" in content:
        raise BadTable("This is no text: save the sheet as CSV first.")
    else:
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = content.decode("cp1252", errors="replace")
    if UNREADABLE in text:
        line = text[: text.index(UNREADABLE)].count("\n") + 1
        raise BadTable(f"Line {line} holds letters that cannot be read: save it as CSV UTF-8.")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def table_of(text: str) -> tuple[list[str], list[Cells]]:
    """Headings and the rows below them. Raises BadTable where there is no table."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    skipped, told = 0, re.match(r"\s*sep=(.)[^\n]*\n", lines, re.I)
    if told:  # a spreadsheet's own first line
        skipped, lines = told.group(0).count("\n"), lines[told.end() :]
    sample = lines.lstrip("\n ").split("\n", 1)[0]
    delimiter = told.group(1) if told else max(";\t,", key=sample.count)
    if not sample.count(delimiter):
        raise BadTable("The first line has no columns: separate them by semicolons or commas.")
    reader = csv.reader(io.StringIO(lines, newline=""), delimiter=delimiter, strict=True)
    try:
        rows = list(_numbered(reader, skipped))
    except csv.Error as odd:
        where = f"near line {reader.line_num + skipped}"
        if "unexpected end" in str(odd):
            raise BadTable("A quotation mark is opened and never closed.") from None
        raise BadTable(f"The table cannot be read {where}: {odd}.") from None
    if len(rows) < 2:
        raise BadTable("There is no row under the headings.")
    if len(rows) - 1 > MOST_ROWS:
        raise BadTable(f"There are more than {MOST_ROWS} rows: send the table in parts.")
    return rows[0].cells, rows[1:]


def _numbered(reader: Any, skipped: int) -> Iterator[Cells]:
    """Rows that hold something; one whose cells run over several lines begins at its first."""
    begins = 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield Cells(begins + skipped, [cell.strip() for cell in cells])
        begins = reader.line_num + 1


def plain_money(text: str) -> str:
    """An amount without its currency and separators of thousands, where they are plain to see."""
    amount = "".join(MONEY.sub("", text).replace("'", "").replace("’", "").split())
    point, comma = amount.rfind("."), amount.rfind(",")
    if point >= 0 and comma >= 0:
        thousands = "," if point > comma else "."
        amount = amount.replace(thousands, "")
    return amount


def without_unit(text: str, label: str) -> str:
    """A figure without the unit of its column, where somebody wrote it into the cell too."""
    unit = label.rsplit(", ", 1)[-1]
    for ending in UNITS.get(unit, ()):
        if text.lower().endswith(ending):
            return text[: -len(ending)].rstrip()
    return text
