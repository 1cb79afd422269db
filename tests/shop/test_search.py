"""Every record is found however it is typed, the same on every database."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fitment.models import TyreModel, WheelModel
from shop.extensions.points import SEARCH_GROUPS
from shop.models import CarModel, Customer, Part, Vehicle, WorkOrder
from shop.models.searching import keys_renew
from tests.factories import make_car_model, make_customer, make_order, make_part, make_vehicle
from tests.fitment.factories import make_tyre, make_wheel
from tests.many_orders import many_orders

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture
def order() -> WorkOrder:
    customer = make_customer(
        name="Käthe Müller-Sørensen", phone="+43 (0)660 000-12 34", email="kaethe.m@post.example"
    )
    # Nothing here is numbered: a running number would be found like any other figure.
    one, another = (make_car_model(name=f"Of {name}") for name in ("Lindau", "Quer"))
    vehicle = make_vehicle(
        customer=customer,
        car_model=one,
        description="2016 grey coupé",
        plate="LG-TR 416",
        vin="ZZZDEM00300000002",
    )
    other = make_customer(name="Otto Fern", phone="+43 660 777 55 33")
    theirs = make_vehicle(plate="XX-YY 9", customer=other, description="van", car_model=another)
    make_order(vehicle=theirs, number="W0777")
    return make_order(
        vehicle=vehicle, number="W0013", request_text="Wants 245/40 ZR18 97Y on the rear"
    )


@pytest.fixture
def as_writer(writer: Any, client_of: Any) -> Any:
    return client_of(writer)


TYPED = [
    "LG-TR 416",
    "lg tr 416",
    "lgtr416",
    "TR416",
    "+43 660 0001234",
    "0043 660 000 12 34",
    "0660/0001234",
    "0660 00 01 23 4",
    "0001234",
    "Müller",
    "muller",
    "MUELLER",
    "sorensen kathe",
    "kaethe sør",
    "müller 416 coupe",
    "müller 0660 0001234",
    "ZZZDEM00300000002",
    "dem003",
    "kaethe.m@post.example",
    "post.example",
    "W0013",
    "w13",
    "W0013-2",
    "245/40 ZR18",
    "245/40R18",
    "245 40 18",
    "2454018",
]


@pytest.mark.parametrize("typed", TYPED)
def test_an_order_is_found_however_it_is_typed(order: WorkOrder, typed: str) -> None:
    assert list(WorkOrder.objects.search(typed)) == [order]


@pytest.mark.parametrize(
    "typed", ["LG-TR 417", "0660 0001235", "Müller Otto", "w14", "%", "_", "-"]
)
def test_what_no_record_holds_finds_nothing(order: WorkOrder, typed: str) -> None:
    assert not WorkOrder.objects.search(typed).exists()


def test_many_words_find_nothing_and_break_nothing(order: WorkOrder) -> None:
    assert not WorkOrder.objects.search(" ".join(f"a{n}z" for n in range(900))).exists()


def test_vehicles_and_customers_are_found_by_each_other(order: WorkOrder) -> None:
    assert list(Customer.objects.search("lgtr 416")) == [order.customer]
    assert list(Vehicle.objects.search("0660 0001234")) == [order.vehicle]
    assert list(Vehicle.objects.search(order.vehicle.car_model.name)) == [order.vehicle]


def test_an_order_is_found_by_what_is_mounted(order: WorkOrder) -> None:
    tyre = make_tyre(name="Ruler", size="265/35R19")
    wheel = make_wheel(name="Six", width_in=9.5, diameter_in=19, offset_mm=35)
    order.order_wheels.create(axle="rear", wheel=wheel, tyre=tyre)
    for typed in ("265/35 ZR19", "2653519", "9.5x19", "19x9,5 ET35", "9.5×19"):
        assert list(WorkOrder.objects.search(typed)) == [order], typed
    assert list(TyreModel.objects.search("265/35 R 19")) == [tyre]
    assert list(WheelModel.objects.search("9.5x19")) == [wheel]


def keys_hold() -> None:
    for model in (Customer, Vehicle, CarModel, Part, WorkOrder, WheelModel, TyreModel):
        for row in model._base_manager.all():
            assert row.search_key == row.made_key(), row
        assert keys_renew(model) == 0


def test_a_key_is_kept_whoever_writes(order: WorkOrder) -> None:
    customer = order.customer
    make_part(), make_tyre(), make_wheel()
    keys_hold()
    customer.name = "Ane Holt"
    customer.save(update_fields=["name"])
    assert list(WorkOrder.objects.search("holt")) == [order]
    Customer.objects.filter(pk=customer.pk).update(name="Bo Lind")
    assert list(WorkOrder.objects.search("lind")) == [order]
    customer.refresh_from_db()
    customer.name = "Cleo Marsh"
    Customer.objects.bulk_update([customer], ["name"])
    assert list(WorkOrder.objects.search("marsh")) == [order]
    Customer.objects.bulk_create([Customer(name="Dag Nyhus", phone="0660 77")])
    assert Customer.objects.search("nyhus 066077").count() == 1
    WheelModel.objects.update(width_in=7.5)
    keys_hold()
    customer.vehicles.update(customer=make_customer(name="Eli Ostby"))
    assert list(Vehicle.objects.search("ostby")) == [order.vehicle]


# The page


def test_a_number_or_a_plate_leads_straight_there(order: WorkOrder, as_writer: Any) -> None:
    for typed in ("W0013", "w13", "13", "W0013-1"):
        answer = as_writer.get(reverse("search"), {"q": typed})
        assert (answer.status_code, answer.url) == (302, order.get_absolute_url()), typed
    for typed in ("LG-TR 416", "lg tr416"):
        answer = as_writer.get(reverse("search"), {"q": typed})
        assert (answer.status_code, answer.url) == (302, order.vehicle.get_absolute_url()), typed
    shown = as_writer.get(reverse("search"), {"q": "13", "all": "1"})
    assert shown.status_code == 200
    assert {found.group.name for found in shown.context["groups"]} >= {"orders"}


def test_a_plate_that_two_vehicles_carry_leads_to_both(order: WorkOrder, as_writer: Any) -> None:
    make_vehicle(plate="LGTR 416")
    shown = as_writer.get(reverse("search"), {"q": "lg-tr 416"})
    counts = {found.group.name: found.count for found in shown.context["groups"]}
    assert counts["vehicles"] == 2


def test_groups_say_how_many_they_hold_and_page(as_writer: Any) -> None:
    customer = make_customer(name="Ruth Ahl")
    for _ in range(30):
        make_order(vehicle=make_vehicle(customer=customer))
    shown = as_writer.get(reverse("search"), {"q": "ruth ahl"})
    orders = shown.context["groups"][0]
    assert (orders.group.name, orders.count, orders.more) == ("orders", 30, 24)
    assert "in=orders" in shown.content.decode()
    second = as_writer.get(reverse("search"), {"q": "ruth ahl", "in": "orders", "page": 2})
    assert len(second.context["rows"]) == 5


def test_what_is_too_long_is_refused_and_kept(as_writer: Any) -> None:
    answer = as_writer.get(reverse("search"), {"q": "a" * 101})
    assert answer.status_code == 422
    assert "a" * 101 in answer.content.decode()


def test_the_field_stands_in_the_head_of_staff_pages_alone(as_writer: Any, client: Any) -> None:
    assert 'id="find"' in as_writer.get(reverse("order_list")).content.decode()
    assert 'id="find"' not in client.get(reverse("login")).content.decode()


def test_the_page_asks_no_more_for_more_rows(order: WorkOrder, as_writer: Any) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            as_writer.get(reverse("search"), {"q": "e", "all": "1"})
        return len(queries)

    for _ in range(8):
        make_order(), make_part(), make_tyre(), make_wheel(), make_car_model()
    asked()
    few = asked()
    for _ in range(20):
        make_order()
    assert asked() <= few <= 4 + 2 * len(list(SEARCH_GROUPS)) + 2


@pytest.mark.postgres
def test_the_trigram_indexes_serve_each_way_to_an_order(order: WorkOrder) -> None:
    """Where they may, the planner takes them: a scan of the table is priced out of reach."""
    many_orders(1500)
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL enable_seqscan = off")
        plan = WorkOrder.objects.search("lgtr416").order_by().explain()
    used = set(re.findall(r"on (shop_\w+_found|fitment_\w+_found)", plan))
    assert used >= {"shop_workorder_found", "shop_customer_found", "shop_vehicle_found"}
