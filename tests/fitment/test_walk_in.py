"""The page for a walk-in: one form from a new customer to the clearance check."""

from __future__ import annotations

import html
from typing import Any

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from fitment.models import ClearanceCheck, OrderWheels, TyreModel, WheelModel
from fitment.mounting.services.wheels import order_wheels_choose
from fitment.walk_in.services import measured_besides
from shop.models import CarModel, Customer, Vehicle, WorkOrder
from shop.models.texts import own_language
from shop.site.sending import new_key
from tests.factories import make_car_model, make_customer, make_order, make_vehicle
from tests.fitment.factories import make_surveyed_car_model, make_tyre, make_wheel

pytestmark = [pytest.mark.django_db]
URL = "/walk-in/"


def filled(**values):
    data = {
        "name": "Alva Berg",
        "phone": "0171 555 8841",
        "email": "Alva <alva@example.test>",
        "language": own_language(),
        "plate": "LG-TR 416",
        "description": "2020 Nordal Vela coupe",
        "market": "other",
        "request_text": "Wider wheels",
        "use": ["street", "track"],
        "front_wheel": "9x18 ET40",
        "front_tyre": "235/40 ZR18 (95Y) XL",
        "front_camber": "-2,4",
        "front_camber_by": "top_mount",
        "front_toe": "0",
        "rear_toe": "0",
    }
    return data | values


@pytest.fixture
def page(writer, client_of):
    return client_of(writer)


def errors(answer):
    assert answer.status_code == 200
    return dict(answer.context["form"].errors)


def test_one_form_makes_customer_car_and_order_and_answers_with_the_check(page):
    car_model = make_surveyed_car_model()
    answer = page.post(URL, filled(car_model=car_model.pk))
    order = WorkOrder.objects.get()
    assert answer.url == reverse("clearance", args=[order.pk])
    assert (order.customer.name, order.customer.email) == ("Alva Berg", "alva@example.test")
    assert (order.vehicle.plate, order.vehicle.car_model) == ("LG-TR 416", car_model)
    assert order.use_text == "street+track"
    check = ClearanceCheck.objects.get()
    assert check.inputs["duty"]["name"] == "street+track"
    assert [one.message for one in get_messages(answer.wsgi_request)]
    places = check.answer["corners"]["LF"]["places"]
    open_spots = [spot["place"] for spot in places if spot["verdict"] == "unmeasured"]
    assert open_spots == ["brake caliper"]
    shown = page.get(answer.url).content.decode()
    assert "arch lip" in measured_besides(check)
    assert measured_besides(check) in html.unescape(shown)


def test_what_was_typed_stands_on_the_order_alone_and_is_never_called_measured(page):
    page.post(URL, filled(car_model=make_surveyed_car_model().pk, rear_as_front="on"))
    rows = list(OrderWheels.objects.select_related("wheel", "tyre"))
    assert [row.axle for row in rows] == ["front", "rear"]
    assert len({row.wheel_id for row in rows}) == len({row.tyre_id for row in rows}) == 1
    wheel, tyre = rows[0].wheel, rows[0].tyre
    assert (wheel.width_in, wheel.diameter_in, wheel.offset_mm) == (9, 18, 40)
    assert (tyre.size, tyre.load_index, tyre.speed_symbol) == ("235/40R18", "95", "Y")
    assert not tyre.measured
    assert not wheel.pooled
    assert not WheelModel.objects.exists()
    assert not TyreModel.objects.exists()
    for name in ("wheel_list", "tyre_list", "tryout"):
        assert "235/40R18" not in page.get(reverse(name)).content.decode()
    order = WorkOrder.objects.get()
    fields = page.get(reverse("order_wheels", args=[order.pk])).context["form"].fields
    assert wheel in fields["front_wheel"].queryset
    page.post(URL, filled(name="Zoe Quist", phone="", plate="", car_model="unknown"))
    other = WorkOrder.objects.exclude(pk=order.pk).get()
    fields = page.get(reverse("order_wheels", args=[other.pk])).context["form"].fields
    assert wheel not in fields["front_wheel"].queryset
    for name, row in (("wheel_edit", wheel), ("tyre_edit", tyre)):
        assert page.get(reverse(name, args=[row.pk])).status_code == 200


