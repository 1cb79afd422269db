"""Quote lines out of the plan: one press, nothing twice, and what no longer matches is told."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils.translation import get_language

from shop.extensions.panels import LineHint
from shop.extensions.points import LINE_HINTS
from shop.models import Package
from shop.money.services import gaps_of, gaps_on_card, lines_fill, package_add
from tests.factories import make_line, make_order, make_part, make_shop, make_user

pytestmark = pytest.mark.django_db

SPACER = LineHint("Wheel spacer, 5 mm", 2, None, "spacer:rear:5", "spacer", axle="rear")
HOURS = LineHint("Set toe", Decimal("0.75"), None, "alignment-hours:rear:", "alignment", "labour")


@pytest.fixture
def planned(swap_plugs: Any) -> list[LineHint]:
    """What the plan asks for; a test changes the list."""
    hints = [SPACER, HOURS]
    swap_plugs(LINE_HINTS, lambda order: list(hints))
    make_shop(hourly_rate=Decimal("92.50"))
    return hints


def test_one_press_fills_and_a_second_adds_only_what_is_missing(planned: list[LineHint]) -> None:
    order, writer = make_order(), make_user("writer")
    assert not gaps_on_card(order)
    first = lines_fill(order=order, by=writer)
    assert [(line.source, line.quantity, line.unit_price) for line in first] == [
        ("spacer:rear:5", 2, Decimal(0)),
        ("alignment-hours:rear:", Decimal("0.75"), Decimal("92.50")),
    ]
    assert lines_fill(order=order, by=writer) == []
    order.lines.get(source=SPACER.key).delete()
    assert [hint.key for hint in gaps_on_card(order).missing] == [SPACER.key]
    (again,) = lines_fill(order=order, by=writer)
    assert again.source == SPACER.key
    assert not gaps_of(order)


def test_what_is_no_longer_planned_is_told_and_kept(planned: list[LineHint]) -> None:
    order, writer = make_order(), make_user("writer")
    lines_fill(order=order, by=writer)
    planned[0] = LineHint("Wheel spacer, 8 mm", 2, None, "spacer:rear:8", "spacer")
    planned[1] = LineHint("Set toe", Decimal("1.5"), None, HOURS.key, "alignment", "labour")
    gaps = gaps_of(order)
    assert [hint.key for hint in gaps.missing] == ["spacer:rear:8"]
    assert [line.source for line in gaps.stale] == [SPACER.key]
    assert [(line.quantity, hint.quantity) for line, hint in gaps.other] == [
        (Decimal("0.75"), Decimal("1.5"))
    ]
    assert order.lines.count() == 2


def test_a_line_typed_by_hand_is_not_doubled(planned: list[LineHint]) -> None:
    order, writer = make_order(), make_user("writer")
    mine = make_line(order, description="wheel spacer, 5 MM", unit_price=Decimal(31))
    new = lines_fill(order=order, by=writer)
    assert [line.source for line in new] == [HOURS.key]
    mine.refresh_from_db()
    assert (mine.source, mine.unit_price) == (SPACER.key, Decimal(31))


def test_lines_speak_the_other_languages_of_the_shop(planned: Any, swap_plugs: Any) -> None:
    swap_plugs(LINE_HINTS, lambda order: [LineHint(f"In {get_language()}", 1, None, "one")])
    (line,) = lines_fill(order=make_order(), by=make_user("writer"))
    assert (line.description, line.text_in("de", "description")) == ("In en-gb", "In de")


def test_a_package_takes_the_place_of_what_it_is_for(planned: list[LineHint]) -> None:
    order, writer = make_order(), make_user("writer")
    part = make_part(name="Spacer pair", price=Decimal("64.00"))
    package = Package.objects.create(name="Rear spacers, both sides", planned="spacer")
    package.lines.create(kind="part", part=part, quantity=1)
    package.lines.create(description="Fit spacers", quantity=Decimal("0.8"), position=1)
    lines = lines_fill(order=order, by=writer)
    assert [(line.description, line.quantity, line.unit_price) for line in lines] == [
        ("Spacer pair", 1, Decimal("64.00")),
        ("Fit spacers", Decimal("0.80"), Decimal("92.50")),
        ("Set toe", Decimal("0.75"), Decimal("92.50")),
    ]
    planned.pop(0)
    assert len(gaps_of(order).stale) == 2


def test_a_package_chosen_by_hand_is_never_stale(planned: list[LineHint]) -> None:
    order, writer = make_order(), make_user("writer")
    planned.clear()
    package = Package.objects.create(name="Winter wheels on")
    package.lines.create(description="Swap wheels", quantity=Decimal("0.5"))
    package_add(order=order, package=package, by=writer)
    assert order.lines.get().axle == "any"
    assert not gaps_of(order)


def test_the_buttons_fill_and_keep_what_was_typed(planned: list[LineHint], client_of: Any) -> None:
    order = make_order()
    desk = client_of(make_user("writer"))
    data = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "labour",
        "lines-0-description": "Look at the brakes",
        "lines-0-axle": "any",
        "lines-0-quantity": "1,5 h",
        "lines-0-unit_price": "92,50 €",
        "lines-0-tax_rate": "19 %",
        "lines-0-discount": "10 %",
        "discount": "5,00 €",
        "fill": "yes",
    }
    url = reverse("order_lines", args=[order.pk])
    assert desk.post(url, data).status_code == 302
    typed, *filled = order.lines.all()
    assert (typed.quantity, typed.unit_price, typed.tax_rate) == (
        Decimal("1.5"),
        Decimal("92.50"),
        Decimal(19),
    )
    assert typed.amount == Decimal("124.87")
    assert [line.source for line in filled] == [SPACER.key, HOURS.key]
    order.refresh_from_db()
    assert order.discount.money == Decimal("5.00")
    page = desk.get(url).content.decode()
    assert 'data-test="mixed-tax"' in page
    assert 'data-test="gap-missing"' not in page
    order.lines.filter(source=SPACER.key).delete()
    card = desk.get(order.get_absolute_url()).content.decode()
    assert 'data-test="gap-missing"' in card
    desk.post(reverse("lines_from_plan", args=[order.pk]))
    assert order.lines.filter(source=SPACER.key).exists()


@pytest.mark.parametrize(
    ("field", "typed", "kept"),
    [
        ("lines-0-unit_price", "1.250", "in two ways"),
        ("lines-0-unit_price", "$ 92.50", "EUR"),
        ("lines-0-tax_rate", "19 €", "per cent"),
        ("lines-0-quantity", "2 %", "hours"),
        ("lines-0-discount", "10", "10 %"),
        ("lines-0-discount", "120 %", "100 %"),
        ("discount", "-5 EUR", "zero or more"),
    ],
)
def test_wrong_figures_are_refused_with_field_and_reason_and_kept(
    planned: list[LineHint], client_of: Any, field: str, typed: str, kept: str
) -> None:
    order = make_order()
    data = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "labour",
        "lines-0-description": "Look",
        "lines-0-axle": "any",
        field: typed,
    }
    answer = client_of(make_user("writer")).post(reverse("order_lines", args=[order.pk]), data)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert f'value="{typed}"' in page
    assert f'id="id_{field}_error"' in page
    assert kept in page
    assert not order.lines.exists()
