"""The spec sheet: what was done and measured, on one or two pages for the customer.

It is set on the shop's paper size, in the customer's language and units.
The same order gives the same bytes: no time of printing, and a font that is embedded. Sections
of the apps above come from the points SHEET_SECTIONS and SHEET_DRAWINGS, in their order: tables
fill a page to its end, and drawings stand together.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.urls import reverse
from reportlab.lib.units import mm
from reportlab.platypus import HRFlowable, Spacer, Table

from shop.extensions.points import SHEET_DRAWINGS, SHEET_SECTIONS, SheetSection
from shop.languages import Speech, speech_for
from shop.models import ShopSettings, State, WorkOrder
from shop.paper.pages import pdf_of
from shop.paper.pdf_styles import (
    INK,
    LEAST_SCALE,
    FactsTable,
    Paper,
    QrCode,
    side_by_side,
    text,
)
from shop.sheet import sections as own

#: Sizes of type that are tried in turn until the sheet fits on two pages.
SCALES = (1.0, 0.92, LEAST_SCALE)
MOST_PAGES = 2
QR_PT = 20 * mm


def sheet_pdf(order: WorkOrder) -> bytes:
    """The whole sheet as a PDF file, in smaller type where two pages would not hold it."""
    shop = ShopSettings.load()
    speech = speech_for(order.customer)
    with speech.active():
        for scale in SCALES[_first_try(order) :]:
            content, pages = _built(order, shop, Paper(shop.sheet_size, speech, scale))
            if pages <= MOST_PAGES:
                break
    return content


def _first_try(order: WorkOrder) -> int:
    """Larger type is not tried where curves stand beside the record of work that was done."""
    if not order.curves_on_sheet:
        return 0
    return 2 if order.installed.exists() else 1


def _built(order: WorkOrder, shop: ShopSettings, paper: Paper) -> tuple[bytes, int]:
    """The file and its number of pages."""
    say = paper.speech.say
    flow = [
        *_head(order, shop, paper),
        *_flowables(SHEET_SECTIONS, order, paper),
        *own.parts(order, paper),
        *own.torques(order, paper),
        *own.road_test(order, paper),
        *own.class_rules(order, paper),
        *_flowables(SHEET_DRAWINGS, order, paper),
        *own.cautions(order, paper),
        *own.authorisation(order, paper),
        *own.coming_next(order, shop, paper),
        *own.signatures(order, paper),
    ]
    return pdf_of(
        flow,
        paper,
        title=say("Spec sheet {number}", number=order.number),
        author=shop.name,
        subject=say("{vehicle}: work done and measured", vehicle=order.vehicle.description),
    )


def _flowables(sections: Iterable[SheetSection], order: WorkOrder, paper: Paper) -> list[Any]:
    return [flowable for section in sections for flowable in section(order, paper)]


def customer_address(order: WorkOrder) -> str:
    """The customer's page as an address that a telephone can open."""
    return f"{settings.SITE_URL}{reverse('customer_order', args=[order.token])}"


def _head(order: WorkOrder, shop: ShopSettings, paper: Paper) -> list[Any]:
    """Letterhead, title and facts, with the way to the customer's page beside them."""
    say = paper.speech.say
    address = ", ".join(shop.address.split("\n"))
    contact = " · ".join(part for part in (address, shop.phone, shop.email) if part)
    beside = QR_PT + 4
    code: list[Any] = []
    if settings.SITE_URL:
        alt = say("QR code that opens the customer's page of this order")
        code = [QrCode(customer_address(order), QR_PT, alt), text(say("Your page"), paper["head"])]
    facts = _facts(order, paper, paper.width - beside - 10)
    flow: list[Any] = [
        side_by_side(
            [text(shop.name, paper["letterhead"]), text(contact, paper["contact"])],
            [paper.width * 0.42, paper.width * 0.58],
        ),
        HRFlowable(width="100%", thickness=1, color=INK, spaceBefore=2, spaceAfter=5),
        side_by_side(
            [[text(say("Spec sheet"), paper["title"]), Spacer(1, 3), facts], code],
            [paper.width - beside, beside],
        ),
    ]
    if order.request_text:
        flow += [
            Spacer(1, 3),
            text(say("Request: {request}", request=order.request_text), paper["body"]),
        ]
    return flow


def _facts(order: WorkOrder, paper: Paper, width: float) -> Table:
    """Names and values in two columns of pairs; the names head their rows."""
    speech, vehicle = paper.speech, order.vehicle
    say = speech.say
    mileage = "–" if order.mileage_km is None else speech.distance(order.mileage_km)
    kind = speech.within(order.get_kind_display())
    pairs = [
        (say("Customer"), order.customer.name),
        (say("Vehicle"), vehicle.description),
        (say("Order"), f"{order.number}, {kind}"),
        (say("Plate"), vehicle.plate or "–"),
        (say("Use"), _use(order)),
        (say("VIN"), vehicle.vin or "–"),
        _state_fact(order, speech),
        (say("Mileage"), mileage),
    ]
    head, cell = paper["head"], paper["cell"]
    rows = [
        [text(name, head if i % 2 == 0 else cell) for i, name in enumerate((*one, *two))]
        for one, two in zip(pairs[::2], pairs[1::2], strict=True)
    ]
    return FactsTable(
        rows,
        colWidths=[width * share for share in (0.15, 0.39, 0.13, 0.33)],
        hAlign="LEFT",
        style=[
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ],
    )


def _use(order: WorkOrder) -> str:
    use = order.use_words
    return f"{use}, {order.races_under}" if order.races_under else use


def _state_fact(order: WorkOrder, speech: Speech) -> tuple[str, str]:
    if order.state == State.HANDED_OVER:
        return (speech.say("Handed over"), speech.day(order.state_since))
    state = order.get_state_display()
    return (speech.say("State"), speech.say("{state}; this is a draft", state=state))
