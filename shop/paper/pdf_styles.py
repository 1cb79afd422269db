"""The paper of the spec sheet: its two sizes, its type, its tables, and small drawn things.

Sections of the apps above get a ``Paper``: a dictionary of styles that also holds how wide the
text is and in which language and units its reader is spoken to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape

import segno
from reportlab.lib import colors
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Table

from shop.languages import ENGLISH, Speech, speech_of
from shop.paper import fonts

#: Styles by name, and the paper and the reader with them; see ``Paper``.
Styles = Mapping[str, Any]

FONT = fonts.FAMILY
#: Page sizes by the word in the shop's settings, points.
SIZES: dict[str, tuple[float, float]] = {"a4": A4, "letter": LETTER}
MARGIN = 17 * mm
TOP, BOTTOM = 12 * mm, 15 * mm
FRAME_PADDING = 6.0
#: The smallest type that a sheet is set in, as a part of the usual size.
LEAST_SCALE = 0.85
INK, MUTED, FAINT = (
    colors.HexColor("#1c2329"),
    colors.HexColor("#505a62"),
    colors.HexColor("#b9b3a4"),
)


class Paper(dict[str, ParagraphStyle]):
    """Styles by name: title, heading, body, small, cell, num, head (of a column), caution.

    ``width`` is that of the text and ``size`` the page's, in points; ``speech`` is the reader's.
    """

    def __init__(self, size: str = "a4", speech: Speech = ENGLISH, scale: float = 1.0) -> None:
        fonts.register_fonts()
        super().__init__(_styles(scale))
        self.size = SIZES.get(size, A4)
        self.width = self.size[0] - 2 * MARGIN - 2 * FRAME_PADDING
        self.speech = speech
        self.scale = scale


def _styles(scale: float) -> dict[str, ParagraphStyle]:
    body = ParagraphStyle("body", fontName=FONT, fontSize=9, leading=11.8, textColor=INK)
    bold = f"{FONT}-Bold"
    styles = (
        body,
        ParagraphStyle("title", parent=body, fontName=bold, fontSize=19, leading=22),
        ParagraphStyle(
            "heading",
            parent=body,
            fontName=bold,
            fontSize=11,
            leading=13,
            spaceBefore=8,
            spaceAfter=2.5,
            keepWithNext=True,
        ),
        ParagraphStyle("letterhead", parent=body, fontName=bold, fontSize=10, leading=12),
        ParagraphStyle(
            "contact", parent=body, fontSize=7.8, leading=12, alignment=TA_RIGHT, textColor=MUTED
        ),
        ParagraphStyle("small", parent=body, fontSize=7.8, leading=9.7),
        ParagraphStyle("cell", parent=body, fontSize=8.3, leading=10.2),
        ParagraphStyle("num", parent=body, fontSize=8.3, leading=10.2, alignment=TA_RIGHT),
        ParagraphStyle("out", parent=body, fontSize=6.8, leading=7.6, alignment=TA_RIGHT),
        ParagraphStyle("head", parent=body, fontSize=7.3, leading=9, textColor=MUTED),
        ParagraphStyle(
            "caution",
            parent=body,
            fontSize=7.8,
            leading=9.5,
            leftIndent=6,
            firstLineIndent=-6,
            spaceAfter=1.2,
        ),
    )
    for style in styles:
        for size in ("fontSize", "leading", "spaceBefore", "spaceAfter"):
            setattr(style, size, getattr(style, size) * scale)
    return {style.name: style for style in styles}


def speech_on(styles: Mapping[str, Any]) -> Speech:
    """The reader's speech; English for plain dictionaries of styles."""
    return speech_of(styles)


def width_of(styles: Mapping[str, Any]) -> float:
    """Width of the text, points."""
    return float(getattr(styles, "width", Paper().width))


def text(words: object, style: ParagraphStyle) -> Paragraph:
    """A paragraph of plain text: typed text is escaped, line breaks are kept."""
    return Paragraph(escape(str(words)).replace("\n", "<br/>"), style)


def heading(words: str, styles: Mapping[str, ParagraphStyle]) -> Paragraph:
    return text(words, styles["heading"])


#: Rules and paddings of every table of the sheet.
RULES: list[tuple[Any, ...]] = [
    ("LINEABOVE", (0, 0), (-1, 0), 0.9, INK),
    ("LINEBELOW", (0, -1), (-1, -1), 0.5, INK),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 5),
    ("TOPPADDING", (0, 0), (-1, -1), 1.2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.8),
]


