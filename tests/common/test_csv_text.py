"""Tables as programs write them: every encoding and separator, and every fault named."""

from __future__ import annotations

import pytest

from common.csv_text import MOST_BYTES, BadTable, rows_of, text_of

TABLE = "corner;camber\nLF;-1°30'\nRF;-1,5\n"


@pytest.mark.parametrize(
    "content",
    [
        TABLE.encode(),
        TABLE.encode("utf-8-sig"),
        TABLE.encode("utf-16"),
        TABLE.encode("cp1252"),
        TABLE.replace("\n", "\r\n").encode(),
        TABLE.replace("\n", "\r").encode(),
    ],
    ids=["UTF-8", "with its mark", "UTF-16", "Western code page", "CRLF", "CR"],
)
def test_the_text_of_a_file_is_the_same_however_it_was_written(content: bytes) -> None:
    assert text_of(content) == TABLE


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"a" * (MOST_BYTES + 1), "larger than 512 KB"),
        (b"PK\x03\x04 and more", "spreadsheet's own format"),
        (b"a;b\n\x00;1\n", "no text"),
        (b"a;b\nx;\x81\n", "Line 2 holds letters"),
    ],
)
def test_what_is_no_text_is_refused_with_the_reason(content: bytes, why: str) -> None:
    with pytest.raises(BadTable, match=why):
        text_of(content)


@pytest.mark.parametrize("separator", [";", ",", "\t"])
def test_the_first_row_tells_what_parts_columns(separator: str) -> None:
    rows = rows_of(f"a{separator}b\n1{separator}2\n")
    assert [row.cells for row in rows] == [["a", "b"], ["1", "2"]]


def test_a_named_delimiter_is_taken_and_a_first_line_of_a_spreadsheet_wins_over_it() -> None:
    assert rows_of("a,b;c\n", ";")[0].cells == ["a,b", "c"]
    (row,) = rows_of("sep=|\na|b;c\n", ";")
    assert (row.line, row.cells) == (2, ["a", "b;c"])


def test_rows_keep_the_line_on_which_they_begin() -> None:
    rows = rows_of('\na;b\n;\n"two\nlines";1\n\nlast;2\n')
    assert [(row.line, row.cells[0]) for row in rows] == [
        (2, "a"),
        (4, "two\nlines"),
        (7, "last"),
    ]


def test_minutes_and_seconds_of_arc_are_no_quotation() -> None:
    assert rows_of("LF;-1°30'15\"\n")[0].cells == ["LF", "-1°30'15\""]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ('a;b\n"open;1\n', "opened and never closed"),
        ('a;b\n1;2\n"x"y;1\n', "near line 3"),
        ("nothing here\n", "no columns"),
    ],
)
def test_what_cannot_be_read_for_certain_is_refused_with_its_line(text: str, why: str) -> None:
    with pytest.raises(BadTable, match=why):
        rows_of(text)
