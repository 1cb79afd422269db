"""Links that carry a car model lead to a page that takes it up."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import CarModel
from tests.fitment.factories import make_surveyed_car_model

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def link_to(text: str, page: str) -> str:
    """The first link of a page to another, with its query."""
    found = re.search(rf'href="({re.escape(reverse(page))}\?[^"]+)"', text)
    assert found, page
    return found[1]


def test_a_car_model_that_is_chosen_opens_its_tryout(client_of: Browsers, writer: Any) -> None:
    car_model, browser = make_surveyed_car_model(), client_of(writer)
    chosen = browser.get(reverse("tryout"))
    opened = browser.get(link_to(chosen.content.decode(), "tryout"), follow=True)
    assert "car_models" not in opened.context
    assert str(car_model) in opened.content.decode()


def test_options_lead_back_to_the_tryout_of_their_car_model(
    client_of: Browsers, writer: Any
) -> None:
    car_model, browser = make_surveyed_car_model(), client_of(writer)
    page = browser.get(reverse("tryout_options"), {"car_model": car_model.pk})
    assert f"car_model={car_model.pk}" in link_to(page.content.decode(), "tryout")


def test_a_guide_table_starts_with_the_car_model_it_was_asked_for(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_surveyed_car_model(), client_of(technician)
    page = browser.get(reverse("car_model", args=[car_model.pk])).content.decode()
    form = browser.get(link_to(page, "guide_new")).context["form"]
    assert str(form["car_model"].value()) == str(car_model.pk)
    assert CarModel.objects.get() == car_model
