"""Wheels of an order, the catalogue of wheels and tyres, and the use profiles."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.engine import checkfile
from fitment.engine.defaults import DUTIES
from fitment.models import OrderWheels, TyreModel, UseProfile, WheelModel
from shop.models import LogEntry
from tests.factories import make_order
from tests.fitment.factories import make_tyre, make_wheel

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def page(browser: Client, name: str, **query: str) -> str:
    response = browser.get(reverse(name), query)
    assert response.status_code == 200
    return response.content.decode()


def wheels_form(**values: Any) -> dict[str, Any]:
    blank = {
        f"{axle}_{what}": ""
        for axle in ("front", "rear")
        for what in ("wheel", "tyre", "spacer_mm")
    }
    return blank | values


def test_wheels_are_chosen_axle_by_axle_and_logged(client_of: Browsers, writer: Any) -> None:
    order, wheel, tyre = make_order(), make_wheel(), make_tyre()
    values = wheels_form(front_wheel=wheel.pk, front_tyre=tyre.pk, front_spacer_mm="2,5")
    answer = client_of(writer).post(reverse("order_wheels", args=[order.pk]), values)
    assert answer.status_code == 302
    row = OrderWheels.objects.get(order=order)
    assert (row.axle, row.spacer_mm) == ("front", 2.5)
    assert LogEntry.objects.filter(order=order, what="Wheels chosen").exists()


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"front_tyre": ""}, "Choose the tyre that goes on this wheel"),
        ({"front_wheel": ""}, "Choose the wheel that this belongs to"),
        ({"front_spacer_mm": "-3"}, "greater than or equal to 0"),
        ({"front_spacer_mm": "thick"}, "is not a number"),
    ],
)
def test_senseless_wheels_are_refused_with_the_reason(
    client_of: Browsers, writer: Any, values: dict[str, Any], why: str
) -> None:
    order = make_order()
    whole = wheels_form(front_wheel=make_wheel().pk, front_tyre=make_tyre().pk) | values
    answer = client_of(writer).post(reverse("order_wheels", args=[order.pk]), whole)
    assert answer.status_code == 200
    assert why in answer.content.decode()
    assert not OrderWheels.objects.exists()


def test_a_tyre_for_another_rim_is_refused(client_of: Browsers, writer: Any) -> None:
    order = make_order()
    values = wheels_form(front_wheel=make_wheel(diameter_in=17).pk, front_tyre=make_tyre().pk)
    answer = client_of(writer).post(reverse("order_wheels", args=[order.pk]), values)
    assert "for a 18 in rim; the wheel has 17 in" in answer.content.decode()


def test_the_wheels_of_a_closed_order_stay(client_of: Browsers, writer: Any) -> None:
    order = make_order(state="handed_over")
    values = wheels_form(front_wheel=make_wheel().pk, front_tyre=make_tyre().pk)
    answer = client_of(writer).post(reverse("order_wheels", args=[order.pk]), values)
    assert "closed" in answer.content.decode()
    assert not OrderWheels.objects.exists()


def test_the_catalogue_is_searched_by_every_word(client_of: Browsers, writer: Any) -> None:
    make_wheel(name="Sixfold", maker="Hollin")
    make_wheel(name="Ninefold", maker="Hollin")
    text = page(client_of(writer), "wheel_list", q="hollin six")
    assert "Sixfold" in text
    assert "Ninefold" not in text
    make_tyre(name="Grip", size="235/40R18")
    assert "Grip" in page(client_of(writer), "tyre_list", q="235")
    assert "No tyre of that name" in page(client_of(writer), "tyre_list", q="nothing")


def test_a_wheel_with_its_traced_spokes_is_kept(client_of: Browsers, technician: Any) -> None:
    values = {
        "name": "Sixfold",
        "diameter_in": "18",
        "width_in": "8,5",
        "offset_mm": "−5",
        "flange_mm": "12.5",
        "barrel_mm": "12",
        "spoke_back": "18 40\n16;80\n22 150",
    }
    answer = client_of(technician).post(reverse("wheel_new"), values)
    assert answer.status_code == 302, answer.context["form"].errors
    wheel = WheelModel.objects.get()
    assert (wheel.width_in, wheel.offset_mm) == (8.5, -5.0)
    assert wheel.spoke_back == [[18, 40], [16, 80], [22, 150]]
    assert wheel.inside_known


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"spoke_back": "18 40 3"}, "Line 1: 3 numbers where 2 belong"),
        ({"spoke_back": "18 40\n16 20"}, "traced from the hub out"),
        ({"offset_mm": "far"}, "is not a number"),
        ({"width_in": "85"}, "outside what is plausible"),
    ],
)
def test_a_wheel_that_cannot_be_is_refused_at_its_field(
    client_of: Browsers, technician: Any, values: dict[str, str], why: str
) -> None:
    good = {
        "name": "Odd",
        "diameter_in": "18",
        "width_in": "8",
        "offset_mm": "40",
        "flange_mm": "12.5",
    }
    answer = client_of(technician).post(reverse("wheel_new"), good | values)
    assert why in answer.content.decode()
    assert not WheelModel.objects.exists()


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"size": "37x12.5"}, "size"),
        ({"measuring_rim_in": "8"}, "section"),
        ({"measured": "on"}, "Say what was measured"),
        ({"section_width_mm": "245", "tread_width_mm": "280"}, "tread"),
        ({"profile": "1 200"}, "has 1 item"),
    ],
)
def test_a_tyre_that_cannot_be_is_refused_with_a_reason(
    client_of: Browsers, technician: Any, values: dict[str, str], why: str
) -> None:
    answer = client_of(technician).post(
        reverse("tyre_new"), {"name": "Odd", "size": "235/40R18"} | values
    )
    assert answer.status_code == 200
    assert why in answer.content.decode()
    assert not TyreModel.objects.exists()


# Use profiles


def test_a_manager_changes_a_use_profile_and_a_writer_only_reads(
    client_of: Browsers, manager: Any, writer: Any
) -> None:
    profile = UseProfile.objects.get(name="street")
    values = {
        "envelope": "0 1\n0,3 1\n1 0,5",
        "droop_fraction": "1",
        "lateral_g": "0,6",
        "longitudinal_g": "0,9",
        "needed_hard_mm": "6",
        "needed_soft_mm": "3",
    }
    url = reverse("use_edit", args=[profile.pk])
    assert client_of(writer).post(url, values).status_code == 403
    assert client_of(manager).post(url, values).status_code == 302
    profile.refresh_from_db()
    assert profile.envelope == [[0, 1], [0.3, 1], [1, 0.5]]
    assert (profile.lateral_g, profile.needed_hard_mm) == (0.6, 6.0)
    assert (profile.longitudinal_g, profile.inner) == (0.9, False)


def test_use_profiles_start_with_braking_and_the_inside_wheel() -> None:
    """What a shop starts with is what check files name; common practice, no source."""
    for duty in UseProfile.objects.all():
        (asked,) = [one for one in DUTIES.values() if one.name == duty.name]
        assert checkfile.dump_use(asked) == duty.as_document()
    assert dict(UseProfile.objects.values_list("name", "longitudinal_g")) == {
        "street": 0.8,
        "autocross": 1.0,
        "track": 1.1,
    }


@pytest.mark.parametrize("envelope", ["0 1", "0.1 1\n1 1", "0 1\n0 1\n1 1", "0 1\n1 1.5"])
def test_an_envelope_with_holes_is_refused(
    client_of: Browsers, manager: Any, envelope: str
) -> None:
    profile = UseProfile.objects.get(name="street")
    answer = client_of(manager).post(
        reverse("use_edit", args=[profile.pk]),
        {
            "envelope": envelope,
            "droop_fraction": "1",
            "lateral_g": "0",
            "needed_hard_mm": "5",
            "needed_soft_mm": "3",
        },
    )
    assert answer.status_code == 200
    assert answer.context["form"].errors["envelope"]


def test_the_three_use_profiles_are_there_from_the_start() -> None:
    rows = {d.name: (d.envelope, d.lateral_g) for d in UseProfile.objects.all()}
    assert rows == {
        "street": ([[0, 1], [0.25, 1], [1, 0.5]], 0.5),
        "autocross": ([[0, 1], [0.5, 1], [1, 0.6]], 1.0),
        "track": ([[0, 1], [0.35, 1], [1, 0.3]], 1.3),
    }


@pytest.mark.parametrize("kind", ["wheel", "tyre"])
def test_what_an_order_lacked_leads_back_to_the_order(
    client_of: Browsers, writer: Any, kind: str
) -> None:
    order, browser = make_order(), client_of(writer)
    home = reverse("order_wheels", args=[order.pk])
    address = reverse(f"{kind}_new")
    assert f'name="detour" value="{kind}"' in browser.get(home).content.decode()
    assert browser.post(home, {"detour": kind})["Location"].startswith(f"{address}?next=")
    size = {"diameter_in": "18", "width_in": "9.5", "offset_mm": "38", "flange_mm": "12.5"}
    values = {"name": "Asked for", "size": "265/35R18"} | size
    assert home in browser.get(f"{address}?order={order.pk}").content.decode()
    assert browser.post(f"{address}?order={order.pk}", values)["Location"] == home
    for other in ("", "?order=", "?order=999999", "?order=//elsewhere"):
        answer = browser.post(f"{address}{other}", values)
        assert answer["Location"] == reverse(f"{kind}_list")


def test_the_lines_page_reminds_of_the_wheels_that_are_chosen(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = make_order(), client_of(writer)
    wheel, tyre = make_wheel(price="268"), make_tyre(price=None)
    lines = reverse("order_lines", args=[order.pk])
    assert "Chosen for this order" not in browser.get(lines).content.decode()
    for axle in ("front", "rear"):
        OrderWheels.objects.create(order=order, axle=axle, wheel=wheel, tyre=tyre)
    shown = re.sub(r"<[^>]+>", "", browser.get(lines).content.decode())
    assert re.search(rf"4 × {re.escape(str(wheel))}.*?€268.00 each", shown)
    assert re.search(rf"4 × {re.escape(str(tyre))}.*?no price recorded", shown)
    assert not order.lines.exists()
