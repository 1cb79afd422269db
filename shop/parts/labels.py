"""Labels that say which order waits for a box: one page of a label's size for each part."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from django.utils.translation import gettext_lazy as _
from reportlab.lib.units import mm
from reportlab.platypus import BaseDocTemplate, PageBreak, PageTemplate, Spacer

from shop.languages import speech_of_shop
from shop.models import PartOrder, ShopSettings, WorkOrder
from shop.paper.pdf_styles import Paper, QrCode, side_by_side, text
from shop.paper.pdf_tags import TaggedCanvas, TaggedFrame

#: A7 across: cut from any sheet, or printed by a label printer.
SIZE = (105 * mm, 74 * mm)
EDGE = 5 * mm
QR_PT = 28 * mm


def labels_pdf(order: WorkOrder, address: str) -> bytes:
    """A label for each part order; ``address`` is that of the order's page, for the QR code.

    An order of which no part was ordered has one label with its own facts.
    """
    shop, speech = ShopSettings.load(), speech_of_shop()
    paper = Paper(shop.sheet_size, speech, 1.0)
    buffer = BytesIO()
    document = BaseDocTemplate(
        buffer,
        pagesize=SIZE,
        title=speech.say(_("Labels {number}"), number=order.number),
        author=shop.name,
        creator="Archroom",
        lang=speech.language.tag,
        invariant=1,
        pageCompression=1,
    )
    frame = TaggedFrame(EDGE, EDGE, SIZE[0] - 2 * EDGE, SIZE[1] - 2 * EDGE, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate(frames=[frame]))
    flow: list[Any] = []
    with speech.active():
        boxes: list[PartOrder | None] = list(order.part_orders.select_related("supplier", "part"))
        for made in boxes or [None]:
            flow += [*_label(order, made, address, paper), PageBreak()]
        document.build(flow[:-1], canvasmaker=TaggedCanvas)
    return buffer.getvalue()


def _label(order: WorkOrder, made: PartOrder | None, address: str, paper: Paper) -> list[Any]:
    say = paper.speech.say
    plate = order.vehicle.plate or say(_("no plate on record"))
    left = [
        text(order.number, paper["title"]),
        Spacer(1, 4),
        text(plate, paper["heading"]),
        text(order.vehicle.description, paper["body"]),
        text(order.customer.name, paper["body"]),
    ]
    width = SIZE[0] - 2 * EDGE
    code = QrCode(address, QR_PT, say(_("QR code that opens this order")))
    flow: list[Any] = [side_by_side([left, [code]], [width - QR_PT, QR_PT])]
    if made is None:
        return flow
    number = made.part.number if made.part else ""
    said = f"{made.quantity.normalize():f} × {made.description}"
    flow += [Spacer(1, 4), text(said, paper["heading"])]
    supplier = str(made.supplier or "")
    facts = " · ".join(filter(None, (number, supplier, made.supplier_number)))
    return [*flow, text(facts, paper["body"])] if facts else flow
