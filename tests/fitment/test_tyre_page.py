"""The page of a tyre in its states."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.clearance.services import check_run
from tests.fitment.factories import make_ready_order, make_rubbing_order

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def test_the_states_of_a_tyre_stand_under_each_other(client_of: Browsers, writer: Any) -> None:
    order = make_ready_order()
    order.order_wheels.update(largest_allowed=True, growth_mm=2.0)
    check = check_run(order=order, by=writer)
    browser = client_of(writer)
    url = reverse("clearance_tyre", args=[check.pk, "LF"])
    assert url in browser.get(reverse("clearance", args=[order.pk])).content.decode()
    text = browser.get(url).content.decode()
    assert "The largest that the standard allows, grown 2 mm at speed (this check)" in text
    assert "New, standing" in text
    assert "6 mm worn" in text
    assert "common practice, no source" in text
    assert "Least clearance: the largest that the standard allows, grown 2 mm at speed." in text


def test_a_tyre_that_rubs_says_so_in_the_state_that_rubs_most(
    client_of: Browsers, writer: Any
) -> None:
    check = check_run(order=make_rubbing_order(), by=writer)
    text = client_of(writer).get(reverse("clearance_tyre", args=[check.pk, "LF"])).content.decode()
    assert "tyre overlaps the arch lip by" in text


def test_a_corner_that_was_not_checked_has_no_such_page(client_of: Browsers, writer: Any) -> None:
    check = check_run(order=make_ready_order(), by=writer)
    assert (
        client_of(writer).get(reverse("clearance_tyre", args=[check.pk, "LR"])).status_code == 404
    )
