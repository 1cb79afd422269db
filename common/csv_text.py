"""Tables as spreadsheets and old programs write them: from bytes to text, from text to rows.

Nothing is mended: what cannot be read for certain is refused with the line where it stands.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

#: More than any catalogue of one maker or any rack's history; keeps a wrong file from holding up
#: the server.
MOST_ROWS, MOST_BYTES = 2000, 512 * 1024
#: How a spreadsheet's own files begin, under any name.
SHEETS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
UTF16 = (b"\xff\xfe", b"\xfe\xff")
UNREADABLE = "\N{REPLACEMENT CHARACTER}"


class BadTable(ValueError):
    """Bytes or text that are no table; the message says why, and where."""


@dataclass(frozen=True)
class Cells:
    """One row that holds something, with the number of the line on which it begins, from 1."""

    line: int
    cells: list[str]


def text_of(content: bytes) -> str:
    """The text of an uploaded file: UTF-8, UTF-16, or the Western code page of older programs.

    Raises BadTable for a file that is too large, a spreadsheet's own, or no text.
    """
    if len(content) > MOST_BYTES:
        raise BadTable(f"The file is larger than {MOST_BYTES // 1024} KB.")
    if content.startswith(SHEETS):
        raise BadTable("This is a spreadsheet's own format, not CSV: save the sheet as CSV first.")
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
    return _lines_of(text)


def rows_of(text: str, delimiter: str = "") -> list[Cells]:
    """The rows of a table that hold something, their cells without space around them.

    Without a delimiter the first row decides between semicolons, tabs and commas. A first line
    ``sep=;``, which spreadsheets write for each other, is no row and wins over both. Raises
    BadTable where quotation marks do not fit, or nothing parts the first row into columns.
    """
    lines = _lines_of(text.lstrip("\ufeff"))
    skipped, told = 0, re.match(r"\s*sep=(.)[^\n]*\n", lines, re.I)
    if told:
        skipped, lines = told.group(0).count("\n"), lines[told.end() :]
        delimiter = told.group(1)
    if not delimiter:
        sample = lines.lstrip("\n ").split("\n", 1)[0]
        delimiter = max(";\t,", key=sample.count)
        if not sample.count(delimiter):
            raise BadTable("The first line has no columns: separate them by semicolons or commas.")
    reader = csv.reader(io.StringIO(lines, newline=""), delimiter=delimiter, strict=True)
    try:
        return list(_numbered(reader, skipped))
    except csv.Error as odd:
        if "unexpected end" in str(odd):
            raise BadTable("A quotation mark is opened and never closed.") from None
        where = f"near line {reader.line_num + skipped}"
        raise BadTable(f"The table cannot be read {where}: {odd}.") from None


def _lines_of(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _numbered(reader: Any, skipped: int) -> Iterator[Cells]:
    """Rows that hold something; one whose cells run over several lines begins at its first."""
    begins = 1
    for row in reader:
        cells = [cell.strip() for cell in row]
        if any(cells):
            yield Cells(begins + skipped, cells)
        begins = reader.line_num + 1
