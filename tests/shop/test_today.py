"""Today: what waits for whom, in a fixed number of questions to the database."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from shop.extensions.points import CUSTOMER_NOTES, DECISIONS_DUE, FIRST_STEPS, PARTS_NOTES
from shop.models import News, NewsKind, ShopSettings, WorkOrder
from shop.money.services import quote_authorise
from shop.orders.services.changes import comeback_open
from shop.orders.services.next_words import next_words
from tests.factories import (
    as_read,
    make_bay,
    make_booking,
    make_line,
    make_news,
    make_order,
    make_part,
    make_quote,
    make_shop,
    make_user,
    make_vehicle,
)

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def shown(browser: Any) -> dict[str, Any]:
    answer = browser.get(reverse("home"))
    assert answer.status_code == 200
    return {one.name: one for one in answer.context["lists"]}


def numbers(one: Any) -> list[str]:
    return [row.order.number for row in one.rows]


def today_at(hour: int) -> dt.datetime:
    return timezone.make_aware(dt.datetime.combine(timezone.localdate(), dt.time(hour)))


@pytest.fixture
def filled(technician: Any) -> dict[str, WorkOrder]:
    """An order for each list, and two that stand in none."""
    made = {
        "lift": make_order(state="on_lift"),
        "today": make_order(state="booked"),
        "tomorrow": make_order(state="booked"),
        "enquiry": make_order(),
        "parts": make_order(state="approved", waiting_for="parts", parts_ordered_at=timezone.now()),
        "quoted": make_order(state="quoted"),
        "closed": make_order(state="handed_over"),
    }
    make_booking(made["today"], starts_at=today_at(9), technician=technician)
    make_booking(made["tomorrow"])
    part = make_part(name="Lower arm", lead="four days")
    make_line(made["parts"], kind="part", part=part, description="Lower arm")
    make_line(made["quoted"])
    make_quote(made["quoted"])
    return made


@pytest.mark.parametrize(
    ("role", "expected"),
    [
        ("writer", ["us", "bays", "parts", "customer"]),
        ("technician", ["bays", "us", "parts"]),
        ("manager", ["bays", "us", "parts", "customer"]),
    ],
)
def test_each_role_has_its_lists(
    role: str, expected: list[str], filled: dict[str, WorkOrder], request: Any, client_of: Any
) -> None:
    lists = shown(client_of(request.getfixturevalue(role)))
    assert list(lists) == expected
    assert set(numbers(lists["bays"])) == {filled["lift"].number, filled["today"].number}
    assert numbers(lists["us"]) == [filled["enquiry"].number]
    assert numbers(lists["parts"]) == [filled["parts"].number]
    if "customer" in lists:
        assert numbers(lists["customer"]) == [filled["quoted"].number]


def test_rows_say_what_is_awaited(
    filled: dict[str, WorkOrder], writer: Any, client_of: Any
) -> None:
    vehicle = filled["enquiry"].vehicle
    vehicle.plate = "LG-TR 416"
    vehicle.save()
    vehicle.customer.phone = "+43 660 1234"
    vehicle.customer.save()
    WorkOrder.objects.filter(pk=filled["enquiry"].pk).update(
        state_since=timezone.now() - dt.timedelta(days=3)
    )
    lists = shown(client_of(writer))
    row = lists["us"].rows[0]
    assert (row.age, row.plate, row.phone) == ("3 days", "LG-TR 416", "+43 660 1234")
    assert row.next_words == next_words(row.order)
    page = client_of(writer).get(reverse("home")).content.decode()
    assert 'href="tel:+436601234"' in page
    assert any("Lower arm (four days)" in note for note in lists["parts"].rows[0].notes)
    assert lists["customer"].rows[0].notes
    assert lists["bays"].rows


def test_plugs_add_to_the_rows(filled: dict[str, WorkOrder], writer: Any, client_of: Any) -> None:
    with (
        PARTS_NOTES.swapped(lambda orders: {one.pk: ["expected Friday"] for one in orders}),
        CUSTOMER_NOTES.swapped(lambda orders: {one.pk: ["opened at nine"] for one in orders}),
    ):
        lists = shown(client_of(writer))
    assert "expected Friday" in lists["parts"].rows[0].notes
    assert "opened at nine" in lists["customer"].rows[0].notes


def test_mine_come_first(technician: Any, client_of: Any) -> None:
    other, mine = make_order(state="booked"), make_order(state="booked")
    make_booking(other, starts_at=today_at(8))
    make_booking(mine, starts_at=today_at(14), technician=technician)
    assert numbers(shown(client_of(technician))["bays"]) == [mine.number, other.number]


def test_an_appointment_gone_by_waits_for_us(writer: Any, client_of: Any) -> None:
    order = make_order(state="booked")
    make_booking(order, starts_at=timezone.now() - dt.timedelta(days=2))
    assert numbers(shown(client_of(writer))["us"]) == [order.number]


def test_a_manager_sees_what_to_decide(manager: Any, writer: Any, client_of: Any) -> None:
    order, other = make_order(state="approved"), make_order()
    with DECISIONS_DUE.swapped(lambda orders: orders.filter(pk=order.pk)):
        assert numbers(shown(client_of(manager))["decide"]) == [order.number]
        assert "decide" not in shown(client_of(writer))
    with DECISIONS_DUE.swapped(lambda orders: orders):
        # The one without lines has an act before any decision.
        assert numbers(shown(client_of(manager))["decide"]) == [order.number]
        make_line(other)
        assert len(shown(client_of(manager))["decide"].rows) == 2


def test_a_long_list_is_folded_and_paged(writer: Any, client_of: Any) -> None:
    for _ in range(40):
        make_order()
    browser = client_of(writer)
    us = shown(browser)["us"]
    assert (us.count, len(us.rows), us.more) == (40, 6, 34)
    address = reverse("today_list", args=["us"])
    assert address in browser.get(reverse("home")).content.decode()
    assert len(browser.get(address).context["rows"]) == 25
    assert len(browser.get(address, {"page": 2}).context["rows"]) == 15
    assert browser.get(reverse("today_list", args=["decide"])).status_code == 404


@pytest.mark.parametrize("role", ["writer", "technician", "manager"])
def test_more_orders_ask_no_more_questions(
    role: str, filled: dict[str, WorkOrder], request: Any, client_of: Any
) -> None:
    browser = client_of(request.getfixturevalue(role))
    make_shop()

    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            shown(browser)
        return len(queries)

    for _ in range(7):
        make_order(), make_order(state="quoted"), make_news()
        make_order(state="on_lift"), make_order(state="approved", waiting_for="parts")
    asked()
    few = asked()
    for _ in range(7):
        make_order(), make_order(state="quoted"), make_news()
        make_order(state="on_lift"), make_order(state="approved", waiting_for="parts")
    assert asked() <= few <= 30


# News


def test_a_signature_leaves_a_mark_until_each_has_looked(
    writer: Any, manager: Any, technician: Any, client_of: Any
) -> None:
    make_shop()
    order = make_order(state="quoted", kind="alignment", moves_wheel_or_height=False)
    make_line(order)
    quote = make_quote(order)
    quote_authorise(
        quote=quote, name="Ilka B", via="link", by=None, signed_warning=False, **as_read(quote)
    )

    def news(person: Any) -> list[Any]:
        return list(client_of(person).get(reverse("home")).context["news"])

    assert [one.kind for one in news(writer)] == [NewsKind.SIGNED]
    assert news(technician) == []
    answer = client_of(writer).post(reverse("news_open", args=[news(writer)[0].pk]))
    assert answer.url == order.get_absolute_url()
    assert news(writer) == []
    assert len(news(manager)) == 1
    client_of(manager).get(order.get_absolute_url())
    assert news(manager) == []


def test_all_news_is_seen_at_once_and_by_oneself_alone(
    writer: Any, manager: Any, client_of: Any
) -> None:
    for _ in range(8):
        make_news()
    page = client_of(writer).get(reverse("home"))
    assert (page.context["news_count"], len(page.context["news"])) == (8, 6)
    assert len(client_of(writer).get(reverse("today_list", args=["news"])).context["news"]) == 8
    client_of(writer).post(reverse("news_all_seen"))
    assert News.objects.unseen_by(writer).count() == 0
    assert News.objects.unseen_by(manager).count() == 8


def test_who_opens_a_comeback_has_seen_it(writer: Any, technician: Any) -> None:
    first = make_order(state="handed_over")
    comeback_open(first_order=first, by=writer, values={"description": "rubs", "happens": "lock"})
    assert News.objects.unseen_by(writer).count() == 0
    assert News.objects.unseen_by(technician).get().kind == NewsKind.COMEBACK


def test_a_newcomer_is_not_told_of_old_news() -> None:
    make_news(at=timezone.now() - dt.timedelta(days=30))
    assert News.objects.unseen_by(make_user("writer")).count() == 0


# First steps


def steps(browser: Any) -> dict[str, bool]:
    states = browser.get(reverse("home")).context["steps"]
    return {state.step.address: state.done for state in states}


def test_first_steps_tick_themselves_off(manager: Any, client_of: Any) -> None:
    browser = client_of(manager)
    assert not any(steps(browser).values())
    assert len(steps(browser)) == len(list(FIRST_STEPS)) == 6
    make_shop()
    assert steps(browser)["shop_settings"]
    make_bay(), make_user("technician")
    assert steps(browser)["bay_list"]
    assert steps(browser)["staff"]
    make_vehicle()
    assert steps(browser)["car_model_new"]
    make_order()
    assert [name for name, done in steps(browser).items() if not done] == ["car_model_list"]
    from tests.fitment.factories import make_survey

    make_survey(WorkOrder.objects.get().vehicle.car_model)
    assert steps(browser) == {}


def test_a_manager_hides_the_first_steps_for_all(manager: Any, writer: Any, client_of: Any) -> None:
    assert steps(client_of(writer))
    assert client_of(writer).post(reverse("first_steps_hide")).status_code == 403
    client_of(manager).post(reverse("first_steps_hide"))
    assert steps(client_of(writer)) == {}
    assert ShopSettings.load().first_steps_hidden


def test_a_quote_that_waits_says_whether_its_link_was_opened(client: Client) -> None:
    make_shop()
    order = make_order(state="quoted")
    make_line(order)
    quote = make_quote(order)
    client.force_login(make_user("writer"))
    said = client.get(reverse("home")).content.decode()
    assert "link not opened yet" in said
    Client().get(reverse("customer_order", args=[order.token]))
    quote.refresh_from_db()
    assert quote.seen_at is not None
    said = client.get(reverse("home")).content.decode()
    assert "link opened" in said
    assert "not opened yet" not in said
