"""Options on the page: asked within limits, searched in steps, tried and put on the order."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.urls import reverse
from django.utils.html import escape

from alignment.models import PlannedSetting
from fitment.clearance.services import check_run
from fitment.engine.search.model import NOT_LOOKED_AT
from fitment.job.car import car_of_order
from fitment.models import OptionSearch, OrderWheels, TyreModel
from fitment.text.options import ruled_out_text
from fitment.tryout import search_job
from fitment.tryout import space as options_space
from fitment.tryout.options_page import tryout_from
from fitment.tryout.search_job import search_work
from fitment.tryout.services.results import few_of
from shop.background.services import task_cancel
from shop.models import ClassRecord, ClassRule, Part, WorkOrder
from tests.factories import make_car_model, make_order, make_user, make_vehicle
from tests.fitment.factories import (
    make_ready_order,
    make_rubbing_order,
    make_surveyed_car_model,
    make_tyre,
)
from tests.fitment.searches import ENQUIRY, Stopping, done_search, make_search
from tests.tasks import run_tasks

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
        return done_search(a_rubbing_order(), make_user("writer")).pk


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


def test_a_page_says_how_far_a_search_is_and_asks_again(
    rubbing: WorkOrder, writer: Any, client_of: Any
) -> None:
    search = make_search(rubbing, writer)
    browser = client_of(writer)
    page = text(browser.get(search.get_absolute_url()))
    assert "Waiting to begin." in page
    assert f'<a class="btn" href="{search.get_absolute_url()}">Reload</a>' in page
    part = text(browser.get(search.get_absolute_url(), headers=HTMX))
    assert "<html" not in part
    assert f'hx-get="{search.get_absolute_url()}" hx-trigger="load delay:1s"' in part
    assert run_tasks() == 1
    part = text(browser.get(search.get_absolute_url(), headers=HTMX))
    assert "hx-trigger" not in part
    assert "out of" in part
    search.refresh_from_db()
    assert search.is_complete


def test_a_search_that_is_cancelled_keeps_what_it_found(
    rubbing: WorkOrder, writer: Any, client_of: Any
) -> None:
    search = make_search(rubbing, writer, may=["camber_method", "packer", "height", "spacer"])
    work = Stopping(search.pk, after_parts=4)
    car = car_of_order(rubbing)
    set_up = tryout_from(car, search.start).form.set_up
    search_work(search=search, car=car, set_up=set_up, work=work)
    search.refresh_from_db()
    assert search.done == 4 * search_job.TOGETHER
    assert search.stopped
    assert search.found
    looked_at = sum(count for why, count in search.ruled_out if why["code"] != NOT_LOOKED_AT)
    assert looked_at < search.candidates
    task_cancel(task=search.task)
    page = text(client_of(writer).get(search.get_absolute_url()))
    assert "Stopped after" in page
    assert run_tasks() == 0


def test_steps_find_what_one_search_finds(
    rubbing: WorkOrder, writer: Any, monkeypatch: Any
) -> None:
    asked = {
        "may": ["camber_method", "camber", "spacer", "tyre"],
        "camber_from": -3.0,
        "camber_to": -1.5,
    }
    stepped = done_search(rubbing, writer, **asked)
    monkeypatch.setattr(search_job, "TOGETHER", 1000)
    whole = done_search(rubbing, writer, **asked)
    for aim in ("least change", "least cost", "most clearance"):
        one = [way["put"] for way in stepped.shown if aim in way["wins"]]
        other = [way["put"] for way in whole.shown if aim in way["wins"]]
        assert one == other
    assert stepped.candidates == whole.candidates


def test_a_tyre_stands_in_the_search_however_many_stand_before_it(writer: Any) -> None:
    """Two hundred tyres of another rim, and of smaller text, before the one that is wanted."""
    order = make_rubbing_order()
    TyreModel.objects.bulk_create(
        TyreModel(name=f"Other {n}", size="155/80R13", rim_min_in=4.0, rim_max_in=5.5)
        for n in range(200)
    )
    wanted = make_tyre(name="Wanted", section_width_mm=238, price="90.00")
    search = done_search(order, writer, may=["camber_method", "spacer", "tyre"])
    assert str(wanted.pk) in {way["put"]["tyre"] for way in search.shown}
    fell = {why["code"]: count for why, count in search.ruled_out}
    assert fell["ruled-out.rim-diameter"] >= 200
    assert search.cleared + sum(fell_of(search)) == search.candidates


def fell_of(search: OptionSearch) -> list[int]:
    return [count for _, count in search.ruled_out]


def test_a_tyre_whose_rims_nobody_recorded_is_judged_by_the_standard_or_not_offered(
    rubbing: WorkOrder, writer: Any
) -> None:
    worn = OrderWheels.objects.get(order=rubbing, axle="front")
    rim = f"R{worn.wheel.diameter_in:g}"
    TyreModel.objects.filter(orders=None).delete()
    for name, size in (("Far too wide", f"335/30{rim}"), ("Not in the table", f"305/20{rim}")):
        make_tyre(
            name=name,
            size=size,
            rim_min_in=None,
            rim_max_in=None,
            section_width_mm=None,
            overall_diameter_mm=None,
        )
    search = done_search(rubbing, writer, goal="widest", may=["tyre"])
    codes = {why["code"]: count for why, count in search.ruled_out}
    assert codes["ruled-out.rim-width"] == search.settings
    assert codes["ruled-out.rim-unknown"] == search.settings
    assert all(way["put"]["tyre"] in ("", str(worn.tyre_id)) for way in search.found)


def test_the_budget_and_the_class_limit_what_is_offered(rubbing: WorkOrder, writer: Any) -> None:
    record = ClassRecord.objects.create(
        name="Saloon cup", season="2026", source="Book", dated="2026-01-01"
    )
    ClassRule.objects.create(record=record, kind="part_barred", item="spacer", wording="No spacers")
    ClassRule.objects.create(record=record, kind="camber_most", limit=-2.6, wording="Camber")
    WorkOrder.objects.filter(pk=rubbing.pk).update(class_record=record)
    rubbing.refresh_from_db()
    asked = {"may": ["camber_method", "camber", "spacer"], "camber_from": -3.5, "camber_to": -2.0}
    search = done_search(rubbing, writer, **asked)
    for way in search.found:
        assert not way["put"]["spacer"]
        assert float(way["put"]["camber"]) >= -2.6
    assert any(why["code"] == "ruled-out.rule" and count for why, count in search.ruled_out)


def test_the_search_for_the_widest_tyre_is_won_by_width(writer: Any) -> None:
    order = make_ready_order()
    search = done_search(
        order,
        writer,
        goal="widest",
        may=["camber_method", "sizes"],
        diameter_from=610.0,
        diameter_to=645.0,
    )
    best = next(way for way in search.shown if "widest tyre" in way["wins"])
    assert best["width_mm"] == max(way["width_mm"] for way in search.found)
    if not best["put"]["tyre"].isdigit():
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
    assert run_tasks() == 1
    search.refresh_from_db()
    assert search.is_complete


def test_an_order_that_cannot_be_judged_is_led_to_the_tryout(writer: Any, client_of: Any) -> None:
    order = make_order(vehicle=make_vehicle(car_model=make_car_model()))
    page = text(client_of(writer).get(reverse("order_options", args=[order.pk])))
    tryout = reverse("order_tryout", args=[order.pk])
    assert f'href="{tryout}">Open the try-out</a>' in page


def test_spacers_cost_what_the_shop_asks_for_them(rubbing: WorkOrder, writer: Any) -> None:
    Part.objects.create(number="SP", name="Spacer", kind="spacer", price="20.00")
    choices = options_space._spacers(5.0, True)
    assert [str(choice.price) for choice in choices if choice.mm == 3.0] == ["20.00"]


def a_row(effort: float, kinds: list[str], *, fails: bool = False, **ranks: Any) -> dict[str, Any]:
    named = {name.replace("_", " "): rank for name, rank in ranks.items()}
    return {"put": {"n": f"{effort}"}, "changes": kinds, "fails": fails, "ranks": named}


def test_few_rows_are_marked_best_first() -> None:
    rows = [
        a_row(3, ["wheel"], least_change=[2, 10, 3], least_cost=[10, 2, 3], most_clearance=[-9]),
        a_row(1, ["camber_method"], least_change=[1, None, 1], most_clearance=[-2]),
        a_row(
            2,
            ["camber_method", "spacer"],
            least_change=[2, 5, 2],
            least_cost=[5, 2, 2],
            most_clearance=[-3],
        ),
    ]
    shown = [
        r for r in few_of(rows, ("least change", "least cost", "most clearance"), 5) if r["shown"]
    ]
    assert [r["wins"] for r in shown] == [["least change"], ["least cost"], ["most clearance"]]
    assert ENQUIRY["goal"] == "clear"


def test_options_that_fail_a_mounting_check_stand_behind_those_that_fail_none() -> None:
    aims = ("least change", "most clearance")

    def row(effort: float, *, fails: bool) -> dict[str, Any]:
        ranks = {"least_change": [1, None, effort], "most_clearance": [effort - 10]}
        return a_row(effort, [f"kind {effort}"], fails=fails, **ranks)

    rows = [*(row(n, fails=True) for n in range(9)), *(row(n, fails=False) for n in range(20, 25))]
    shown = [one for one in few_of(rows, aims, 5) if one["shown"]]
    assert [one["fails"] for one in shown] == [False] * 5 + [True] * 5
    assert shown[0]["wins"] == list(aims)
    assert not any(one["wins"] for one in shown if one["fails"])
    (alone,) = few_of([row(1, fails=True)], aims, 5)
    assert alone["wins"] == list(aims)
