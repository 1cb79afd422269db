"""Options on the page: asked within limits, searched in steps, tried and put on the order."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from alignment.models import PlannedSetting
from fitment.clearance.run import check_run
from fitment.job.car import car_of_order
from fitment.models import OptionSearch, OrderWheels
from fitment.text.options import ruled_out_text
from fitment.tryout import search_job
from fitment.tryout import space as options_space
from fitment.tryout.options_page import tryout_from
from fitment.tryout.search_job import search_step
from fitment.tryout.services.results import few_of
from shop.models import ClassRecord, ClassRule, Part, WorkOrder
from tests.factories import make_order, make_user, make_vehicle
from tests.fitment.factories import (
    make_ready_order,
    make_rubbing_order,
    make_surveyed_car_model,
    make_tyre,
)
from tests.fitment.searches import ENQUIRY, finished, make_search

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def text(page: Any) -> str:
    return re.sub(r"\s+", " ", page.content.decode())


def a_rubbing_order() -> WorkOrder:
    order = make_rubbing_order()
    make_tyre(price="180.00")
    return order


@pytest.fixture
def rubbing(writer: Any) -> WorkOrder:
    return a_rubbing_order()


@pytest.fixture(scope="module")
def search_of_all(lasting: Any) -> int:
    """Number of a search on a rubbing order, done once to its end; tests fetch it anew."""
    with lasting():
        return finished(make_search(a_rubbing_order(), make_user("writer"))).pk


@pytest.fixture
def searched(search_of_all: int, db: None) -> OptionSearch:
    return OptionSearch.objects.get(pk=search_of_all)


def test_a_rubbing_order_is_offered_few_options_that_differ(searched: OptionSearch) -> None:
    shown = searched.shown
    assert 0 < len(shown) <= 5
    assert all(way["verdict"] in ("clear", "tight") for way in shown)
    changes = [frozenset(way["changes"]) for way in shown if not way["wins"]]
    assert len(set(changes)) == len(changes)
    efforts = [way["effort"] for way in shown if "least change" in way["wins"]]
    assert efforts == [min(way["effort"] for way in shown)]


def test_what_is_offered_clears_in_a_clearance_check(
    searched: OptionSearch, writer: Any, client_of: Any
) -> None:
    page = client_of(writer).get(searched.get_absolute_url())
    way = next(way for way in page.context["options"] if way["can_put"])
    sent = client_of(writer).post(reverse("order_tryout", args=[searched.order_id]), way["put"])
    assert sent.status_code == 302
    check = check_run(order=searched.order, by=writer)
    assert check.verdict == way["verdict"]
    clearances = [one["clearance_mm"] for one in check.answer["corners"]["LF"]["places"]]
    assert way["clearance_mm"] == pytest.approx(
        next(c for c in clearances if abs(c - way["clearance_mm"]) < 0.05), abs=0.05
    )


def test_the_form_starts_a_search_and_leads_to_it(
    rubbing: WorkOrder, writer: Any, client_of: Any
) -> None:
    url, browser = reverse("order_options", args=[rubbing.pk]), client_of(writer)
    page = browser.get(url)
    assert page.context["form"].initial["camber_from"] == -3.4
    sent = {
        "goal": "clear",
        "may": ["camber_method", "spacer"],
        "camber_from": "-3",
        "camber_to": "-2",
    }
    answer = browser.post(url, sent)
    search = OptionSearch.objects.get(order=rubbing)
    assert answer.url == search.get_absolute_url()
    shown = text(browser.get(answer.url))
    assert "Options, front axle" in shown
    assert "<progress" in shown or "Rejected options" in shown


def test_a_range_that_is_turned_round_is_refused(
    rubbing: WorkOrder, writer: Any, client_of: Any
) -> None:
    sent = {"goal": "clear", "may": ["camber"], "camber_from": "-1", "camber_to": "-2"}
    page = client_of(writer).post(reverse("order_options", args=[rubbing.pk]), sent)
    assert page.status_code == 422
    assert not OptionSearch.objects.filter(order=rubbing).exists()


def test_a_page_without_scripts_searches_on_by_a_button(
    rubbing: WorkOrder, writer: Any, client_of: Any
) -> None:
    search = make_search(rubbing, writer)
    browser = client_of(writer)
    page = browser.get(search.get_absolute_url())
    assert ">Continue</button>" in text(page)
    assert "Stop here" in text(page)
    answer = browser.post(reverse("options_step", args=[search.pk]))
    assert answer.status_code == 302
    search.refresh_from_db()
    assert search.done > 0


def test_a_script_gets_the_part_and_asks_again_until_it_is_over(
    rubbing: WorkOrder, writer: Any, client_of: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr("fitment.tryout.option_views.STEP_SECONDS", 0.0)
    search = make_search(rubbing, writer, may=["camber_method", "packer", "height"])
    browser, url = client_of(writer), reverse("options_step", args=[search.pk])
    done = [0]
    for _ in range(40):
        part = text(browser.post(url, headers=HTMX))
        search.refresh_from_db()
        done.append(search.done)
        assert "<html" not in part
        if search.is_over:
            break
        assert 'hx-trigger="load"' in part
    assert search.is_complete
    assert done == sorted(done)
    assert 'hx-trigger="load"' not in part


def test_a_search_that_is_stopped_keeps_what_it_found(
    rubbing: WorkOrder, writer: Any, client_of: Any
) -> None:
    search = make_search(rubbing, writer, may=["camber_method", "packer", "height", "spacer"])
    car = car_of_order(rubbing)
    set_up = tryout_from(car, search.start).form.set_up
    search_step(search=search, car=car, set_up=set_up, seconds=0.0)
    before = search.done
    page = client_of(writer).post(reverse("options_stop", args=[search.pk]), follow=True)
    assert "Stopped after" in text(page)
    assert not search_step(search=search, car=car, set_up=set_up)
    search.refresh_from_db()
    assert search.done == before


def test_two_requests_do_not_do_one_step_twice(rubbing: WorkOrder, writer: Any) -> None:
    search = make_search(rubbing, writer)
    car = car_of_order(rubbing)
    set_up = tryout_from(car, search.start).form.set_up
    soon = timezone.now() + timedelta(seconds=30)
    OptionSearch.objects.filter(pk=search.pk).update(busy_until=soon)
    assert not search_step(search=search, car=car, set_up=set_up)
    late = timezone.now() - timedelta(seconds=1)  # its process died
    OptionSearch.objects.filter(pk=search.pk).update(busy_until=late)
    assert search_step(search=search, car=car, set_up=set_up)


def test_steps_find_what_one_search_finds(
    rubbing: WorkOrder, writer: Any, monkeypatch: Any
) -> None:
    asked = {
        "may": ["camber_method", "camber", "spacer", "tyre"],
        "camber_from": -3.0,
        "camber_to": -1.5,
    }
    stepped = finished(make_search(rubbing, writer, **asked))
    monkeypatch.setattr(search_job, "TOGETHER", 1000)
    whole = finished(make_search(rubbing, writer, **asked))
    for aim in ("least change", "least cost", "most clearance"):
        one = [way["put"] for way in stepped.shown if aim in way["wins"]]
        other = [way["put"] for way in whole.shown if aim in way["wins"]]
        assert one == other
    assert stepped.candidates == whole.candidates


def test_the_budget_and_the_class_limit_what_is_offered(rubbing: WorkOrder, writer: Any) -> None:
    record = ClassRecord.objects.create(
        name="Saloon cup", season="2026", source="Book", dated="2026-01-01"
    )
    ClassRule.objects.create(record=record, kind="part_barred", item="spacer", wording="No spacers")
    ClassRule.objects.create(record=record, kind="camber_most", limit=-2.6, wording="Camber")
    WorkOrder.objects.filter(pk=rubbing.pk).update(class_record=record)
    rubbing.refresh_from_db()
    asked = {"may": ["camber_method", "camber", "spacer"], "camber_from": -3.4, "camber_to": -2.0}
    search = finished(make_search(rubbing, writer, **asked))
    for way in search.found:
        assert not way["put"]["spacer"]
        assert float(way["put"]["camber"]) >= -2.6
    assert any(why["code"] == "ruled-out.rule" and count for why, count in search.ruled_out)


def test_the_search_for_the_widest_tyre_is_won_by_width(writer: Any) -> None:
    order = make_ready_order()
    search = finished(
        make_search(
            order,
            writer,
            goal="widest",
            may=["camber_method", "sizes"],
            diameter_from=610.0,
            diameter_to=645.0,
        )
    )
    best = next(way for way in search.shown if "widest tyre" in way["wins"])
    assert best["width_mm"] == max(way["width_mm"] for way in search.found)
    if best["put"]["size"]:
        assert "option.nominal" in [told["code"] for told in best["cautions"]]


def test_what_was_ruled_out_can_be_opened(
    searched: OptionSearch, writer: Any, client_of: Any
) -> None:
    page = text(client_of(writer).get(searched.get_absolute_url()))
    assert "Rejected options" in page
    assert searched.ruled_out
    for line in ruled_out_text(searched.ruled_out):
        assert f"<li>{escape(line)}</li>" in page


def test_an_option_lies_on_the_tryout_beside_where_it_began(
    searched: OptionSearch, writer: Any, client_of: Any
) -> None:
    page = client_of(writer).get(searched.get_absolute_url())
    tryout = client_of(writer).get(page.context["options"][0]["tryout_url"])
    assert tryout.context["first"].verdict in ("clear", "tight")
    assert tryout.context["second"].verdict == "contact"


def test_a_car_model_is_searched_without_an_order(writer: Any, client_of: Any) -> None:
    order = make_ready_order(car_model=make_surveyed_car_model())
    car_model = order.vehicle.car_model
    row, plan = OrderWheels.objects.get(order=order), PlannedSetting.objects.get(order=order)
    query = {
        "car_model": car_model.pk,
        "axle": "front",
        "wheel": row.wheel_id,
        "tyre": row.tyre_id,
        "camber": plan.camber_deg,
        "by": plan.camber_by,
        "toe": plan.toe_deg,
    }
    browser = client_of(writer)
    page = browser.get(reverse("tryout"), query)
    answer = browser.post(page.context["options_url"], {"goal": "clear", "may": ["camber_method"]})
    assert answer.status_code == 302
    search = OptionSearch.objects.get(order=None)
    assert browser.get(answer.url).status_code == 200
    assert browser.post(reverse("options_step", args=[search.pk])).status_code == 302


def test_an_order_that_cannot_be_judged_is_led_to_the_tryout(writer: Any, client_of: Any) -> None:
    order = make_order(vehicle=make_vehicle(car_model=make_surveyed_car_model()))
    page = text(client_of(writer).get(reverse("order_options", args=[order.pk])))
    tryout = reverse("order_tryout", args=[order.pk])
    assert f'href="{tryout}">Open the try-out</a>' in page


def test_spacers_cost_what_the_shop_asks_for_them(rubbing: WorkOrder, writer: Any) -> None:
    Part.objects.create(number="SP", name="Spacer", kind="spacer", price="20.00")
    choices = options_space._spacers(5.0, True)
    assert [str(choice.price) for choice in choices if choice.mm == 3.0] == ["20.00"]


def test_few_rows_are_marked_best_first() -> None:
    def row(effort: float, slack: float, price: str | None, *kinds: str) -> dict[str, Any]:
        return {
            "put": {"n": f"{effort}"},
            "effort": effort,
            "slack_mm": slack,
            "width_mm": 250,
            "price": price,
            "changes": list(kinds),
            "fails": False,
        }

    rows = [
        row(3, 9, "10", "wheel"),
        row(1, 2, None, "camber_method"),
        row(2, 3, "5", "camber_method", "spacer"),
    ]
    shown = [
        r for r in few_of(rows, ("least change", "least cost", "most clearance"), 5) if r["shown"]
    ]
    assert [r["wins"] for r in shown] == [["least change"], ["least cost"], ["most clearance"]]
    assert ENQUIRY["goal"] == "clear"


def test_options_that_fail_a_mounting_check_stand_behind_those_that_fail_none() -> None:
    def row(effort: float, *, fails: bool) -> dict[str, Any]:
        return {
            "put": {"n": f"{effort}"},
            "effort": effort,
            "slack_mm": 10 - effort,
            "width_mm": 250,
            "price": f"{effort}",
            "changes": [f"{effort}"],
            "fails": fails,
        }

    aims = ("least change", "least cost", "most clearance")
    first, second = few_of([row(1, fails=True), row(2, fails=False)], aims, 5)
    assert first["wins"] == list(aims)
    assert second["shown"]
    assert second["wins"] == []
    (alone,) = few_of([row(1, fails=True)], aims, 5)
    assert alone["wins"] == list(aims)