def test_a_name_of_the_catalogue_takes_its_row(page):
    wheel, tyre = make_wheel(name="Spokes"), make_tyre(name="Grip")
    sent = filled(
        car_model=make_surveyed_car_model().pk,
        front_wheel=f"  {str(wheel).upper()} ",
        front_tyre=str(tyre),
    )
    assert page.post(URL, sent).status_code == 302
    row = OrderWheels.objects.get()
    assert (row.wheel, row.tyre) == (wheel, tyre)
    assert not WheelModel.every.exclude(typed_for=None).exists()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("phone", "call me"),
        ("email", "nobody"),
        ("description", ""),
        ("use", []),
        ("mileage_km", "-3"),
        ("front_wheel", "9x18"),
        ("front_tyre", "31x10.50R15LT"),
        ("front_tyre", "245/40R19"),
        ("front_camber", "steep"),
        ("front_camber_by", ""),
        ("front_spacer_mm", "-5"),
        ("rear_wheel", "8x17 ET300"),
        ("vin", "WVWZZZ1KZ6W00O123"),
        ("vin", "SHORT"),
    ],
)
def test_bad_input_names_its_field_and_loses_nothing(page, field, value):
    sent = filled(
        car_model="unknown", **({"rear_tyre": "225/45R17"} if field == "rear_wheel" else {})
    )
    answer = page.post(URL, sent | {field: value})
    assert list(errors(answer)) == [field]
    form = answer.context["form"]
    for name, typed in sent.items():
        if name != field:
            shown = form[name].value()
            assert shown == typed or str(shown) == str(typed), name
    assert not Customer.objects.exists()


def test_an_odd_vin_is_taken_when_the_car_reads_so(page):
    answer = page.post(URL, filled(car_model="unknown", vin="SHORT", vin_as_is="on"))
    assert answer.status_code == 302
    assert Vehicle.objects.get().vin == "SHORT"


def test_the_check_digit_is_asked_for_where_the_market_has_one(page):
    sent = filled(car_model="unknown", vin="1M8GDM9A1KP042788")
    assert list(errors(page.post(URL, sent | {"market": "NA"}))) == ["vin"]
    assert page.post(URL, sent).status_code == 302


@pytest.mark.parametrize(
    "typed",
    [
        {"phone": "+49 171 5558841", "plate": "X 1"},
        {"name": "berg alva", "phone": "", "plate": ""},
        {"name": "Other Name", "phone": "", "plate": "lgtr416"},
    ],
)
def test_whoever_may_be_meant_is_pointed_out_before_saving(page, typed):
    known = make_customer(name="Alva Berg", phone="0171/5558841")
    vehicle = make_vehicle(customer=known, plate="LG-TR 416", car_model=make_surveyed_car_model())
    sent = filled(**typed)
    answer = page.post(URL, sent)
    assert "known" in errors(answer)
    offered = [value for value, _ in answer.context["form"].fields["known"].choices]
    assert offered == [f"v{vehicle.pk}", f"c{known.pk}", "new"]
    assert Customer.objects.count() == 1
    assert page.post(URL, sent | {"known": f"v{vehicle.pk}"}).status_code == 302
    order = WorkOrder.objects.get()
    assert (order.customer, order.vehicle) == (known, vehicle)
    assert (Customer.objects.count(), Vehicle.objects.count()) == (1, 1)


def test_a_known_customer_may_bring_another_car_and_a_namesake_is_new(page):
    known = make_customer(name="Alva Berg", phone="0171/5558841")
    sent = filled(car_model="unknown", plate="NEW 1")
    assert page.post(URL, sent | {"known": f"c{known.pk}"}).status_code == 302
    assert Vehicle.objects.get().customer == known
    assert page.post(URL, sent | {"known": "new", "plate": "NEW 2"}).status_code == 302
    assert Customer.objects.count() == 2


def test_the_same_form_sent_twice_makes_one_and_a_changed_one_asks(page):
    sent = filled(car_model="unknown", sent_key=new_key())
    first, again = page.post(URL, sent), page.post(URL, sent)
    assert first.url == again.url
    assert (Customer.objects.count(), WorkOrder.objects.count()) == (1, 1)
    changed = page.post(URL, sent | {"request_text": "Wider, and lower"})
    assert "known" in errors(changed)
    assert Customer.objects.count() == 1


def test_the_car_model_of_earlier_cars_is_proposed_and_taken_with_the_next_save(page):
    car_model = make_surveyed_car_model()
    make_vehicle(description="2018 Nordal Vela", car_model=car_model, plate="E 1")
    make_vehicle(description="2019 Otter pickup", car_model=make_car_model(), plate="E 2")
    answer = page.post(URL, filled())
    assert list(errors(answer)) == ["car_model"]
    assert answer.context["form"]["car_model"].value() == str(car_model.pk)
    page.post(URL, filled(car_model=car_model.pk))
    assert WorkOrder.objects.get().vehicle.car_model == car_model


