"""The spec sheet: its words, its pages, its metadata, and that it is the same each time."""

import re
from decimal import Decimal

import pytest
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Table

from shop.extensions.points import SHEET_DRAWINGS, SHEET_SECTIONS
from shop.models import Authorisation, State
from shop.orders.services.cautions import CUSTOMER, TECHNICIAN, Job, cautions_for
from shop.paper.pdf_styles import FitTogether, whole
from shop.sheet.document import sheet_pdf
from tests.factories import (
    make_car_model,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_quote,
    make_shop,
    make_user,
    make_vehicle,
)
from tests.pdf import reader_of


def first_section(order, styles):
    return [Paragraph("The first section", styles["heading"])]


def second_section(order, styles):
    return [Paragraph("The second section", styles["body"])]


@pytest.fixture
def order(db, swap_plugs):
    swap_plugs(SHEET_SECTIONS, first_section, second_section)
    make_shop(name="Lindgrove Chassis Works")
    car_model = make_car_model(has_assistance_sensors=True)
    customer = make_customer(name="Žofia Αλέξη & Søn")
    vehicle = make_vehicle(customer=customer, car_model=car_model, description="2017 coupé <red>")
    order = make_order(
        vehicle=vehicle,
        state=State.HANDED_OVER,
        mileage_km=61_400,
        class_rules="street class",
        request_text="Camber −2.4° & wide",
    )
    part = make_part(
        name="Coilover set", kind="coilover", torque_nm=Decimal("62.0"), caution="Grease it."
    )
    make_line(order, kind="part", part=part, description="Coilover set")
    technician = make_user("technician", display_name="Tarek Holm")
    order.installed.create(
        description="Coilover set",
        part=part,
        serial="N31-0452",
        corner_or_axle="car",
        by=technician,
    )
    order.torques.create(
        what="Coilover set", torque_nm=Decimal("62.0"), tool="Wrench 2", by=technician
    )
    test = order.road_tests.create(by=technician, lock_left="quiet", lock_right="quiet")
    test.marks.create(corner="LF", place="arch lip", gap_mm=7.4)
    quote = make_quote(order)
    Authorisation.objects.create(
        quote=quote,
        name="Žofia Αλέξη",
        amount=quote.total,
        via="link",
        signed_sentence="Rubs the arch lip: 4 mm too little.",
    )
    manager = make_user("manager", display_name="Ines Mortlake")
    order.overrides.create(
        gate="clearance",
        digest="d",
        result="contact",
        sentence="Rubs the arch lip: 4 mm too little.",
        reason="The lip is rolled",
        by=manager,
    )
    return order


def text_of(order) -> str:
    reader = reader_of(sheet_pdf(order))
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_the_sheet_tells_what_was_done(order) -> None:
    text = text_of(order)
    for words in (
        "Lindgrove Chassis Works",
        "Žofia Αλέξη & Søn",
        "2017 coupé <red>",
        "Camber −2.4° & wide",
        "N31-0452",
        "Wrench 2",
        "Tarek Holm",
        "arch lip 7",
        "Signed for: Rubs the arch lip",
        "Overridden by Ines Mortlake",
        "The lip is rolled",
        "61 450 to 61 500 km",
        "62 400 km",
        "Grease it.",
        "street class",
        "Page 1 of",
    ):
        assert words in text, words


def test_sections_stand_in_the_order_of_the_point(order, swap_plugs) -> None:
    text = text_of(order)
    assert text.index("The first section") < text.index("The second section")
    swap_plugs(SHEET_SECTIONS, second_section, first_section)
    text = text_of(order)
    assert text.index("The second section") < text.index("The first section")


def test_the_file_names_itself_and_its_language_and_is_short(order) -> None:
    reader = reader_of(sheet_pdf(order))
    assert reader.metadata.title == f"Spec sheet {order.number}"
    assert reader.metadata.author == "Lindgrove Chassis Works"
    assert reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert len(reader.pages) <= 2


def test_fonts_are_embedded(order) -> None:
    reader = reader_of(sheet_pdf(order))
    fonts = reader.pages[0]["/Resources"]["/Font"]
    used = [font.get_object() for font in fonts.values()]
    real = [font for font in used if "SourceSans" in font["/BaseFont"]]
    assert real
    assert all("/FontFile2" in font["/FontDescriptor"] for font in real)


def test_the_same_order_gives_the_same_bytes(order) -> None:
    assert sheet_pdf(order) == sheet_pdf(order)


def test_an_order_that_is_not_handed_over_says_that_it_is_a_draft(order) -> None:
    order.state = State.ROAD_TEST
    assert "draft" in text_of(order)


def test_an_empty_order_still_makes_a_sheet(db, swap_plugs) -> None:
    swap_plugs(SHEET_SECTIONS)
    assert "Spec sheet" in text_of(make_order(vehicle=make_vehicle(car_model=None)))


# Cautions


def job(*kinds: str, moves: bool = True, assistance: bool = False) -> Job:
    return Job(frozenset(kinds), moves, assistance)


