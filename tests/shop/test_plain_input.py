"""Plain input that once broke a page, each with the sentence or the status that it gets."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from common.numerals import whole
from shop.models import Part
from tests.alignment.factories import make_visit
from tests.factories import make_order, make_part, make_vehicle

pytestmark = [pytest.mark.database, pytest.mark.django_db]
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def browser(manager: Any, client_of: Callable[[Any], Client]) -> Client:
    return client_of(manager)


@pytest.mark.parametrize("length", [151, 300, 5_000])
def test_a_name_longer_than_any_is_refused_at_sign_in(stranger: Client, length: int) -> None:
    answer = stranger.post(reverse("login"), {"username": "x" * length, "password": "y"})
    assert answer.status_code == 200
    assert "username" in answer.context["form"].errors


def test_a_nul_in_a_link_leads_nowhere(stranger: Client) -> None:
    token = make_order().token
    assert stranger.get(f"/c/{token}%00/").status_code == 404


@pytest.mark.parametrize("number", [2**63, 10**30, int("9" * 300)])
@pytest.mark.parametrize("path", ["/orders/{}/", "/car-models/{}/surveys/LF/joints/"])
def test_a_row_number_longer_than_any_leads_nowhere(
    path: str, number: int, browser: Client
) -> None:
    assert browser.get(path.format(number)).status_code == 404


@pytest.mark.parametrize("name", ["order_list", "customer_list", "vehicle_list", "part_list"])
def test_a_nul_in_a_search_is_a_bad_request(name: str, browser: Client) -> None:
    answer = browser.get(reverse(name), {"q": "a\0b"})
    assert answer.status_code == 400
    assert "Nothing was changed." in answer.content.decode()


def test_a_nul_in_a_form_is_a_bad_request(browser: Client) -> None:
    answer = browser.post(reverse("customer_new"), {"name": "Nadir\0"})
    assert answer.status_code == 400


@pytest.mark.parametrize("text", ["²", "٣", "9" * 30, "-1", "1.0", ""])
@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("order_new", "vehicle"),
        ("vehicle_new", "customer"),
        ("tryout", "car_model"),
        ("tryout", "vehicle"),
        ("tryout_options", "car_model"),
        ("wheel_new", "order"),
    ],
)
def test_what_is_no_whole_number_names_no_row(
    name: str, asked: str, text: str, browser: Client
) -> None:
    assert browser.get(reverse(name), {asked: text}).status_code in {200, 302}


def test_what_is_no_whole_number_names_no_first_order(browser: Client) -> None:
    asked = {"vehicle": make_vehicle().pk, "first_order": "²"}
    assert browser.get(reverse("order_new"), asked).status_code == 200


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "2101-01-01", "1999-12-31"])
def test_a_day_at_the_end_of_time_is_no_day_of_the_calendar(day: str, browser: Client) -> None:
    url = reverse("booking_new", args=[make_order().pk])
    assert browser.get(url, {"day": day}).status_code == 200
    answer = browser.post(url, {"day": day, "starts": "09:00", "ends": "10:00"})
    assert answer.status_code == 200
    assert "day" in answer.context["form"].errors
    assert browser.get(f"/day/{day}/").status_code == 404


def test_a_part_with_both_kinds_of_adjuster_is_refused_at_its_field(browser: Client) -> None:
    part = make_part()
    page = browser.get(reverse("part_edit", args=[part.pk]))
    adjuster = page.context["form"].fields["adjuster"].choices[1][0]
    sent = {"number": part.number, "name": part.name, "kind": part.kind, "price": "1"}
    sent |= {"axle": "front", "moves_wheel": "on", "adjuster": adjuster, "rod": "upper front"}
    answer = browser.post(reverse("part_edit", args=[part.pk]), sent)
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == ["rod"]
    assert Part.objects.get().adjuster == part.adjuster


@pytest.mark.parametrize("base", ["[" * 20_000, '{"a":' * 5_000, "null", "[]", "{"])
def test_deeply_nested_texts_are_no_texts_of_a_form(base: str, browser: Client) -> None:
    visit = make_visit()
    sent = {"stage": "before", "toe_unit": "deg", "toe_reference": "thrust", "base": base}
    sent |= {"version": str(visit.version), "camber_LF": "-1.2", "opened": base}
    answer = browser.post(reverse("visit_edit", args=[visit.pk]), sent)
    assert answer.status_code in {302, 422}


def test_whole_numbers_are_plain_digits() -> None:
    assert [whole(text) for text in ("7", " 042 ", "9" * 18)] == [7, 42, 10**18 - 1]
    assert {whole(text) for text in ("", "²", "٣", "+1", "-1", "1.0", "1_0", "9" * 19)} == {None}


def test_no_module_takes_digits_of_other_kinds_for_a_number() -> None:
    """``isdigit`` is true of ``²``, which ``int`` refuses: ``whole`` is there for it."""
    found = [
        str(path.relative_to(ROOT))
        for app in ("common", "shop", "alignment", "fitment")
        for path in (ROOT / app).rglob("*.py")
        if ".isdigit(" in path.read_text(encoding="utf-8")
    ]
    assert found == []
