"""Printed sheets, read back. pypdf is slow to load: the first test that reads loads it."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pypdf import PdfReader


def reader_of(pdf: bytes) -> PdfReader:
    """A reader of the whole document."""
    from pypdf import PdfReader

    return PdfReader(BytesIO(pdf))


def text_of_pdf(pdf: bytes) -> str:
    """The text of all pages, a line for a line."""
    return "\n".join(page.extract_text() for page in reader_of(pdf).pages)
