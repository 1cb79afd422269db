"""Readings out of foreign tables, all or nothing, and into files."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable
from html import unescape
from io import StringIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from alignment.geometry.units import NotUnderstood
from alignment.models import RackVisit
from alignment.models.import_layouts import ImportLayout
from alignment.visits.tables.columns import Column, guess, read_cell
from alignment.visits.tables.reading import MOST_NOTES, read_table
from shop.models import WorkOrder
from tests.alignment.factories import make_visit
from tests.factories import make_order

pytestmark = pytest.mark.django_db

BY_CORNER = [
    Column("When", "time"),
    Column("Wheel", "corner"),
    Column("Sturz", "camber", "row", "deg"),
    Column("Spur", "toe", "row", "min"),
]
TABLE = """Exported by a machine;;;
When;Wheel;Sturz;Spur
2026-03-01 10:05;VL;-1,25;5
2026-03-01 10:05;VR;-1°10';-2

2026-03-01 10:05;HL;-1,60;8
"""


def make_map(columns: list[Column] | None = None, **values: Any) -> ImportLayout:
    values.setdefault("name", "North rack")
    values.setdefault("header_row", 2)
    kept = [column.as_dict() for column in (columns or BY_CORNER)]
    return ImportLayout.objects.create(columns=kept, **values)


def wide(**values: Any) -> ImportLayout:
    columns = [
        Column("stage", "stage"),
        Column("LF camber", "camber", "LF", "deg", turned=True),
        Column("toe total", "toe_total", "LF", "mm"),
        Column("LF height", "ride_height", "LF", "in"),
        Column("LF tyre", "pressure", "LF", "psi"),
    ]
    values.setdefault("toe_diameter_mm", 600.0)
    return make_map(columns, name="Wide", header_row=1, delimiter=",", decimal_mark=".", **values)


@pytest.fixture
def order() -> WorkOrder:
    return make_order()


@pytest.fixture
def browser(technician: Any, client_of: Callable[[Any], Client]) -> Client:
    return client_of(technician)


def send(browser: Client, order: WorkOrder, text: str, kept: ImportLayout, **more: Any) -> Any:
    data = {"text": text, "import_layout": kept.pk, "stage": "before", **more}
    return browser.post(reverse("readings_import", args=[order.pk]), data)


def test_rows_of_single_corners_become_one_visit() -> None:
    found = read_table(TABLE, make_map(), "before")
    assert found.bad == []
    (visit,) = found.visits
    assert visit.rows == [3, 4, 6]
    read = {key: round(number.value, 4) for key, number in visit.readings.items()}
    assert read == {
        ("LF", "camber"): -1.25,
        ("LF", "toe"): 0.0833,
        ("RF", "camber"): -1.1667,
        ("RF", "toe"): -0.0333,
        ("LR", "camber"): -1.6,
        ("LR", "toe"): 0.1333,
    }
    assert visit.readings["LF", "camber"].typed == "-1,25"


def test_each_column_has_its_unit_and_its_sign() -> None:
    text = "stage,LF camber,toe total,LF height,LF tyre\nafter work,1.5,3.0,13.875,35\n"
    found = read_table(text, wide(), "before")
    assert found.bad == []
    (visit,) = found.visits
    assert visit.stage == "after"
    read = {key: number.value for key, number in visit.readings.items()}
    assert read["LF", "camber"] == -1.5
    assert read["LF", "toe_total"] == pytest.approx(0.28648, abs=1e-4)
    assert read["LF", "ride_height"] == pytest.approx(352.425)
    assert read["LF", "pressure"] == pytest.approx(2.413, abs=1e-3)


def test_every_bad_cell_is_named_with_row_column_and_reason() -> None:
    text = TABLE + "2026-03-01;XX;-1.0;1\n31.2.2026;HR;-1.5;abc\n"
    found = read_table(text, make_map(), "before")
    said = [str(bad) for bad in found.bad]
    assert "Row 7, column Wheel: “XX” is not a corner. Accepted: LF, RF, LR, RR." in said
    assert "Row 8, column When: “31.2.2026” is not a day of the calendar." in said
    assert any(text.startswith("Row 8, column Sturz: “-1.5” has a point") for text in said)
    assert any(text.startswith("Row 8, column Spur: “abc” was not understood") for text in said)
    assert any(text.startswith("Row 7, column Sturz: “-1.0” has a point") for text in said)
    assert len(said) == 5


def test_a_column_that_is_missing_is_named() -> None:
    missing = read_table("a;b\n\n1;2\n", make_map(header_row=1), "before")
    assert [bad.column for bad in missing.bad] == ["When", "Wheel", "Sturz", "Spur"]


def test_notes_that_are_too_long_are_refused_and_not_cut() -> None:
    columns = [Column("notes", "notes"), Column("LF camber", "camber", "LF", "deg")]
    kept = make_map(columns, name="Notes", header_row=1, delimiter=",", decimal_mark=".")
    fits = read_table(f"notes,LF camber\n{'n' * MOST_NOTES},-1.0\n", kept, "before")
    assert [len(visit.notes) for visit in fits.visits] == [MOST_NOTES]
    cut = read_table(f"notes,LF camber\n{'n' * (MOST_NOTES + 1)},-1.0\n", kept, "before")
    assert cut.visits == []
    (bad,) = cut.bad
    assert (bad.row, bad.column) == (2, "notes")
    assert str(MOST_NOTES + 1) in bad.reason


def test_a_corner_that_a_table_has_twice_is_named() -> None:
    twice = read_table(TABLE + "2026-03-01 10:05;VL;-1,3;5\n", make_map(), "before")
    assert "LF is already in row 6" in twice.bad[0].reason


@pytest.mark.parametrize("text", ["", "\n\n\n", "x\nWhen;Wheel;Sturz;Spur\n"])
def test_a_table_without_rows_says_so(text: str) -> None:
    found = read_table(text, make_map(), "before")
    assert not found.visits
    assert found.bad


def test_a_date_that_could_be_two_is_asked_about() -> None:
    found = read_table(TABLE.replace("2026-03-01 10:05", "03/04/2026"), make_map(), "before")
    assert "could be two dates" in found.bad[0].reason


def fields_of(preview: Any) -> dict[str, str]:
    """What the form of a preview sends by itself."""
    page = preview.content.decode()
    hidden = re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', page)
    (text,) = re.findall(r'<textarea name="text" hidden>\n(.*?)</textarea>', page, re.DOTALL)
    return {name: unescape(value) for name, value in [*hidden, ("text", text)]}


def test_the_preview_saves_nothing_and_the_second_press_takes_everything(
    browser: Client, order: WorkOrder
) -> None:
    kept = make_map()
    seen = send(browser, order, TABLE, kept)
    assert seen.status_code == 200
    assert "−1.17°" in seen.content.decode()
    assert not RackVisit.objects.exists()

    taken = browser.post(
        reverse("readings_import", args=[order.pk]),
        {**fields_of(seen), "take": "yes", "accuracy": "0.03"},
    )
    visit = RackVisit.objects.get()
    assert taken.url == visit.get_absolute_url()
    assert (visit.accuracy_deg, visit.at.year, visit.readings.count()) == (0.03, 2026, 6)


def test_one_bad_row_keeps_the_whole_table_out(browser: Client, order: WorkOrder) -> None:
    text = TABLE + "2026-03-02 10:05;VL;lots;5\n"
    answer = send(browser, order, text, make_map(), take="yes")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert 'data-test="refused"' in page
    assert "“lots” was not understood" in page
    assert not RackVisit.objects.exists()


def test_an_odd_value_of_a_table_is_asked_about_before_it_is_taken(
    browser: Client, order: WorkOrder
) -> None:
    kept, text = make_map(), TABLE.replace("-1,25", "-14,5")
    asked = send(browser, order, text, kept, take="yes")
    assert asked.status_code == 422
    questions = asked.context["form"].questions
    assert "beyond ±12°" in questions[0].text
    taken = send(browser, order, text, kept, take="yes", accept=[q.key for q in questions])
    assert taken.status_code == 302


def test_a_table_sent_twice_is_questioned(browser: Client, order: WorkOrder) -> None:
    kept = make_map()
    send(browser, order, TABLE, kept, take="yes")
    again = send(browser, order, TABLE, kept, take="yes")
    assert again.status_code == 422
    assert "exactly these readings" in again.content.decode()
    assert RackVisit.objects.count() == 1


def test_a_file_of_an_old_program_is_read_in_its_code_page(
    browser: Client, order: WorkOrder
) -> None:
    raw = TABLE.replace("10'", "10′".replace("′", "'")).encode("cp1252")
    data = {
        "table": SimpleUploadedFile("rack.csv", raw),
        "import_layout": make_map().pk,
        "stage": "before",
    }
    answer = browser.post(reverse("readings_import", args=[order.pk]), data)
    assert answer.status_code == 200
    assert "−1.17°" in answer.content.decode()


def test_a_map_is_made_from_a_sample_and_kept(browser: Client) -> None:
    url = reverse("import_layout_new")
    head = {"name": "Yard", "delimiter": ";", "decimal_mark": ",", "header_row": "1"}
    sample = "Date;LF camber;FR Toe (mm);Remark\n"
    seen = browser.post(url, {**head, "sample": sample, "read_sample": "yes"})
    form = seen.context["form"]
    assert form["col_1_name"].value() == "LF camber"
    assert (form["col_1_what"].value(), form["col_1_corner"].value()) == ("camber", "LF")
    assert (form["col_2_corner"].value(), form["col_2_unit"].value()) == ("RF", "mm")
    assert not ImportLayout.objects.exists()

    rows = {
        f"col_{i}_{name}": str(form[f"col_{i}_{name}"].value() or "")
        for i in range(4)
        for name in ("name", "what", "corner", "unit", "sign")
    }
    refused = browser.post(url, {**head, **rows})
    assert "Needed for toe as a length" in refused.context["form"].errors["toe_diameter_mm"][0]
    kept = browser.post(url, {**head, **rows, "toe_diameter_mm": "600", "col_1_sign": "turned"})
    assert kept.status_code == 302
    columns = ImportLayout.objects.get().columns
    assert [c["what"] for c in columns] == ["time", "camber", "toe"]
    assert columns[1]["turned"] is True
    again = browser.get(ImportLayout.objects.get().get_absolute_url())
    assert again.context["form"]["col_1_sign"].value() == "turned"


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (("x", "camber", "LF", "mm", ""), "cannot be in millimetres"),
        (("x", "camber", "", "deg", ""), "Choose the corner"),
        (("x", "camber", "row", "deg", ""), "corner of a row"),
        (("x", "track", "RF", "mm", ""), "left corner"),
    ],
)
def test_a_column_that_makes_no_sense_is_refused_with_the_reason(
    browser: Client, row: tuple[str, ...], reason: str
) -> None:
    names = ("name", "what", "corner", "unit", "sign")
    data = {f"col_0_{name}": value for name, value in zip(names, row, strict=True)}
    head = {"name": "Odd", "delimiter": ";", "decimal_mark": ",", "header_row": "1"}
    answer = browser.post(reverse("import_layout_new"), {**head, **data})
    assert answer.status_code == 422
    assert reason in answer.context["form"].errors["col_0_what"][0]


def test_names_of_columns_make_their_meaning_likely() -> None:
    assert guess("camber_fl") == Column("camber_fl", "camber", "LF", "deg")
    assert guess("Total toe rear (min)") == Column("Total toe rear (min)", "toe_total", "LR", "min")
    assert guess("Ride height") == Column("Ride height", "ride_height", "row", "mm")
    assert guess("Serial") == Column("Serial", "")


def test_a_visit_goes_out_as_csv_and_as_json_and_the_numbers_come_back(browser: Client) -> None:
    numbers = {("LF", "camber"): "-1°30'", ("LF", "ride_height"): '13 7/8"', ("RF", "toe"): "0"}
    visit = make_visit(numbers=numbers, notes="=1+1")
    url = reverse("visit_export", kwargs={"pk": visit.pk, "kind": "csv"})
    answer = browser.get(url)
    assert "attachment" in answer["Content-Disposition"]
    rows = list(csv.DictReader(StringIO(answer.content.decode())))
    by_key = {(row["corner"], row["quantity"]): row for row in rows}
    assert float(by_key["LF", "camber"]["value"]) == -1.5
    assert by_key["LF", "camber"]["typed"] == "-1°30'"
    assert float(by_key["LF", "camber"]["uncertainty"]) == pytest.approx(0.0577, abs=1e-4)
    assert float(by_key["LF", "ride_height"]["value"]) == pytest.approx(352.425)
    assert by_key["RF", "toe"]["value"] == "0.0"

    document = json.loads(browser.get(url.replace(".csv", ".json")).content)
    (only,) = document["visits"]
    assert only["conditions"]["notes"] == "=1+1"
    assert {r["quantity"] for r in only["readings"]} == {"camber", "ride_height", "toe"}
    assert browser.get(url.replace(".csv", ".xml")).status_code == 404


def test_a_vehicles_visits_go_out_together(browser: Client, order: WorkOrder) -> None:
    make_visit(order)
    make_visit(order, stage="after")
    make_visit()
    url = reverse("vehicle_export", kwargs={"pk": order.vehicle_id, "kind": "json"})
    assert len(json.loads(browser.get(url).content)["visits"]) == 2


def test_a_writer_may_take_files_out_but_not_in(
    writer: Any, client_of: Callable[[Any], Client], order: WorkOrder
) -> None:
    desk = client_of(writer)
    visit = make_visit(order)
    url = reverse("visit_export", kwargs={"pk": visit.pk, "kind": "csv"})
    assert desk.get(url).status_code == 200
    assert desk.get(reverse("readings_import", args=[order.pk])).status_code == 403


@pytest.mark.parametrize(
    "encoded",
    [TABLE.encode("utf-16"), TABLE.replace("\n", "\r").encode(), TABLE.encode("utf-8-sig")],
)
def test_a_file_is_read_however_a_spreadsheet_saved_it(
    browser: Client, order: WorkOrder, encoded: bytes
) -> None:
    data = {
        "table": SimpleUploadedFile("rack.csv", encoded),
        "import_layout": make_map().pk,
        "stage": "before",
    }
    answer = browser.post(reverse("readings_import", args=[order.pk]), data)
    assert answer.status_code == 200
    assert "−1.17°" in answer.content.decode()


def test_quotation_marks_that_do_not_fit_give_no_visit() -> None:
    found = read_table(TABLE + 'HR;"-1,5;8\n', make_map(), "before")
    assert found.visits == []
    assert [str(bad) for bad in found.bad] == [
        "Table: A quotation mark is opened and never closed."
    ]


def test_a_sample_that_is_no_table_is_refused_at_its_field(browser: Client) -> None:
    head = {"name": "Yard", "delimiter": ";", "decimal_mark": ",", "header_row": "1"}
    url, press = reverse("import_layout_new"), {"read_sample": "yes"}
    pasted = browser.post(url, {**head, **press, "sample": 'Date;"LF camber\n'})
    assert pasted.status_code == 422
    assert "never closed" in pasted.context["form"].errors["sample"][0]
    sheet = SimpleUploadedFile("rack.csv", b"PK\x03\x04")
    sent = browser.post(url, {**head, **press, "table": sheet})
    assert sent.status_code == 422
    assert "spreadsheet's own format" in sent.context["form"].errors["table"][0]


def test_a_sample_with_more_columns_than_a_layout_takes_is_refused(browser: Client) -> None:
    head = {"name": "Wide", "delimiter": ";", "decimal_mark": ".", "header_row": "1"}
    sample = ";".join(f"column {number}" for number in range(61))
    url, press = reverse("import_layout_new"), {"read_sample": "yes"}
    seen = browser.post(url, {**head, **press, "sample": f"{sample}\n"})
    (told,) = seen.context["form"].errors["sample"]
    assert told == "The table has 61 columns; a layout takes 60 at most."


def test_a_cell_that_is_too_long_is_refused_and_never_cut() -> None:
    with pytest.raises(NotUnderstood, match="at most 40"):
        read_cell(
            Column("LF camber", "camber", unit="deg"),
            f"-1.{'0' * 40}",
            decimal_mark=".",
            toe_diameter_mm=None,
        )
