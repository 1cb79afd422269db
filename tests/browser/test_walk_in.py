"""A walk-in at the counter: counted at a desk and on a phone, by keyboard, and without scripts."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.urls import reverse

from tests.browser.conftest import Opened
from tests.factories import make_shop, make_vehicle
from tests.fitment.factories import make_surveyed_car_model

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

KEY_S, PRESS_S, FIND_S = 0.3, 1.2, 2.0
TYPED = {
    "name": "Alva Berg",
    "phone": "0171 5558841",
    "plate": "LG-TR 416",
    "description": "2021 Nordal Vela",
    "request_text": "Wider wheels, lower",
    "front_wheel": "9,5 J x 18 H2 ET 35",
    "front_tyre": "245/40 ZR18 97Y",
    "front_camber": "-2,4",
    "front_height": "-15",
}


@dataclass
class Count:
    """What a person does: pages are new addresses, fields are controls that changed."""

    page: Any
    pages: list[str] = field(default_factory=list)
    fields: set[str] = field(default_factory=set)
    clicks: int = 0
    person_s: float = 0.0
    began: float = field(default_factory=time.monotonic)

    def __post_init__(self) -> None:
        self.page.on("framenavigated", self._arrived)

    def _arrived(self, frame: Any) -> None:
        if frame == self.page.main_frame and (not self.pages or self.pages[-1] != frame.url):
            self.pages.append(frame.url)

    def type(self, name: str, text: str) -> None:
        self.page.fill(f"[name={name}]", text)
        self.page.locator(f"[name={name}]").dispatch_event("change")
        self.fields.add(name)
        self.person_s += FIND_S + KEY_S * len(text)

    def tick(self, selector: str) -> None:
        self.page.check(selector)
        self.fields.add(selector)
        self.person_s += FIND_S + PRESS_S

    def choose(self, name: str, value: str) -> None:
        self.page.select_option(f"[name={name}]", value)
        self.fields.add(name)
        self.person_s += FIND_S + 2 * PRESS_S

    def press(self, button: str) -> None:
        self.page.get_by_role("button", name=button).click()
        self.page.wait_for_load_state()
        self.clicks += 1
        self.person_s += FIND_S + PRESS_S

    def hold(self, pages: int, fields: int, seconds: float) -> None:
        spent = self.person_s + time.monotonic() - self.began
        figures = (len(self.pages), len(self.fields), self.clicks, round(spent))
        print("pages, fields, clicks, seconds:", figures)  # noqa: T201
        assert len(self.pages) <= pages, self.pages
        assert len(self.fields) <= fields, sorted(self.fields)
        assert spent <= seconds, figures


def on_record() -> None:
    """A shop that has measured a car of this kind before."""
    make_shop()
    measured = make_surveyed_car_model()
    make_vehicle(description="2018 Nordal Vela", plate="E AB 1", car_model=measured)


@pytest.mark.parametrize(("width", "touch"), [(1440, False), (360, True)])
def test_from_a_new_customer_to_clears_or_not(
    browser_as: Opened, writer: Any, width: int, touch: bool
) -> None:
    on_record()
    with browser_as(writer, width=width, touch=touch) as page:
        page.goto(reverse("home"))
        walk = Count(page)
        page.goto(reverse("walk_in"))
        for name, text in TYPED.items():
            walk.type(name, text)
        walk.choose("front_camber_by", "top_mount")
        walk.tick("[name=use][value=track]")
        walk.tick("[name=rear_as_front]")
        walk.press("Open order and check clearance")
        page.get_by_text("Proposed from").first.wait_for()
        assert page.input_value("[name=front_wheel]") == TYPED["front_wheel"]
        walk.press("Open order and check clearance")
        page.wait_for_url("**/clearance/", timeout=60_000)
        page.get_by_text("Clearance check").first.wait_for()
        assert page.locator("main .verdict, main [class*=verdict]").count()
        walk.hold(pages=6, fields=20, seconds=120)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert page.complaints == []


def test_who_is_on_record_is_said_beside_what_is_typed(browser_as: Opened, writer: Any) -> None:
    on_record()
    with browser_as(writer) as page:
        page.goto(reverse("walk_in"))
        page.fill("[name=plate]", "eab1")
        page.keyboard.press("Tab")
        page.locator("#known input[type=radio]").first.wait_for()
        page.locator("#known input[type=radio]").first.check()
        page.fill("[name=phone]", "030 999 999")
        page.keyboard.press("Tab")
        page.wait_for_timeout(500)
        assert page.locator("#known input[type=radio]").first.is_checked()
        assert page.complaints == []


def test_by_keyboard_alone(browser_as: Opened, writer: Any) -> None:
    on_record()
    with browser_as(writer) as page:
        page.goto(reverse("walk_in"))
        page.focus("[name=name]")
        left = {**TYPED, "vin": ""}
        for _step in range(80):
            name = page.evaluate("document.activeElement.name")
            if left.get(name):
                page.keyboard.type(left.pop(name))
            elif name == "front_camber_by":
                page.keyboard.type("Top")
            elif name == "car_model":
                page.keyboard.type("not")
            page.keyboard.press("Tab")
            focus = "[document.activeElement.type, document.activeElement.className]"
            kind, style = page.evaluate(focus)
            if kind == "submit" and "primary" in style:
                break
        assert set(left) == {"vin"}
        page.keyboard.press("Enter")
        page.wait_for_url("**/clearance/", timeout=60_000)
        page.get_by_role("link", name="Book a survey visit").wait_for()
        assert page.complaints == []


def test_without_scripts(chromium: Any, live_server: Any, writer: Any, client_of: Any) -> None:
    on_record()
    cookie = client_of(writer).cookies["sessionid"].value
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(reverse("walk_in"))
    walk = Count(page)
    for name, text in (TYPED | {"plate": "e ab1"}).items():
        page.fill(f"[name={name}]", text)
    page.select_option("[name=front_camber_by]", "top_mount")
    walk.press("New car model")
    page.fill("[name=name]", "A model of another kind")
    walk.press("Save")
    assert page.input_value("[name=front_tyre]") == TYPED["front_tyre"]
    walk.press("Open order and check clearance")
    page.locator("[name=known]").first.check()
    walk.press("Open order and check clearance")
    page.wait_for_url("**/clearance/", timeout=60_000)
    context.close()
