"""Pages of a document for customers: tagged, each with its number, and the shop's name under it."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import BaseDocTemplate, PageTemplate

from shop.languages import ENGLISH, Speech
from shop.paper.pdf_styles import BOTTOM, FONT, FRAME_PADDING, MARGIN, TOP, Paper
from shop.paper.pdf_tags import TaggedCanvas, TaggedFrame


class NumberedCanvas(TaggedCanvas):
    """Writes the number of the page and of all pages under each."""

    footer = ""
    speech: Speech = ENGLISH
    paper_width = 0.0

    def finish_page(self, number: int, count: int) -> None:
        self.setFont(FONT, 7.8)
        self.drawString(MARGIN + FRAME_PADDING, 9 * mm, self.footer)
        said = self.speech.say("Page {number} of {count}", number=number, count=count)
        self.drawRightString(self.paper_width - MARGIN - FRAME_PADDING, 9 * mm, said)


def pdf_of(
    flow: list[Any], paper: Paper, *, title: str, author: str, subject: str
) -> tuple[bytes, int]:
    """The flowables as a tagged PDF in the paper's language, and its number of pages; the same
    flow gives the same bytes."""
    buffer = BytesIO()
    width, height = paper.size
    document = BaseDocTemplate(
        buffer,
        pagesize=paper.size,
        title=title,
        author=author,
        subject=subject,
        creator="Archroom",
        lang=paper.speech.language.tag,
        invariant=1,
        pageCompression=1,
    )

    def start(canvas: NumberedCanvas, _: Any) -> None:
        canvas.footer = f"{author} · {title}"
        canvas.speech = paper.speech
        canvas.paper_width = width

    frame = TaggedFrame(MARGIN, BOTTOM, width - 2 * MARGIN, height - BOTTOM - TOP)
    document.addPageTemplates(PageTemplate(frames=[frame], onPage=start))
    document.build(flow, canvasmaker=NumberedCanvas)
    return buffer.getvalue(), document.page
