"""Several uses on one order: said everywhere, and judged for the hardest at every point."""

from __future__ import annotations

from itertools import pairwise

import pytest
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from fitment.clearance.services import check_run
from fitment.job.state import check_state
from fitment.job.uses import hardest, upper
from fitment.models import UseProfile
from shop.models.orders import uses_said
from tests.factories import make_user
from tests.fitment.factories import make_ready_order

SHARES = st.floats(0, 1, allow_nan=False)


@st.composite
def curves(draw):
    inside = sorted(draw(st.sets(st.integers(1, 99), max_size=5)))
    return [(x / 100, draw(SHARES)) for x in (0, *inside, 100)]


def height(curve, x):
    for (left, low), (right, high) in pairwise(curve):
        if left <= x <= right:
            return low + (high - low) * (x - left) / (right - left)
    raise AssertionError(x)


@given(curves(), curves(), SHARES)
def test_the_upper_curve_is_the_higher_of_both_everywhere(one, other, x):
    both = upper(one, other)
    assert both[0][0] == 0
    assert both[-1][0] == 1
    assert all(a[0] < b[0] for a, b in pairwise(both))
    assert height(both, x) == pytest.approx(max(height(one, x), height(other, x)), abs=1e-6)


def test_the_hardest_takes_the_most_of_each():
    street = {
        "name": "street",
        "envelope": [[0, 1], [0.25, 1], [1, 0.5]],
        "droop_fraction": 1.0,
        "lateral_g": 0.5,
        "longitudinal_g": 0.8,
        "inner": False,
        "needed_mm": {"hard": 5.0, "soft": 3.0},
    }
    track = street | {
        "name": "track",
        "envelope": [[0, 1], [0.35, 1], [1, 0.3]],
        "lateral_g": 1.3,
        "inner": True,
        "needed_mm": {"hard": 4.0, "soft": 6.0},
    }
    both = hardest([street, track])
    assert (both["name"], both["lateral_g"], both["inner"]) == ("street+track", 1.3, True)
    assert both["longitudinal_g"] == 0.8
    assert both["needed_mm"] == {"hard": 5.0, "soft": 6.0}
    assert hardest([street]) == street


@pytest.mark.django_db
def test_a_check_of_two_uses_is_never_better_than_that_of_either():
    order = make_ready_order()
    least = {}
    for uses in (["street"], ["track"], ["street", "track"]):
        order.use, order.further_uses = uses[-1], uses[:-1]
        order.save()
        answer = check_run(order=order, by=None).answer
        least[tuple(uses)] = min(
            spot["clearance_mm"] - spot["needed_mm"]
            for corner in answer["corners"].values()
            for spot in corner["places"]
        )
    assert least["street", "track"] <= min(least["street",], least["track",]) + 1e-6


@pytest.mark.django_db
def test_pages_say_all_uses_and_a_second_use_makes_the_check_stale(client):
    order = make_ready_order(use="street")
    check_run(order=order, by=None)
    client.force_login(make_user("writer"))
    sent = {"kind": "install", "use": ["track", "street"], "moves_wheel_or_height": "on"}
    assert client.post(reverse("order_edit", args=[order.pk]), sent).status_code == 302
    order.refresh_from_db()
    assert (order.use, order.further_uses, order.use_text) == ("track", ["street"], "street+track")
    assert check_state(order).is_stale
    for name in ("order", "clearance"):
        page = client.get(reverse(name, args=[order.pk])).content.decode()
        assert uses_said("street+track").lower() in page.lower()


@pytest.mark.django_db
def test_a_use_without_a_profile_is_named():
    order = make_ready_order(use="track", further_uses=["street"])
    UseProfile.objects.get(name="street").delete()
    assert [p for p in check_state(order).inputs.problems if "street" in p.sentence.lower()]
