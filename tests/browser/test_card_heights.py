"""The order page keeps its height for any order, and its next act stands in the first screen.

Measured are all orders of the demo, and one whose every list is long, in each of its states, for
each role, at a desk and on a phone.
"""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.urls import reverse

from shop.models import State, User, WorkOrder
from shop.models.orders import new_token
from shop.order_page import page as order_page
from shop.orders.services.cautions import CAUTIONS, Moment
from tests.browser.conftest import Opened
from tests.shop.long_orders import make_long

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
]

#: Width and height of the window, and how many of its heights a page may have.
DESK, PHONE = (1440, 900, 2), (360, 780, 4)
HEIGHT = "document.documentElement.scrollHeight"
#: Where the next act ends: its button, or for others who has to act, or the words alone.
ACT_ENDS = """Math.round([...document.querySelectorAll(
    '.card-next .btn.primary, .card-next [data-test="who-acts"], [data-test="next-words"]')]
  .map(one => one.getBoundingClientRect().bottom).reduce((a, b) => Math.max(a, b)))"""


@pytest.fixture
def orders(transactional_db: None) -> list[tuple[str, str]]:
    """What each order is, with its address: the demo's, and the long one in every state."""
    call_command("demo_shop", stdout=StringIO())
    found = [(one.number, one.get_absolute_url()) for one in WorkOrder.objects.all()]
    by = User.objects.get(username="writer")
    # The demo's order with the worst findings, and the one with a visit to the rack.
    for number in ("W0001", "W0007"):
        first = WorkOrder.objects.get(number=number)
        for state in State:
            copy = _copied(first, state)
            make_long(copy, by)
            found.append((f"{number}, long, {state}", reverse("order", args=[copy.pk])))
    return found


def _copied(order: WorkOrder, state: State) -> WorkOrder:
    """Another order like it in this state, with its wheels and plans."""
    rows = [*order.order_wheels.all(), *order.planned_settings.all()]
    copy = WorkOrder.objects.get(pk=order.pk)
    number = f"{order.number}-{state}"[:12]
    copy.pk, copy.number, copy.token, copy.state = None, number, new_token(), state
    copy._state.adding = True
    copy.save()
    for row in rows:
        row.pk, row.order = None, copy
        row._state.adding = True
        row.save()
    return copy


@pytest.mark.parametrize(
    "role",
    [
        "manager",  # who may do all has the most to press
        pytest.param("writer", marks=pytest.mark.nightly),
        pytest.param("technician", marks=pytest.mark.nightly),
    ],
)
def test_every_order_keeps_its_height_and_shows_its_next_act(
    browser_as: Opened,
    orders: list[tuple[str, str]],
    role: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # A job to which every caution applies.
    monkeypatch.setattr(order_page, "cautions_at", _all_cautions)
    found: list[str] = []
    for width, height, screens in (DESK, PHONE):
        with browser_as(User.objects.get(username=role), width=width, touch=width < height) as page:
            page.set_viewport_size({"width": width, "height": height})
            for name, url in orders:
                page.goto(url)
                found += _too_long(page, f"{name} at {width} px", height, screens)
    assert found == [], "\n".join(found)


def _all_cautions(job: Any, moment: Moment) -> list[str]:
    return [one.text for one in CAUTIONS if moment in one.moments]


def _too_long(page: Any, name: str, height: int, screens: int) -> list[str]:
    tall, act = page.evaluate(HEIGHT), page.evaluate(ACT_ENDS)
    found = [f"{name}: {tall} px"] if tall > screens * height else []
    return found + ([f"{name}: next act ends at {act} px"] if act > height else [])