def test_cautions_follow_from_what_was_fitted() -> None:
    coilovers = " ".join(cautions_for(job("coilover"), CUSTOMER))
    assert "settle" in coilovers
    assert "headlamps" in coilovers
    assert "thread" not in coilovers
    assert "thread" in " ".join(cautions_for(job("spacer"), CUSTOMER))
    assert "steering-angle" not in coilovers
    assert "steering-angle" in " ".join(cautions_for(job("coilover", assistance=True), CUSTOMER))


def test_a_technician_is_warned_of_springs_and_bushes() -> None:
    words = " ".join(cautions_for(job("coilover", "arm"), TECHNICIAN))
    for piece in ("compressor", "rubber bushes", "hoses", "within the law"):
        assert piece in words


def test_a_job_that_moves_nothing_has_few_cautions() -> None:
    assert cautions_for(job(moves=False), CUSTOMER) == []
    assert not [t for t in cautions_for(job("brake", moves=False), TECHNICIAN) if "spring" in t]


def many_rows(order, styles):
    return [Paragraph(f"Row {n}", styles["body"]) for n in range(88)]


def test_a_full_sheet_is_set_smaller_before_it_grows_to_three_pages(order, swap_plugs) -> None:
    swap_plugs(SHEET_SECTIONS, many_rows)
    reader = reader_of(sheet_pdf(order))
    assert len(reader.pages) == 2
    assert "Page 2 of 2" in reader.pages[1].extract_text()


# Tags


class Drawing(Flowable):
    """A drawing with a description, as the other apps have them."""

    alt = "A section of the front left corner."

    def wrap(self, *args):
        return 40, 40

    def draw(self):
        self.canv.rect(0, 0, 40, 40)


def drawn_section(order, styles):
    return [Drawing(), Table([[Drawing(), Paragraph("beside", styles["body"])]])]


def elements(node) -> list:
    """All elements below a node of the structure tree."""
    node = node.get_object()
    kids = node.get("/K", [])
    kids = kids if isinstance(kids, list) else [kids]
    below = [kid for kid in kids if kid.get_object().get("/Type") == "/StructElem"]
    found = [node] if node.get("/Type") == "/StructElem" else []
    return found + [element for kid in below for element in elements(kid)]


def test_a_screen_reader_finds_headings_tables_and_what_drawings_show(order, swap_plugs) -> None:
    swap_plugs(SHEET_SECTIONS, drawn_section)
    root = reader_of(sheet_pdf(order)).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    found = elements(root["/StructTreeRoot"])
    roles = [element["/S"] for element in found]
    assert roles[0] == "/Document"
    assert roles.count("/H1") == 1
    for role in ("/H2", "/P", "/L", "/LI", "/LBody", "/Table", "/TR", "/TH", "/TD"):
        assert role in roles
    figures = [element["/Alt"] for element in found if element["/S"] == "/Figure"]
    assert figures == [
        "QR code that opens the customer's page of this order",
        Drawing.alt,
        Drawing.alt,
    ]


def test_every_mark_of_a_page_belongs_to_one_element(order) -> None:
    reader = reader_of(sheet_pdf(order))
    numbers = reader.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    owners = dict(zip(numbers[::2], numbers[1::2], strict=True))
    for page in reader.pages:
        stream = page.get_contents().get_data()
        marks = [int(mark) for mark in re.findall(rb"/MCID (\d+)>> BDC", stream)]
        assert marks == list(range(len(marks)))
        assert len(owners[page["/StructParents"]].get_object()) == len(marks)
        begun = len(re.findall(rb"\b(?:BDC|BMC)\b", stream))
        assert begun == len(re.findall(rb"\bEMC\b", stream))


# Breaks


class Box(Flowable):
    """So high and no words."""

    def __init__(self, height: float) -> None:
        super().__init__()
        self.height = height

    def wrap(self, *_):
        return 100, self.height

    def draw(self):
        self.canv.drawString(0, 0, f"box of {self.height:g}")


def boxes_section(order, styles):
    return [Box(boxes_section.before), FitTogether([[Box(300)], [Box(250)]])]


@pytest.mark.parametrize(
    ("before", "page", "words"),
    [(200, 0, "box of 300"), (390, 0, "box of 250"), (500, 1, "box of 300")],
)
def test_a_drawing_is_smaller_where_that_saves_a_break(
    db, swap_plugs, before: float, page: int, words: str
) -> None:
    swap_plugs(SHEET_SECTIONS)
    swap_plugs(SHEET_DRAWINGS, boxes_section)
    make_shop(name="Lindgrove Chassis Works")
    boxes_section.before = before
    pages = reader_of(sheet_pdf(make_order(moves_wheel_or_height=False, request_text=""))).pages
    assert [number for number, one in enumerate(pages) if words in one.extract_text()] == [page]


def test_a_short_table_is_not_parted_from_its_heading_or_its_rows() -> None:
    rows = ["one", "two"]
    (kept,) = whole([Box(10), Box(20)], rows)
    assert isinstance(kept, KeepTogether)
    assert len(whole([Box(10), Box(20)], rows * 4)) == 2
