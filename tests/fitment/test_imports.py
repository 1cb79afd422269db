"""Wheels and tyres from a table: looked at first, all rows or none."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from common.csv_text import MOST_BYTES, BadTable, text_of
from fitment.catalogue.import_preview import TYRES, WHEELS, preview, take_over
from fitment.models import TyreModel, WheelModel
from tests.fitment.factories import make_tyre, make_wheel

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
GOOD = """name;maker;size;section width;measuring rim;load index;speed symbol;price;stock
Grip;Marrable;245/40R18;248;8,5;97;Y;189,50;8
Grip;Marrable;265/35R18;271;9,5;97;Y;214,00;
"""


def test_a_good_table_is_taken_over_whole() -> None:
    looked_at = preview(TYRES, GOOD)
    assert [row.words for row in looked_at.rows] == ["new", "new"]
    assert not TyreModel.objects.exists()
    take_over(looked_at)
    one = TyreModel.objects.get(size="245/40R18")
    assert (one.section_width_mm, one.measuring_rim_in, one.load_index) == (248.0, 8.5, "97")
    assert (one.price, one.stock) == (Decimal("189.50"), 8)
    assert TyreModel.objects.get(size="265/35R18").stock is None


def test_one_bad_row_is_named_with_its_line_and_nothing_is_imported() -> None:
    bad = GOOD + "Grip;Marrable;wide;271;9,5;97;Y;5;\n"
    looked_at = preview(TYRES, bad)
    (row,) = looked_at.bad
    assert row.line == 4
    assert any("is not a size" in problem for problem in row.problems)
    with pytest.raises(BadTable):
        take_over(looked_at)
    assert not TyreModel.objects.exists()


def test_known_rows_are_changed_and_empty_cells_leave_what_is_on_record() -> None:
    known = make_tyre(
        name="Grip", maker="Marrable", size="245/40R18", overall_diameter_mm=653, price=150
    )
    take_over(preview(TYRES, "name,maker,size,price,diameter\nGRIP,marrable,245/40R18,160.00,\n"))
    known.refresh_from_db()
    assert known.price == Decimal("160.00")
    assert known.overall_diameter_mm == 653
    assert TyreModel.objects.count() == 1


def test_a_row_that_changes_nothing_is_as_it_is() -> None:
    take_over(preview(TYRES, GOOD))
    looked_at = preview(TYRES, GOOD)
    assert [row.words for row in looked_at.rows] == ["as it is", "as it is"]
    assert looked_at.counts == {"new": 0, "changed": 0, "same": 2}


def test_the_same_row_twice_is_wrong() -> None:
    looked_at = preview(TYRES, GOOD + "grip;MARRABLE;245/40R18;250;8,5;97;Y;1;1\n")
    assert looked_at.bad[0].problems == ["The same as line 2."]


def test_wheels_are_known_by_their_sizes_however_they_are_written() -> None:
    known = make_wheel(name="Sixfold", maker="Hollin", width_in=9.5, offset_mm=35)
    table = (
        "name\tmaker\tdiameter\twidth\toffset\tbolts\tbolt circle\tseat\tprice\n"
        "Sixfold\tHollin\t18\t9,50\t35.0\t5\t116\t60° cone\t312\n"
    )
    take_over(preview(WHEELS, table))
    known.refresh_from_db()
    assert WheelModel.objects.count() == 1
    assert (known.seat, known.bolt_circle_mm) == ("cone60", 116.0)
    assert known.spoke_back == [[18, 40], [16, 80], [22, 150], [34, 190], [30, 205]]


def test_unknown_headings_are_said_and_left_out() -> None:
    looked_at = preview(TYRES, "name;size;colour\nGrip;245/40R18;black\n")
    assert looked_at.unknown == ["colour"]
    assert looked_at.may_import


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("name;size\n", "no row"),
        ("nothing here\nat all\n", "no columns"),
        ("name;price\nGrip;1\n", "missing: size"),
        ("name;size;size\nGrip;245/40R18;245/40R18\n", "alike"),
    ],
)
def test_what_is_no_table_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(BadTable, match=why):
        preview(TYRES, text)


@pytest.mark.parametrize("content", [b"\x00\x01", b"a" * (MOST_BYTES + 1)])
def test_files_that_are_no_text_or_too_large_are_refused(content: bytes) -> None:
    with pytest.raises(BadTable):
        text_of(content)


def test_a_sheet_saved_on_an_older_machine_is_read() -> None:
    assert text_of("für;à\n".encode("cp1252")) == "für;à\n"


HEAD = "name;maker;size;section width;price;stock\n"


@pytest.mark.parametrize(
    ("name", "content"),
    [
        (
            "a mark of its encoding first",
            "\ufeff".encode() + (HEAD + "A;M;225/40R18;230,5;9;4\n").encode(),
        ),
        ("sixteen bits a letter", (HEAD + "A;M;225/40R18;230,5;9;4\n").encode("utf-16")),
        (
            "the older Mac's lines",
            (HEAD + "A;M;225/40R18;230,5;9;4\n").replace("\n", "\r").encode(),
        ),
        (
            "a first line of the spreadsheet's",
            ("sep=;\n" + HEAD + "A;M;225/40R18;230,5;9;4\n").encode(),
        ),
        ("lines without anything", ("\n\n" + HEAD + "\nA;M;225/40R18;230,5;9;4\n;;;;;\n").encode()),
        ("units in the cells", (HEAD + "A;M;225/40R18;230,5 mm;9;4\n").encode()),
        ("tabs", (HEAD + "A;M;225/40R18;230.5;9;4\n").replace(";", "\t").encode()),
    ],
)
def test_a_table_is_read_as_a_spreadsheet_left_it(name: str, content: bytes) -> None:
    looked_at = preview(TYRES, text_of(content))
    assert looked_at.bad == [], name
    take_over(looked_at)
    one = TyreModel.objects.get()
    assert (one.name, one.section_width_mm, one.price, one.stock) == ("A", 230.5, Decimal(9), 4)


@pytest.mark.parametrize(
    ("price", "amount"),
    [
        ("1.234,50", "1234.50"),
        ("1,234.50", "1234.50"),
        ("€ 99,90", "99.90"),
        ("99.90 EUR", "99.90"),
        ("1 299,00", "1299.00"),
        ("1'299.00", "1299.00"),
    ],
)
def test_prices_are_read_as_people_write_them(price: str, amount: str) -> None:
    take_over(preview(TYRES, f"{HEAD}A;M;225/40R18;;{price};\n"))
    assert TyreModel.objects.get().price == Decimal(amount)


def test_price_and_stock_may_be_left_out() -> None:
    take_over(preview(TYRES, "name;maker;size\nA;M;225/40R18\n"))
    one = TyreModel.objects.get()
    assert (one.price, one.stock) == (None, None)


BAD_ROWS = [
    ("A;M;225/40R18;abc;9;4", "Section width, mm: “abc” is not a number."),
    ("A;M;225/40R18;230;x;4", "Price: Enter a number."),
    ("A;M;225/40R18;230;1.2345;4", "Price: Ensure that there are no more than 2 decimal places."),
    ("A;M;225/40R18;230;-3;4", "Price: Ensure this value is greater than or equal to 0."),
    ("A;M;225/40R18;230;9;4,5", "In stock: Enter a whole number."),
    ("A;M;225/40R18;9 in;9;4", "Section width, mm: “9 in” is not a number."),
    ("A;M;225/40R18;nan;9;4", "Section width, mm: “nan” is not a finite number."),
    (";M;225/40R18;230;9;4", "Name: This field is required."),
    ("A;M;;230;9;4", "Size: This field is required."),
    ("A;M;225/40R18;230;9;4;5;6", "It has 8 cells under 6 headings"),
    ("First;M;225/40 R18;230;9;4", "The same as line 2."),
]


@pytest.mark.parametrize(("row", "why"), BAD_ROWS)
def test_every_bad_row_is_named_and_the_good_ones_wait(row: str, why: str) -> None:
    text = f"{HEAD}First;M;225/40R18;230;9;4\n{row}\nLast;M;225/40R18;230;9;4\n"
    looked_at = preview(TYRES, text)
    (bad,) = looked_at.bad
    assert bad.line == 3
    assert any(why in problem for problem in bad.problems), bad.problems
    with pytest.raises(BadTable):
        take_over(looked_at)
    assert not TyreModel.objects.exists()


def test_every_fault_of_a_row_is_named_at_once() -> None:
    (row,) = preview(TYRES, f"{HEAD}A;M;999/40R18;abc;x;4,5\n").bad
    fields = {problem.partition(":")[0] for problem in row.problems}
    assert fields == {"Size", "Section width, mm", "Price", "In stock"}


def test_all_bad_rows_are_named_at_once_with_their_first_lines() -> None:
    text = f'{HEAD}"Two\nlines";M;225/40R18;x;9;4\nB;M;wide;230;9;4\n'
    assert [row.line for row in preview(TYRES, text).bad] == [2, 4]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"PK\x03\x04\x14\x00rest", "spreadsheet's own format"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "spreadsheet's own format"),
        (b"name;size\nA\x81;225/40R18\n", "Line 2 holds letters that cannot be read"),
    ],
)
def test_a_file_that_only_looks_like_a_table_says_what_it_is(content: bytes, why: str) -> None:
    with pytest.raises(BadTable, match=why):
        text_of(content)


def test_an_unclosed_quotation_mark_is_said() -> None:
    with pytest.raises(BadTable, match="never closed"):
        preview(TYRES, 'name;size\n"A;225/40R18\nB;225/40R18\n')


def test_headings_in_other_words_are_named_beside_those_that_lack() -> None:
    with pytest.raises(BadTable, match=r"missing: diameter, width.*headings: Durchmesser, Breite"):
        preview(WHEELS, "name;maker;Durchmesser;Breite;offset\nS;M;18;8;45\n")


def test_a_width_from_a_table_is_no_longer_one_that_the_shop_measured() -> None:
    make_tyre(name="Grip", maker="Marrable", size="245/40R18", measured=True)
    same = preview(TYRES, "name;maker;size;section width\nGrip;Marrable;245/40R18;248,0\n")
    assert same.rows[0].words == "as it is"
    other = preview(TYRES, "name;maker;size;section width\nGrip;Marrable;245/40R18;251\n")
    assert "no longer a width that this shop measured" in other.rows[0].words
    take_over(other)
    one = TyreModel.objects.get()
    assert (one.section_width_mm, one.measured) == (251.0, False)
    assert one.as_document()["width_known"] == "printed"


def test_the_page_looks_first_and_takes_over_on_a_second_word(
    client_of: Browsers, writer: Any
) -> None:
    browser, url = client_of(writer), reverse("tyre_import")
    file = SimpleUploadedFile("tyres.csv", GOOD.encode("utf-8-sig"), content_type="text/csv")
    text = browser.post(url, {"file": file}).content.decode()
    assert "2 new, 0 changed, 0 as they are." in text
    assert not TyreModel.objects.exists()
    answer = browser.post(url, {"text": GOOD, "take": "1"})
    assert answer.status_code == 302
    assert TyreModel.objects.count() == 2


def test_the_page_names_bad_rows_and_offers_nothing(client_of: Browsers, writer: Any) -> None:
    bad = GOOD.replace("245/40R18", "245/40")
    for sent in ({"text": bad}, {"text": bad, "take": "1"}):
        text = client_of(writer).post(reverse("tyre_import"), sent).content.decode()
        assert "Line 2, Marrable Grip 245/40:" in text
        assert "Take all of it over" not in text
    assert not TyreModel.objects.exists()


def test_an_empty_form_asks_for_a_table(client_of: Browsers, writer: Any) -> None:
    text = client_of(writer).post(reverse("wheel_import"), {}).content.decode()
    assert "Choose a file, or put a table into the field." in text
