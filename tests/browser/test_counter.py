"""From a stranger at the counter to a quote that is approved and a bay that is booked, counted."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse

from tests.browser.conftest import Opened
from tests.browser.test_walk_in import TYPED, Count, on_record
from tests.factories import make_bay, make_user
from tests.fitment.factories import make_wheel

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

#: What the page of a walk-in is filled with: a wheel that the shop knows, a tyre as it is marked.
FITS = TYPED | {"front_tyre": "225/40 R18 92Y", "front_height": "0"}


@pytest.mark.parametrize(("width", "touch"), [(1440, False), (360, True)])
def test_from_a_walk_in_to_a_booked_bay(
    browser_as: Opened, writer: Any, width: int, touch: bool
) -> None:
    on_record()
    known = str(make_wheel())
    make_bay(has_rack=True)
    make_user("technician")
    with browser_as(writer, width=width, touch=touch) as page:
        page.goto(reverse("home"))
        walk = Count(page)
        page.goto(reverse("walk_in"))
        for name, text in (FITS | {"front_wheel": known}).items():
            walk.type(name, text)
        walk.choose("front_camber_by", "top_mount")
        walk.tick("[name=rear_as_front]")
        walk.press("Open order and check clearance")
        page.get_by_text("Proposed from").first.wait_for()
        walk.press("Open order and check clearance")
        page.wait_for_url("**/clearance/", timeout=60_000)
        order = re.search(r"/orders/(\d+)/", page.url)[1]
        page.goto(reverse("order", args=[order]))
        walk.press("Fill quote lines from the plan")
        page.locator("input[value^='Mount, balance']").first.wait_for()
        page.goto(reverse("quote_send", args=[order]))
        walk.tick("[name=costs_nothing]")
        walk.press("Send quote")
        page.wait_for_url("**/quotes/*/")
        page.goto(reverse("quote_sign", args=[order]))
        walk.tick("[name=agree]")
        for box in page.locator("[name=signed_warning]").all():
            box.check()
            walk.fields.add("signed_warning")
        walk.type("name", TYPED["name"])
        walk.press("Sign")
        page.wait_for_url(f"**/orders/{order}/*")
        page.goto(reverse("booking_new", args=[order]))
        page.locator("[data-test=free-times] button").first.click()
        walk.clicks += 1
        page.wait_for_url(f"**/orders/{order}/*")
        page.locator("main").get_by_text("Booked", exact=False).first.wait_for()
        walk.hold(pages=12, fields=35, seconds=300)
        assert page.complaints == []
