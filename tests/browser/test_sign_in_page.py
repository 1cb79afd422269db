"""The first page that anybody sees, in a real browser."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from tests.browser.conftest import Opened
from tests.browser.looks import faults_as_opened
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", [360, 1920])
def test_the_sign_in_page_fits_and_is_accessible(
    browser_as: Opened, width: int, dark: bool
) -> None:
    with browser_as(width=width, dark=dark) as page:
        assert faults_as_opened(page, reverse("login")) == []


def test_signing_in_by_keyboard_leads_to_the_orders(
    browser_as: Opened, writer: Any, live_server: Any
) -> None:
    with browser_as() as page:
        page.goto(reverse("login"))
        page.keyboard.type("wanda")
        page.keyboard.press("Tab")
        page.keyboard.type(PASSWORD)
        page.keyboard.press("Enter")
        page.wait_for_url(f"{live_server.url}/")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "Skip to content"
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "main"
        page.locator("details.who summary").click()
        page.get_by_role("button", name="Sign out").click()
        page.wait_for_url("**/accounts/login/")
