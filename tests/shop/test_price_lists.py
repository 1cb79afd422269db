"""Price lists: looked at with the old prices, taken whole or not at all."""

from decimal import Decimal

import pytest
from django.urls import reverse

from common.csv_text import BadTable
from shop.models import Part
from shop.parts.price_list import price_list, prices_take
from shop.site.refusals import Refused
from tests import factories

pytestmark = [pytest.mark.database, pytest.mark.django_db]

GOOD = "Supplier;Part number;Net price;Name\nThe Old Yard;A-1;1.234,50 €;Mount\n;B-2;12,5;Packer\n"


@pytest.fixture
def parts(db):
    factories.make_supplier(name="The old yard")
    return factories.make_part(number="A-1", price=Decimal("80.00"))


def test_a_list_shows_old_and_new_prices_and_saves_nothing_yet(parts) -> None:
    looked_at = price_list(GOOD)
    first, second = looked_at.rows
    assert (first.line, first.old_price, first.price) == (2, Decimal("80.00"), Decimal("1234.50"))
    assert str(first.supplier) == "The old yard"
    assert (second.part, second.price, second.name) == (None, Decimal("12.5"), "Packer")
    parts.refresh_from_db()
    assert parts.price == Decimal("80.00")


@pytest.mark.parametrize("with_new", [True, False])
def test_prices_are_taken_over_and_new_parts_only_if_asked_for(parts, with_new) -> None:
    assert prices_take(price_list(GOOD), with_new=with_new) == (1, int(with_new))
    parts.refresh_from_db()
    assert (parts.price, str(parts.supplier)) == (Decimal("1234.50"), "The old yard")
    assert Part.objects.filter(number="B-2").exists() == with_new
    assert price_list(GOOD).changed == []


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("The old yard;B-2;twelve", "twelve"),
        ("The old yard;B-2;-3", "greater than or equal"),
        ("The old yard;B-2;1,234", "1,234"),
        ("The old yard;B-2;", "required"),
        ("The old yard;;3", "No part number"),
        ("Another;B-2;3", "Another"),
        ("The old yard;a-1;3", "line 2"),
        ("The old yard;B-2;3;4", "More cells"),
        ("The old yard;" + "9" * 41 + ";3", "too long"),
    ],
)
def test_one_bad_row_stops_the_list_and_is_named_with_its_line(parts, row, reason) -> None:
    looked_at = price_list(f"supplier;part number;net price\nThe old yard;A-1;90\n{row}\n")
    (bad,) = looked_at.bad
    assert bad.line == 3
    assert any(reason in problem for problem in bad.problems)
    with pytest.raises(Refused):
        prices_take(looked_at, with_new=True)
    parts.refresh_from_db()
    assert parts.price == Decimal("80.00")


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("part number;name\nA-1;Mount\n", "net price"),
        ("part number;net price\n", "no row"),
        ("number;part number;net price\nA;B;1\n", "headed alike"),
    ],
)
def test_a_table_without_its_columns_is_refused_by_name(parts, text, reason) -> None:
    with pytest.raises(BadTable, match=reason):
        price_list(text)


def test_the_page_previews_and_imports(parts, client) -> None:
    client.force_login(factories.make_user("writer"))
    url = reverse("price_list")
    shown = client.post(url, {"text": GOOD})
    assert shown.status_code == 200
    assert len(shown.context["preview"].rows) == 2
    bad = client.post(url, {"text": GOOD + ";C-3;x\n", "take": "1"})
    assert [row.line for row in bad.context["preview"].bad] == [4]
    assert not Part.objects.filter(number="C-3").exists()
    taken = client.post(url, {"text": GOOD, "take": "1", "with_new": "on"})
    assert taken.url == reverse("part_list")
    parts.refresh_from_db()
    assert parts.price == Decimal("1234.50")
