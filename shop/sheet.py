"""The spec sheet: what was done and measured, on one or two pages of A4 for the customer.

The same order gives the same bytes: no time of printing, and a font that is embedded.
Sections of the apps above come from the setting SHEET_SECTIONS, in its order.
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape

from django.utils import timezone
from reportlab.lib import colors
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import (
    BaseDocTemplate,
    HRFlowable,
    KeepTogether,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
)

from shop import fonts
from shop.cautions import CUSTOMER, cautions_for, class_caution, job_of
from shop.models import ShopSettings, State, WorkOrder
from shop.models.work import Tried
from shop.plugs import sheet_sections
from shop.services.quotes import authorisation_of, quote_latest
from shop.tagged import TaggedCanvas, TaggedFrame
from shop.torques import torques_due

FONT = fonts.FAMILY
MARGIN = 17 * mm
FRAME_PADDING = 6
WIDTH = A4[0] - 2 * MARGIN - 2 * FRAME_PADDING
#: Sizes of type that are tried in turn until the sheet fits on two pages.
SCALES = (1.0, 0.93, 0.86)
MOST_PAGES = 2
Styles = dict[str, ParagraphStyle]


def sheet_styles(scale: float = 1.0) -> Styles:
    """Styles by name: title, heading, body, small, cell, num, head (of a column), caution."""
    fonts.register_fonts()
    styles = _full_size()
    for style in styles.values():
        for size in ("fontSize", "leading", "spaceBefore", "spaceAfter"):
            setattr(style, size, getattr(style, size) * scale)
    return styles


def _full_size() -> Styles:
    body = ParagraphStyle("body", fontName=FONT, fontSize=9.5, leading=12.5)
    return {
        "body": body,
        "title": ParagraphStyle(
            "title", parent=body, fontName=f"{FONT}-Bold", fontSize=17, leading=21, spaceAfter=2
        ),
        "heading": ParagraphStyle(
            "heading",
            parent=body,
            fontName=f"{FONT}-Bold",
            fontSize=11.5,
            leading=14,
            spaceBefore=9,
            spaceAfter=3,
            keepWithNext=True,
        ),
        "small": ParagraphStyle("small", parent=body, fontSize=8, leading=10),
        "cell": ParagraphStyle("cell", parent=body, fontSize=8.5, leading=10.5),
        "num": ParagraphStyle("num", parent=body, fontSize=8.5, leading=10.5, alignment=TA_RIGHT),
        "head": ParagraphStyle(
            "head", parent=body, fontSize=7.5, leading=9.5, textColor=colors.HexColor("#444444")
        ),
        "caution": ParagraphStyle(
            "caution", parent=body, fontSize=8, leading=9.8, leftIndent=8, spaceAfter=1.5
        ),
    }


class SheetCanvas(TaggedCanvas):
    """Writes the number of the page and of all pages under each."""

    footer = ""

    def finish_page(self, number: int, count: int) -> None:
        self.setFont(FONT, 8)
        self.drawString(MARGIN + FRAME_PADDING, 9 * mm, self.footer)
        self.drawRightString(A4[0] - MARGIN - FRAME_PADDING, 9 * mm, f"Page {number} of {count}")


def text(words: object, style: ParagraphStyle) -> Paragraph:
    """A paragraph of plain text: whatever was typed is escaped, line breaks are kept."""
    return Paragraph(escape(str(words)).replace("\n", "<br/>"), style)


def ruled_table(
    styles: Styles, head: Sequence[str], rows: Sequence[Sequence[object]], widths: Sequence[float]
) -> Table:
    """A table with thin rules and a repeated head; ``widths`` are shares of the page."""
    whole = sum(widths)
    cells = [[text(name, styles["head"]) for name in head]]
    cells += [[text(value, styles["cell"]) for value in row] for row in rows]
    return Table(
        cells,
        colWidths=[WIDTH * share / whole for share in widths],
        repeatRows=1,
        hAlign="LEFT",
        style=[
            ("LINEABOVE", (0, 0), (-1, 0), 1, colors.black),
            ("LINEBELOW", (0, 0), (-1, 0), 0.5, colors.black),
            ("LINEBELOW", (0, 1), (-1, -1), 0.25, colors.grey),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
        ],
    )


def sheet_pdf(order: WorkOrder) -> bytes:
    """The whole sheet as a PDF file, in smaller type where two pages would not hold it."""
    shop = ShopSettings.load()
    for scale in SCALES:
        content, pages = _built(order, shop, sheet_styles(scale))
        if pages <= MOST_PAGES:
            break
    return content


def _built(order: WorkOrder, shop: ShopSettings, styles: Styles) -> tuple[bytes, int]:
    """The file and its number of pages."""
    buffer = BytesIO()
    bottom, top = 15 * mm, 12 * mm
    document = BaseDocTemplate(
        buffer,
        pagesize=A4,
        title=f"Spec sheet {order.number}",
        author=shop.name,
        subject=f"{order.vehicle.description}: work done and measured",
        creator="Archroom",
        lang="en-GB",
        invariant=1,
        pageCompression=1,
    )

    def start(canvas: SheetCanvas, _: Any) -> None:
        canvas.footer = f"{shop.name} · Spec sheet {order.number}"

    frame = TaggedFrame(MARGIN, bottom, A4[0] - 2 * MARGIN, A4[1] - bottom - top)
    document.addPageTemplates(PageTemplate(frames=[frame], onPage=start))
    flow = [
        *_head(order, shop, styles),
        *sheet_sections(order, styles),
        *_parts(order, styles),
        *_torques(order, styles),
        *_road_test(order, styles),
        *_cautions(order, styles),
        *_authorisation(order, styles),
        *_next(order, shop, styles),
    ]
    document.build(flow, canvasmaker=SheetCanvas)
    return buffer.getvalue(), document.page


def _day(moment: Any) -> str:
    local = timezone.localtime(moment)
    return f"{local.day} {local:%B %Y}"


def _head(order: WorkOrder, shop: ShopSettings, styles: Styles) -> list[Any]:
    vehicle = order.vehicle
    address = ", ".join(shop.address.split("\n"))
    contact = " · ".join(part for part in (shop.name, address, shop.phone, shop.email) if part)
    facts = [
        ("Customer", order.customer.name),
        ("Vehicle", vehicle.description),
        ("Plate", vehicle.plate or "–"),
        ("VIN", vehicle.vin or "–"),
        ("Mileage", f"{order.mileage_km} km" if order.mileage_km is not None else "–"),
        ("Use", order.get_use_display()),
        ("Order", f"{order.number}, {order.get_kind_display().lower()}"),
        _state_fact(order),
    ]
    cells = [
        [
            text(facts[i][0], styles["head"]),
            text(facts[i][1], styles["cell"]),
            text(facts[i + 1][0], styles["head"]),
            text(facts[i + 1][1], styles["cell"]),
        ]
        for i in range(0, len(facts), 2)
    ]
    table = Table(
        cells,
        colWidths=[WIDTH * s for s in (0.1, 0.42, 0.1, 0.38)],
        hAlign="LEFT",
        style=[
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ],
    )
    flow: list[Any] = [
        text(contact, styles["small"]),
        HRFlowable(width="100%", thickness=1, color=colors.black, spaceAfter=4),
        text("Spec sheet", styles["title"]),
        table,
    ]
    if order.wish:
        flow += [Spacer(1, 3), text(f"The wish: {order.wish}", styles["body"])]
    return flow


def _state_fact(order: WorkOrder) -> tuple[str, str]:
    if order.state == State.HANDED_OVER:
        return ("Handed over", _day(order.state_since))
    return ("State", f"{order.state_words}; this is a draft")


def _parts(order: WorkOrder, styles: Styles) -> list[Any]:
    rows = [
        [
            fitted.description,
            fitted.get_corner_or_axle_display(),
            fitted.serial or "–",
            ", ".join(part for part in (fitted.removed, fitted.removed_to) if part) or "–",
        ]
        for fitted in order.installed.all()
    ]
    if not rows:
        return []
    head = ["Part", "Where", "Serial", "Removed, and where it went"]
    return [
        text("Parts installed", styles["heading"]),
        ruled_table(styles, head, rows, (4, 2, 2, 4)),
    ]


def _torques(order: WorkOrder, styles: Styles) -> list[Any]:
    figures = {due.what: due.torque_nm for due in torques_due(order)}
    latest = {sign.what: sign for sign in order.torques.select_related("by")}
    rows = []
    for what, sign in latest.items():
        figure = figures.get(what)
        rows.append(
            [
                what,
                f"{figure.normalize():f}" if figure is not None else "–",
                f"{sign.torque_nm.normalize():f}",
                sign.tool,
                f"{sign.by.shown_name}, {_day(sign.at)}",
            ]
        )
    if not rows:
        return []
    head = ["Fastener", "Figure, N·m", "Tightened to, N·m", "Wrench", "Signed by"]
    return [
        text("Torque record", styles["heading"]),
        ruled_table(styles, head, rows, (4, 1.6, 2, 2.4, 3)),
    ]


def _road_test(order: WorkOrder, styles: Styles) -> list[Any]:
    test = order.road_tests.prefetch_related("marks").first()
    if test is None:
        return []
    tried = {value: label.lower() for value, label in Tried.choices}
    sentence = (
        f"On {_day(test.at)}. Full lock left: {tried[test.lock_left]}; right: "
        f"{tried[test.lock_right]}; over a dip: {tried[test.dip]}; loaded: {tried[test.loaded]}."
    )
    flow: list[Any] = [text("Road test", styles["heading"]), text(sentence, styles["body"])]
    rows = [
        [
            mark.get_corner_display(),
            mark.place,
            "touched" if mark.contact else f"{mark.gap_mm:.0f}",
            mark.note or "–",
        ]
        for mark in test.marks.all()
    ]
    if rows:
        head = ["Corner", "Place", "Gap, mm", "Note"]
        flow += [Spacer(1, 3), ruled_table(styles, head, rows, (2, 3, 1.5, 5))]
    return flow


def _cautions(order: WorkOrder, styles: Styles) -> list[Any]:
    job = job_of(order)
    sentences = cautions_for(job, CUSTOMER)
    for line in order.lines.select_related("part"):
        if line.part and line.part.caution and line.part.caution not in sentences:
            sentences.append(line.part.caution)
    if caution := class_caution(order, done=True):
        sentences.append(caution)
    if not sentences:
        return []
    bullets = [
        Paragraph(escape(sentence), styles["caution"], bulletText="–") for sentence in sentences
    ]
    half = (len(bullets) + 1) // 2
    columns = Table(
        [[bullets[:half], bullets[half:]]],
        colWidths=[WIDTH / 2] * 2,
        hAlign="LEFT",
        style=[
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 8),
        ],
    )
    return [text("Cautions", styles["heading"]), columns]


def _authorisation(order: WorkOrder, styles: Styles) -> list[Any]:
    quote = quote_latest(order)
    signed = authorisation_of(quote)
    lines = []
    if quote is not None and signed is not None:
        lines.append(
            f"{signed.name} authorised quote {quote.number} for {signed.amount} "
            f"{quote.currency} on {_day(signed.at)}, {signed.get_via_display()}."
        )
        if signed.signed_sentence:
            lines.append(f"Signed under: {signed.signed_sentence}")
    for override in order.overrides.select_related("by"):
        lines.append(
            f"The check said: {override.sentence} {override.by.shown_name} decided on "
            f"{_day(override.at)} to go on all the same: {override.reason}"
        )
    if not lines:
        return []
    body = [text(line, styles["body"]) for line in lines]
    return [text("Authorisation", styles["heading"]), *body]


def _next(order: WorkOrder, shop: ShopSettings, styles: Styles) -> list[Any]:
    if not order.needs_check:
        return []
    start = order.mileage_km
    retorque = f"{shop.retorque_km_from} to {shop.retorque_km_to} km"
    check = f"{shop.next_check_km} km"
    if start is not None:
        retorque += f", that is at {start + shop.retorque_km_from} to {start + shop.retorque_km_to}"
        check += f", that is at {start + shop.next_check_km}"
    return [
        KeepTogether(
            [
                text("What comes next", styles["heading"]),
                text(f"Have the wheel nuts retorqued after {retorque}.", styles["body"]),
                text(f"Next check of height, alignment and room: after {check}.", styles["body"]),
            ]
        )
    ]
