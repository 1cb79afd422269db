"""A quote sent by email from the counter and opened by its customer, on a phone and at a desk."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse

from shop.models import Mail, Quote
from shop.outbox.services.delivery import deliver_due
from tests.browser.conftest import Opened
from tests.factories import make_customer, make_line, make_order, make_shop
from tests.smtp import mail_server

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]


@pytest.mark.parametrize(("width", "touch"), [(360, True), (1440, False)])
def test_a_quote_is_sent_in_one_page_and_one_press(
    width: int, touch: bool, writer: Any, browser_as: Opened
) -> None:
    make_shop(name="Lindgrove")
    order = make_order(customer=make_customer(name="Ilka", email="ilka@post.example"))
    make_line(order)
    with mail_server() as box:
        with browser_as(writer, width=width, touch=touch) as page:
            page.goto(reverse("quote_send", args=[order.pk]))
            assert page.locator("[name=to]").input_value() == "ilka@post.example"
            assert page.get_by_text("Hello Ilka,").is_visible()
            page.get_by_role("button", name="Send quote").click()
            page.wait_for_url(re.compile("/quotes/"))
            assert page.get_by_text("is waiting to be sent").is_visible()
            assert page.get_by_role("button", name="Copy link").is_visible() == (
                page.evaluate("Boolean(navigator.clipboard)")
            )
            page.locator("summary", has_text="QR code").click()
            seen = page.locator("svg.qr").bounding_box()
            assert seen["width"] >= 200
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert page.complaints == []
        deliver_due()
        quote = Quote.objects.get()
        assert box.recipients == ["ilka@post.example"]
        with browser_as(None, width=360, touch=True) as page:
            page.goto(reverse("customer_order", args=[order.token]))
            page.get_by_text(quote.number).first.wait_for()
        with browser_as(writer, width=width, touch=touch) as page:
            page.goto(reverse("order_mail", args=[order.pk]))
            assert page.locator("[data-test=mail-sent]").count() == 1
            page.goto(quote.get_absolute_url())
            assert "Link first opened" in page.locator("[data-test=sent-and-seen]").inner_text()
    assert Mail.objects.count() == 1