class SheetTable(Table):
    """A table whose first column names its rows, on every page that it goes on to."""

    row_heads: tuple[int, ...] = (0,)


class FactsTable(SheetTable):
    """Names and values, two pairs a row."""

    row_heads = (0, 2)


class SideBySide(Table):
    """Things beside each other for the eye only: a screen reader hears them one by one."""

    is_layout = True


def ruled_table(
    styles: Mapping[str, ParagraphStyle],
    head: Sequence[str],
    rows: Sequence[Sequence[object]],
    widths: Sequence[float],
    *,
    numbers: Sequence[int] = (),
) -> SheetTable:
    """A table with thin rules and a repeated head.

    ``widths`` are shares of the page, ``numbers`` the columns that are set to the right. The
    first column names the row.
    """
    whole, wide = sum(widths), width_of(styles)
    right = ParagraphStyle("head-right", parent=styles["head"], alignment=TA_RIGHT)
    cells = [[text(name, right if i in numbers else styles["head"]) for i, name in enumerate(head)]]
    cells += [
        [
            value
            if isinstance(value, Flowable)
            else text(value, styles["num" if i in numbers else "cell"])
            for i, value in enumerate(row)
        ]
        for row in rows
    ]
    return SheetTable(
        cells,
        colWidths=[wide * share / whole for share in widths],
        repeatRows=1,
        hAlign="LEFT",
        style=[
            *RULES,
            ("LINEBELOW", (0, 0), (-1, 0), 0.4, INK),
            ("LINEBELOW", (0, 1), (-1, -2), 0.25, FAINT),
            *(("RIGHTPADDING", (i, 0), (i, -1), 16) for i in numbers),
        ],
    )


def side_by_side(cells: Sequence[Any], widths: Sequence[float], *, gap: float = 10.0) -> SideBySide:
    """Cells in one row; ``widths`` are points and include the gap to the right of each."""
    return SideBySide(
        [list(cells)],
        colWidths=list(widths),
        hAlign="LEFT",
        style=[
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), gap),
            ("RIGHTPADDING", (-1, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ],
    )


class FitTogether(KeepTogether):
    """Kept together like its parent, in the first of several forms that the page has room for.

    Where none fits, the first goes on to the next page.
    """

    def __init__(self, forms: Sequence[Sequence[Flowable]]) -> None:
        super().__init__(list(forms[0]))
        self.forms = [list(form) for form in forms]

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        for form in (*self.forms, self.forms[0]):
            self._content = form
            size = super().wrap(width, height)
            if height >= self._H:
                break
        return (float(size[0]), float(size[1]))


#: A table of no more rows than this stays whole, with its heading.
FEW_ROWS = 6


def whole(flow: Sequence[Flowable], rows: Sequence[object]) -> list[Flowable]:
    """A section with a table of ``rows``: on one page if they are few."""
    return [KeepTogether(list(flow))] if len(rows) <= FEW_ROWS else list(flow)


class QrCode(Flowable):
    """A QR code as one filled path; ``alt`` says where it leads."""

    QUIET = 2  # modules of white around it; the paper's own white does the rest

    def __init__(self, address: str, width: float, alt: str) -> None:
        super().__init__()
        self.rows = [list(row) for row in segno.make(address, error="m", micro=False).matrix]
        self.width = self.height = width
        self.alt = alt

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        """Runs of dark modules as rectangles, so that no hairlines part them."""
        count = len(self.rows) + 2 * self.QUIET
        module = self.width / count
        path = self.canv.beginPath()
        for row, line in enumerate(self.rows):
            y = self.height - (row + 1 + self.QUIET) * module
            start = None
            for column, dark in enumerate([*line, 0]):
                if dark and start is None:
                    start = column
                elif not dark and start is not None:
                    left = (start + self.QUIET) * module
                    path.rect(left, y, (column - start) * module, module)
                    start = None
        self.canv.setFillColor(INK)
        self.canv.drawPath(path, stroke=0, fill=1)


class SignatureLine(Flowable):
    """A line to sign on; what belongs under it is a paragraph of its own."""

    def __init__(self, width: float, height: float = 26.0) -> None:
        super().__init__()
        self.width, self.height = width, height

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.5)
        self.canv.line(0, 1.5, self.width, 1.5)
