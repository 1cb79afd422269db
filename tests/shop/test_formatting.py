"""One figure reads alike on page, sheet and sentence."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from django.conf import settings

from alignment.geometry import units
from shop.languages import ENGLISH, LANGUAGES, Speech, formatting
from shop.templatetags import archroom
from tests.common.test_numerals import HALVES

GERMAN = Speech(LANGUAGES["de"])


@pytest.mark.parametrize(("value", "places", "written"), HALVES)
def test_page_sheet_sentence_and_echo_round_alike(value, places, written) -> None:
    assert archroom.number(value, places) == written
    assert ENGLISH.number(value, places) == written
    assert GERMAN.number(value, places) == written.replace(".", ",")
    assert units.format_number(float(value), places, signed=False) == written
    assert formatting.number(str(value), places) == written


def test_an_angle_is_the_same_for_staff_and_customers() -> None:
    assert archroom.degrees(-1.625) == ENGLISH.angle(-1.625) == units.format_degrees(-1.625)
    minutes = Speech(LANGUAGES["en"], angles="minutes")
    assert archroom.minutes(-1.625) == minutes.angle(-1.625) == units.format_minutes(-1.625)


def test_money_is_the_same_for_staff_and_customers() -> None:
    assert archroom.money("-1234.505", "EUR") == ENGLISH.money("-1234.505", "EUR")
    assert formatting.money("-0.001", "EUR") == "€0.00"
    assert formatting.money("12", "NOK") == "NOK\N{NARROW NO-BREAK SPACE}12.00"


def test_what_is_not_known_is_a_dash_with_no_unit() -> None:
    shown = (archroom.mm(None), archroom.percent(""), archroom.degrees("none"))
    assert {*shown, archroom.money(None, "EUR")} == {formatting.NOT_READ}


def test_capital_changes_the_first_letter_alone() -> None:
    assert formatting.capital("toe link of the LF corner") == "Toe link of the LF corner"
    assert formatting.capital("") == ""


# ---- One way

#: Where figures are written for machines: SVG, digests, addresses and form fields.
FOR_MACHINES = {
    "alignment/fields/plausibility.py",
    "alignment/history/plot.py",
    "fitment/engine/drawing/scene_svg.py",
    "fitment/fields/numbers.py",
    "fitment/tryout/services/results.py",
}
DECIMALS = re.compile(r"\.\d+[fe%]$")


def test_no_figure_for_people_is_rounded_anywhere_else() -> None:
    """A format with decimals rounds the binary number, and halves to even."""
    root = Path(settings.BASE_DIR)
    found = {
        f"{path.relative_to(root)}:{node.lineno}"
        for app in ("common", "shop", "alignment", "fitment")
        for path in (root / app).rglob("*.py")
        if str(path.relative_to(root)) not in FOR_MACHINES
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.FormattedValue) and DECIMALS.search(_spec(node))
    }
    assert sorted(found) == []


def _spec(node: ast.FormattedValue) -> str:
    parts = node.format_spec.values if isinstance(node.format_spec, ast.JoinedStr) else []
    return "".join(str(part.value) for part in parts if isinstance(part, ast.Constant))