def test_an_unmeasured_car_leads_to_a_survey_visit_with_the_same_data(page):
    answer = page.post(URL, filled(car_model="unknown"))
    order = WorkOrder.objects.get()
    shown = page.get(answer.url)
    assert shown.context["gate"].result == "unmeasured"
    visit = shown.context["primary"]["url"]
    assert f"vehicle={order.vehicle_id}" in visit
    assert f"first_order={order.pk}" in visit
    assert page.get(visit).status_code == 200


def test_without_wheels_it_opens_an_order_alone(page):
    empty = dict.fromkeys(("front_wheel", "front_tyre", "front_camber", "front_camber_by"), "")
    answer = page.post(URL, filled(car_model="unknown", **empty))
    assert answer.url == WorkOrder.objects.get().get_absolute_url()


def test_a_detour_comes_back_with_what_was_typed(page):
    sent = filled(sent_key=new_key(), rear_as_front="on")
    away = page.post(URL, sent | {"detour": "car_model"})
    assert away.url.startswith(reverse("car_model_new"))
    assert page.get(away.url).status_code == 200
    back = page.post(away.url, {"name": "Vela coupe"})
    shown = page.get(back.url)
    form = shown.context["form"]
    assert form["car_model"].value() == str(CarModel.objects.get().pk)
    for name in ("name", "phone", "plate", "front_wheel", "front_tyre", "use", "rear_as_front"):
        assert form[name].value() == (True if name == "rear_as_front" else sent[name]), name
    assert "Alva Berg" in shown.content.decode()
    assert not Customer.objects.exists()


@pytest.mark.parametrize(
    "bad",
    [
        "https://elsewhere.test/",
        "//elsewhere.test/",
        "/\\elsewhere.test",
        "javascript:1",
        "/no-page",
    ],
)
def test_a_detour_leads_to_no_other_site(page, bad):
    answer = page.post(reverse("car_model_new") + "?" + f"next={bad}", {"name": "Vela"})
    assert answer.url.startswith("/car-models/")


def test_who_is_on_record_is_said_while_typing(page):
    known = make_customer(name="Alva Berg", phone="0171/5558841")
    url = reverse("walk_in_known")
    said = page.get(url, {"phone": "01715558841"}).content.decode()
    assert f'value="c{known.pk}"' in said
    assert "radio" not in page.get(url, {"phone": "030 1"}).content.decode()


def test_the_wheels_of_an_order_survive_a_detour_to_the_catalogue(page):
    page.post(URL, filled(car_model="unknown"))
    order = WorkOrder.objects.get()
    url = reverse("order_wheels", args=[order.pk])
    typed = {"front_spacer_mm": "7", "front_worn_mm": "2", "rear_wheel": str(make_wheel().pk)}
    away = page.post(url, typed | {"detour": "tyre", "sent_key": new_key()})
    sent = {"name": "Grip", "size": "225/45R17", "shoulder": ""}
    back = page.post(away.url, sent)
    assert back.status_code == 302, back.context["form"].errors
    form = page.get(back.url).context["form"]
    tyre = TyreModel.objects.get()
    assert [form[name].value() for name in typed] == list(typed.values())
    assert form["front_tyre"].value() == str(tyre.pk)


def test_a_new_vehicle_survives_the_detour_to_a_new_car_model(page):
    url = f"{reverse('vehicle_new')}?customer={make_customer().pk}&for=order"
    away = page.post(url, {"description": "2020 Otter", "plate": "X 9", "detour": "car_model"})
    back = page.post(away.url, {"name": "Otter pickup"})
    form = page.get(back.url).context["form"]
    assert (form["description"].value(), form["plate"].value()) == ("2020 Otter", "X 9")
    assert form["car_model"].value() == CarModel.objects.get().pk
    assert "for=order" in back.url
    assert not Vehicle.objects.exists()


def test_an_order_that_takes_over_typed_wheels_gets_its_own(page, writer):
    page.post(URL, filled(car_model="unknown"))
    first = WorkOrder.objects.get()
    row = OrderWheels.objects.get()
    other = make_order()
    order_wheels_choose(order=other, choices={"front": row}, by=writer)
    taken = OrderWheels.objects.get(order=other)
    assert (taken.wheel.typed_for, taken.tyre.typed_for) == (other, other)
    assert (str(taken.wheel), str(taken.tyre)) == (str(row.wheel), str(row.tyre))
    assert OrderWheels.objects.get(order=first).wheel.typed_for == first


def test_of_two_wheels_of_one_name_each_can_be_named(client_of: Any, writer: Any) -> None:
    first, second = make_wheel(name="Sixfold", notes="a"), make_wheel(name="Sixfold", notes="b")
    page = client_of(writer).get(reverse("walk_in")).content.decode()
    for row in (first, second):
        assert f'value="{row} (no. {row.pk})"' in page
