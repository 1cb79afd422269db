"""A reload without a connection shows the readings, and only to the user who opened them."""

from __future__ import annotations

import contextlib
from typing import Any

import pytest
from django.urls import reverse

from alignment.models import RackVisit
from tests.browser.conftest import Opened
from tests.browser.waiting import until
from tests.conftest import PASSWORD
from tests.factories import make_order

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

#: Names of what is kept, but for the worker's own words, which are the same for everybody.
CACHES = '(await caches.keys()).filter((name) => name !== "archroom-words")'
KEPT = """async () => {
  const found = [];
  for (const name of (await caches.keys()).filter((name) => name !== "archroom-words")) {
    for (const request of await (await caches.open(name)).keys()) {
      const url = new URL(request.url);
      if (!url.pathname.startsWith("/static/")) found.push(url.pathname + url.search);
    }
  }
  return found.sort();
}"""


def until_kept(page: Any, address: str) -> None:
    """Wait until the device keeps a page: it does so after the page has come."""
    until(page, f"async (address) => (await ({KEPT})()).includes(address)", address)


def save(page: Any) -> None:
    page.get_by_role("button", name="Save readings").click()


def test_a_reload_without_a_connection_shows_the_page_with_what_was_typed(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    address = reverse("visit_new", args=[order.pk]) + "?stage=before"
    with browser_as(technician) as page:
        page.goto(address)
        until_kept(page, address)
        page.get_by_label("Camber, front left").fill("-1.5")
        page.get_by_text("Draft on this device").wait_for()
        page.context.set_offline(True)
        page.reload()
        banner = page.locator("#seen")
        banner.get_by_text("No connection. This page is from").wait_for()
        assert "what you type is stored on this device" in banner.inner_text()
        page.get_by_label("Notes").scroll_into_view_if_needed()
        assert banner.bounding_box()["y"] >= 0, "it is seen all down the page"
        page.get_by_text("Restored what you typed").wait_for()
        assert page.get_by_label("Camber, front left").input_value() == "-1.5"
        page.get_by_label("Camber, front right").fill("-1.6")
        save(page)
        page.get_by_text("is queued on this device").wait_for()
        page.reload()
        page.get_by_text("is queued on this device").wait_for()
        assert page.get_by_label("Camber, front right").input_value() == "-1.6"
        page.get_by_label("Toe, front left").fill("0.10")
        page.get_by_label("Toe, front left").press("Tab")
        page.wait_for_timeout(600)
        page.context.set_offline(False)
        page.get_by_role("heading", name="Readings: Before the work").wait_for()
        assert page.locator("#seen").count() == 0
    values = RackVisit.objects.get(order=order).values()
    assert values == {("LF", "camber"): -1.5, ("RF", "camber"): -1.6, ("LF", "toe"): 0.1}


def test_only_readings_are_kept_and_a_form_that_was_taken_is_not(
    technician: Any, browser_as: Opened
) -> None:
    order = make_order()
    address = reverse("visit_new", args=[order.pk]) + "?stage=before"
    with browser_as(technician) as page:
        page.goto(reverse("home"))
        page.evaluate("navigator.serviceWorker.ready")
        page.goto(order.get_absolute_url())
        page.goto(address)
        until_kept(page, address)
        assert page.evaluate(KEPT) == [address]
        page.get_by_label("Camber, front left").fill("-1.5")
        save(page)
        page.get_by_role("heading", name="Readings: Before the work").wait_for()
        visit = page.evaluate("location.pathname")
        until_kept(page, visit)
        assert page.evaluate(KEPT) == [visit], "a new visit sent twice would overwrite the first"
        page.context.set_offline(True)
        page.goto(order.get_absolute_url())
        page.get_by_role("heading", name="No connection").wait_for()
        page.get_by_role("main").get_by_role("link").click()
        page.get_by_text("This page is from").wait_for()
        assert page.get_by_role("heading", name="Readings: Before the work").is_visible()
        page.context.set_offline(False)
        page.get_by_role("button", name="Reload").click()
        page.locator("#seen").wait_for(state="detached")


@pytest.mark.parametrize("connected", [True, False])
def test_signing_out_leaves_nothing(
    technician: Any, browser_as: Opened, *, connected: bool
) -> None:
    order = make_order()
    address = reverse("visit_new", args=[order.pk]) + "?stage=before"
    with browser_as(technician) as page:
        page.goto(address)
        until_kept(page, address)
        page.context.set_offline(not connected)
        page.locator("details.who summary").click()
        page.get_by_role("button", name="Sign out").click()
        words = "Sign in" if connected else "but you are not signed out at the server yet"
        page.get_by_text(words).first.wait_for()
        assert page.evaluate(f"async () => {CACHES}") == []
        page.context.set_offline(True)
        with pytest.raises(Exception, match=r"ERR_(FAILED|INTERNET_DISCONNECTED)"):
            page.goto(address)


def test_the_page_for_a_lost_connection_is_in_the_users_language(
    technician: Any, browser_as: Opened
) -> None:
    technician.language = "de"
    technician.save()
    order = make_order()
    address = reverse("visit_new", args=[order.pk]) + "?stage=before"
    with browser_as(technician) as page:
        page.goto(address)
        until_kept(page, address)
        page.context.set_offline(True)
        page.goto(order.get_absolute_url())
        assert page.get_by_role("main").get_by_role("link").count() == 1
        assert page.evaluate("document.documentElement.lang") == "de"


def test_another_user_at_the_same_tablet_finds_nothing_of_the_first(
    technician: Any, manager: Any, browser_as: Opened, client_of: Any, live_server: Any
) -> None:
    from playwright.sync_api import Error

    order = make_order()
    address = reverse("visit_new", args=[order.pk]) + "?stage=before"
    other = client_of(manager).cookies["sessionid"].value
    with browser_as(technician) as page:
        page.goto(address)
        until_kept(page, address)
        page.context.add_cookies([{"name": "sessionid", "value": other, "url": live_server.url}])
        page.goto(reverse("home"))
        until(page, f"async () => (await ({KEPT})()).length === 0")
        page.context.set_offline(True)
        seen = ""  # the browser has nothing to show, or the worker says that nothing is kept
        with contextlib.suppress(Error):
            page.goto(address)
            seen = page.content()
        assert order.number not in seen


def test_the_sign_in_page_drops_what_was_kept(technician: Any, browser_as: Opened) -> None:
    order = make_order()
    address = reverse("visit_new", args=[order.pk]) + "?stage=before"
    with browser_as(technician) as page:
        page.goto(address)
        until_kept(page, address)
        page.context.clear_cookies()
        page.goto(address)
        page.get_by_label("Password").wait_for()
        until(page, f"async () => ({CACHES}).length === 0")
        page.fill("[name=username]", technician.username)
        page.fill("[name=password]", PASSWORD)
        page.keyboard.press("Enter")
        page.wait_for_url(lambda url: "login" not in url)
        until_kept(page, address)


def test_the_worker_is_never_stored_and_keeps_to_the_policy(client: Any, technician: Any) -> None:
    answer = client.get("/worker.js")
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert "no-store" in answer.headers["Cache-Control"]
    assert "worker-src 'self'" in answer.headers["Content-Security-Policy"]
    order = make_order()
    client.force_login(technician, backend="django.contrib.auth.backends.ModelBackend")
    kept = client.get(reverse("visit_new", args=[order.pk]))
    assert kept.headers["Archroom-Keep"] == "yes"
    assert kept.headers["Archroom-User"] == str(technician.pk)
    assert "Archroom-Keep" not in client.get(order.get_absolute_url()).headers
