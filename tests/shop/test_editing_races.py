"""Several people at the same moment, each in a thread: nothing lost, and nothing made twice."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from shop.models import Counter, Customer, Part, ShopSettings, Vehicle, WorkOrder
from shop.orders.services.changes import order_create
from shop.site.sending import new_key
from tests.factories import make_customer, make_part, make_shop, make_user, make_vehicle
from tests.page_forms import forms_of

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def threads() -> None:
    """SQLite's database in memory, which tests get, has one lock for all tables and no waiting."""
    if connection.vendor == "sqlite" and connection.is_in_memory_db():  # type: ignore[attr-defined]
        pytest.skip("threads need PostgreSQL, or SQLite in a file (TEST NAME)")


def at_once(acts: Sequence[Callable[[], Any]]) -> list[Any]:
    """What each act answered; all start together."""
    start = threading.Barrier(len(acts))
    answers: list[Any] = [None] * len(acts)

    def run(place: int) -> None:
        try:
            start.wait(timeout=20)
            answers[place] = acts[place]()
        except Exception as error:  # the test looks at it
            answers[place] = error
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(place,)) for place in range(len(acts))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return answers


def statuses(answers: Sequence[Any]) -> list[Any]:
    return sorted(getattr(answer, "status_code", answer) for answer in answers)


def test_each_of_four_people_changes_another_field_at_once(
    threads: None, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    customer = make_customer(name="Nadir Quell", phone="1", email="a@example.org")
    url = reverse("customer_edit", args=[customer.pk])
    new = {
        "name": "Nadir Quell-Ott",
        "phone": "0700 22",
        "email": "ott@example.org",
        "address": "Mill lane 3",
    }
    browsers = [client_of(manager) for _ in new]
    forms = [forms_of(browser.get(url), url)[0] for browser in browsers]
    acts = [
        lambda browser=browser, form=form, name=name, text=text: browser.post(
            url, form.data(**{name: [text]})
        )
        for browser, form, (name, text) in zip(browsers, forms, new.items(), strict=True)
    ]
    assert statuses(at_once(acts)) == [302] * 4
    now = Customer.objects.get()
    assert {name: getattr(now, name) for name in new} == new


def test_one_of_four_wins_a_field_and_the_others_are_asked(
    threads: None, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    part = make_part(price="10.00")
    url = reverse("part_edit", args=[part.pk])
    browsers = [client_of(manager) for _ in range(4)]
    forms = [forms_of(browser.get(url), url)[0] for browser in browsers]
    acts = [
        lambda browser=browser, form=form, price=f"{20 + i}.00": browser.post(
            url, form.data(price=[price])
        )
        for i, (browser, form) in enumerate(zip(browsers, forms, strict=True))
    ]
    answers = at_once(acts)
    assert statuses(answers) == [200, 200, 200, 302]
    won = [answer.status_code for answer in answers].index(302)
    assert str(Part.objects.get().price) == f"{20 + won}.00"


def test_one_form_sent_four_times_at_once_makes_one(
    threads: None, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    make_shop()
    vehicle = make_vehicle()
    url = f"{reverse('order_new')}?vehicle={vehicle.pk}"
    data = {"kind": "install", "request_text": "Wider", "use": "street", "sent_key": new_key()}
    browsers = [client_of(manager) for _ in range(4)]
    answers = at_once([lambda browser=browser: browser.post(url, data) for browser in browsers])
    assert statuses(answers) == [302] * 4
    order = WorkOrder.objects.get()
    assert {answer.url for answer in answers} == {order.get_absolute_url()}


def test_the_settings_are_saved_while_orders_are_opened(
    threads: None, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    make_shop()
    vehicle, writer = make_vehicle(), make_user("writer")
    url = reverse("shop_settings")
    browser = client_of(manager)

    def open_some() -> int:
        return len(
            [order_create(by=writer, customer=vehicle.customer, vehicle=vehicle) for _ in range(5)]
        )

    def save_settings() -> int:
        form = forms_of(browser.get(url), url)[0]
        return browser.post(url, form.data(phone=["0700 0"])).status_code

    assert at_once([open_some, open_some, save_settings]) == [5, 5, 302]
    numbers = sorted(WorkOrder.objects.values_list("number", flat=True))
    assert numbers == [f"W{number:04d}" for number in range(1, 11)]
    assert Counter.objects.get(name=Counter.ORDERS).last == 10
    assert ShopSettings.load().phone == "0700 0"


def test_a_mileage_read_before_another_order_does_not_take_it_back(manager: Any) -> None:
    vehicle = make_vehicle(mileage_km=80_000)
    late = Vehicle.objects.get(pk=vehicle.pk)
    for car, mileage in ((vehicle, 91_000), (late, 90_000)):
        order_create(by=manager, customer=car.customer, vehicle=car, mileage_km=mileage)
    assert Vehicle.objects.get().mileage_km == 91_000


def test_a_settings_page_that_was_opened_before_an_order_does_not_take_its_number_back(
    manager: Any, client_of: Callable[[Any], Client]
) -> None:
    make_shop()
    vehicle, browser = make_vehicle(), client_of(manager)
    url = reverse("shop_settings")
    form = forms_of(browser.get(url), url)[0]

    def open_one() -> str:
        made = order_create(by=manager, customer=vehicle.customer, vehicle=vehicle)
        return made.number

    assert open_one() == "W0001"
    assert browser.post(url, form.data(phone=["0700 1"])).status_code == 302
    assert open_one() == "W0002"
