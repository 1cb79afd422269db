"""The embedded typeface of everything that is printed, registered with reportlab once."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FAMILY = "SourceSans"
REGULAR, BOLD, ITALIC = FAMILY, f"{FAMILY}-Bold", f"{FAMILY}-Italic"
#: A face between regular and bold, for figures that shall stand out quietly.
SEMIBOLD = f"{FAMILY}-Semibold"

_FILES = {
    REGULAR: "SourceSansPro-Regular.ttf",
    BOLD: "SourceSansPro-Bold.ttf",
    ITALIC: "SourceSansPro-It.ttf",
    SEMIBOLD: "SourceSansPro-Semibold.ttf",
}


@cache
def register_fonts() -> None:
    """Make the family known to reportlab; calling it again costs nothing."""
    folder = files("font_source_sans_pro") / "files"
    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    pdfmetrics.registerFontFamily(FAMILY, normal=REGULAR, bold=BOLD, italic=ITALIC, boldItalic=BOLD)
