"""Customers and vehicles that are on record twice: found, pointed out and merged."""

from __future__ import annotations

import pytest
from django.urls import reverse

from alignment.models import RackVisit
from shop.models import Customer, LogEntry, Vehicle, WorkOrder
from shop.people.services.known import car_model_like, known_customers, vehicles_by_plate
from shop.people.services.merging import customers_merge, vehicles_merge
from shop.site.refusals import Refused
from tests.alignment.factories import make_visit
from tests.factories import make_car_model, make_customer, make_order, make_vehicle

pytestmark = [pytest.mark.django_db]


def test_a_customer_is_found_by_number_name_and_plate_however_typed():
    one = make_customer(name="Berg, Alva", phone="+49 (0)171 555-8841")
    vehicle = make_vehicle(customer=one, plate="LG-TR 416")
    make_vehicle(
        customer=make_customer(name="Alvar Dahl", phone="0171 555 0000"), plate="LG-TR 417"
    )
    for typed in (
        {"phone": "0171/5558841"},
        {"phone": "5558841"},
        {"name": "alva berg"},
        {"name": "ber al"},
        {"plate": "lgtr416"},
    ):
        assert [known.customer for known in known_customers(**typed)] == [one], typed
    assert vehicles_by_plate("lg tr416") == [vehicle]
    assert known_customers(name="Alv Bergen", phone="123", plate="x") == []


def test_the_likeliest_stands_first():
    by_name = make_customer(name="Alva Berg", phone="040 111 22 33")
    by_phone = make_customer(name="Zoe Quist", phone="0171 5558841")
    found = known_customers(name="Alva Berg", phone="01715558841")
    assert [one.customer for one in found] == [by_phone, by_name]


def test_a_car_model_is_suggested_from_earlier_cars_of_the_same_words():
    coupe, estate = make_car_model(name="Coupe A"), make_car_model(name="Estate B")
    for year in (2018, 2020):
        make_vehicle(description=f"{year} Nordal Vela coupe", car_model=coupe)
    make_vehicle(description="2019 Nordal Brisa estate", car_model=estate)
    assert car_model_like("Nordal Vela 2021") == (coupe, 2)
    assert car_model_like("brisa nordal") == (estate, 1)
    assert car_model_like("Nordal") is None
    assert car_model_like("2019 Otter pickup") is None
    assert car_model_like("") is None


def test_merging_moves_everything_and_keeps_what_only_one_knew(manager, client_of):
    kept = make_customer(name="Alva Berg", phone="0171 5558841", email="", notes="Pays cash")
    gone = make_customer(
        name="A. Berg", phone="+49 171 5558841", email="alva@example.test", notes="Rings late"
    )
    vehicle = make_vehicle(customer=gone)
    order = make_order(vehicle=vehicle, customer=gone)
    LogEntry.objects.create(order=order, who="Wanda", what="Opened")
    customers_merge(gone=gone, kept=kept, by=manager)
    for row in (kept, gone, vehicle, order):
        row.refresh_from_db()
    assert (vehicle.customer, order.customer) == (kept, kept)
    assert kept.email == "alva@example.test"
    assert kept.notes.splitlines() == ["Pays cash", "A. Berg", "Rings late"]
    assert (gone.merged_into, gone.merged_by) == (kept, manager)
    assert order.log.filter(by=manager, detail__contains="A. Berg").exists()
    assert order.log.filter(what="Opened").exists()
    assert not Customer.objects.search("A. Berg").filter(pk=gone.pk).exists()
    for name in ("customer", "customer_edit"):
        page = client_of(manager).get(reverse(name, args=[gone.pk]))
        assert page.url == kept.get_absolute_url()
    assert "A. Berg" in client_of(manager).get(kept.get_absolute_url()).content.decode()


def test_a_chain_of_merges_leads_to_the_last(manager, client_of):
    one, two, three = (make_customer(name=f"Berg {n}") for n in "abc")
    customers_merge(gone=one, kept=two, by=manager)
    customers_merge(gone=two, kept=three, by=manager)
    one.refresh_from_db()
    assert one.merged_into == three
    page = client_of(manager).get(one.get_absolute_url())
    assert page.url == three.get_absolute_url()
    with pytest.raises(Refused):
        customers_merge(gone=one, kept=three, by=manager)
    with pytest.raises(Refused):
        customers_merge(gone=three, kept=three, by=manager)


def test_vehicles_merge_with_orders_and_rack_visits(writer, client_of):
    owner = make_customer()
    kept = make_vehicle(
        customer=owner, plate="LG-TR 416", vin="", mileage_km=40_000, car_model=None
    )
    gone = make_vehicle(
        customer=owner,
        plate="LGTR416",
        vin="ABCDE12345",
        mileage_km=52_000,
        car_model=make_car_model(),
    )
    order = make_order(vehicle=gone, customer=owner)
    visit = make_visit(order=order)
    assert visit.vehicle_id == gone.pk
    page = client_of(writer).get(reverse("vehicle_merge", args=[gone.pk]))
    assert page.context["form"].fields["kept"].queryset.get() == kept
    sent = client_of(writer).post(reverse("vehicle_merge", args=[gone.pk]), {"kept": kept.pk})
    assert sent.status_code == 302, sent.context["form"].errors
    assert sent.url == kept.get_absolute_url()
    kept.refresh_from_db()
    assert (kept.vin, kept.mileage_km, kept.car_model) == ("ABCDE12345", 52_000, gone.car_model)
    assert WorkOrder.objects.get(pk=order.pk).vehicle == kept
    assert RackVisit.objects.get(pk=visit.pk).vehicle == kept
    assert client_of(writer).get(gone.get_absolute_url()).url == kept.get_absolute_url()
    assert Vehicle.objects.search("LG").count() == 1


@pytest.mark.parametrize("other", ["vin", "car_model", "customer"])
def test_vehicles_that_cannot_be_one_are_refused_with_the_reason(writer, other):
    owner = make_customer()
    values = {"customer": owner, "plate": "LG 1", "vin": "AAA", "car_model": make_car_model()}
    kept = make_vehicle(**values)
    different = {"vin": "BBB", "car_model": make_car_model(), "customer": make_customer()}
    gone = make_vehicle(**(values | {other: different[other]}))
    with pytest.raises(Refused):
        vehicles_merge(gone=gone, kept=kept, by=writer)
    gone.refresh_from_db()
    assert gone.merged_into is None
