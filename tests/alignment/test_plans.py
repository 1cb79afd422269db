"""Planned settings: a camber names its means, and what was typed stays."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from alignment.models import PlannedSetting
from alignment.plans.panels import plan_answers
from alignment.plans.services.plans import AxlePlan, plan_save
from alignment.text.labels import plan_sentence
from alignment.text.refusals import NO_CAMBER, NO_CAMBER_METHOD
from shop.models import LogEntry, WorkOrder
from shop.site.refusals import Refused
from tests.alignment.factories import make_plan
from tests.factories import make_order, make_user

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture
def order() -> WorkOrder:
    return make_order()


@pytest.fixture
def send(writer: Any, client_of: Callable[[Any], Client], order: WorkOrder) -> Callable[..., Any]:
    browser = client_of(writer)

    def post(**values: Any) -> Any:
        base = {"toe_unit": "deg", "front_version": "0", "rear_version": "0"}
        return browser.post(reverse("plan_edit", args=[order.pk]), base | values)

    return post


def test_an_axle_is_planned_with_its_camber_method_and_adjusters(
    send: Callable[..., Any], order: WorkOrder
) -> None:
    answer = send(
        front_camber="-2,4",
        front_camber_by="lower_arm",
        front_toe="0°03'",
        front_ride_height_mm="-15",
        front_bump_stop_mm="10",
        front_notes="both sides alike",
    )
    assert answer.status_code == 302
    plan = PlannedSetting.objects.get(order=order)
    assert (plan.axle, plan.camber_deg, plan.camber_by) == ("front", -2.4, "lower_arm")
    assert plan.toe_deg == pytest.approx(0.05)
    assert plan.adjusters == {"ride_height_mm": -15.0, "bump_stop_mm": 10.0}
    assert plan.typed["toe"] == "0°03'"
    assert plan_sentence(plan) == (
        "Front: camber −2.40° by the lower arm, toe +0.05° per wheel, lowered by 15.0 mm, "
        "packer under the bump stop +10.0 mm."
    )
    assert LogEntry.objects.get(order=order, what="Planned settings changed").detail


def test_a_camber_without_a_method_is_refused_with_the_reason(send: Callable[..., Any]) -> None:
    answer = send(front_camber="-2.4", front_toe="0")
    assert answer.status_code == 422
    assert answer.context["form"].errors["front_camber_by"] == [NO_CAMBER_METHOD]
    assert 'value="-2.4"' in answer.content.decode()
    assert not PlannedSetting.objects.exists()


def test_a_method_without_a_camber_is_refused(send: Callable[..., Any]) -> None:
    errors = send(front_camber_by="top_mount", front_toe="0").context["form"].errors
    assert errors["front_camber"] == [NO_CAMBER]


def test_a_planned_axle_needs_its_toe_and_zero_is_a_toe(
    send: Callable[..., Any], order: WorkOrder
) -> None:
    assert "front_toe" in send(front_ride_height_mm="-15").context["form"].errors
    assert send(front_toe="0").status_code == 302
    assert PlannedSetting.objects.get(order=order).toe_deg == 0.0


def test_a_zero_change_of_height_is_stated_and_an_empty_one_is_not(
    send: Callable[..., Any], order: WorkOrder
) -> None:
    send(front_toe="0", front_ride_height_mm="0")
    assert PlannedSetting.objects.get(order=order).adjusters == {"ride_height_mm": 0.0}


def test_a_rod_that_sets_camber_needs_its_name(send: Callable[..., Any], order: WorkOrder) -> None:
    typed = {"rear_camber": "-1.5", "rear_camber_by": "rod", "rear_toe": "0.1"}
    assert "rear_camber_rod" in send(**typed).context["form"].errors
    assert send(**typed, rear_camber_rod="upper front").status_code == 302
    assert PlannedSetting.objects.get(order=order).camber_by == "rod:upper front"


def test_a_rod_named_beside_another_method_is_refused(send: Callable[..., Any]) -> None:
    answer = send(
        rear_camber="-1", rear_camber_by="top_mount", rear_camber_rod="upper front", rear_toe="0"
    )
    assert "rear_camber_rod" in answer.context["form"].errors


def test_rods_are_stated_one_a_line(send: Callable[..., Any], order: WorkOrder) -> None:
    send(rear_toe="0.1", rear_rods="upper front = -1.5\nlower rear: 2,25 mm")
    plan = PlannedSetting.objects.get(order=order)
    assert plan.adjusters == {"rods_mm": {"upper front": -1.5, "lower rear": 2.25}}


@pytest.mark.parametrize("typed", ["upper front", "a = 1\na = 2", "a = much"])
def test_a_rod_that_makes_no_sense_is_refused(send: Callable[..., Any], typed: str) -> None:
    assert "rear_rods" in send(rear_toe="0.1", rear_rods=typed).context["form"].errors


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"front_camber": "-13", "front_camber_by": "top_mount"}, "front_camber"),
        ({"front_camber": "2.5", "front_camber_by": "top_mount"}, "front_camber"),
        ({"front_toe": "5"}, "front_toe"),
        ({"front_ride_height_mm": "40"}, "front_ride_height_mm"),
        ({"front_ride_height_mm": "-150"}, "front_ride_height_mm"),
    ],
)
def test_an_unusual_plan_is_asked_about_and_taken_when_ticked(
    send: Callable[..., Any], values: dict[str, str], field: str
) -> None:
    values = {"front_toe": "0", **values}
    answer = send(**values)
    form = answer.context["form"]
    assert field in form.errors
    assert send(**values, accept=[q.key for q in form.questions]).status_code == 302


@pytest.mark.parametrize("name", ["front_bump_stop_mm", "front_camber_tolerance"])
def test_what_cannot_be_negative_is_refused(send: Callable[..., Any], name: str) -> None:
    assert name in send(front_toe="0", **{name: "-1"}).context["form"].errors


def test_an_emptied_axle_loses_its_plan(send: Callable[..., Any], order: WorkOrder) -> None:
    make_plan(order)
    assert send(front_version="1").status_code == 302
    assert not PlannedSetting.objects.exists()
    assert "plan removed" in LogEntry.objects.get(order=order).detail


def test_the_page_shows_what_was_typed_before(
    writer: Any, client_of: Callable[[Any], Client], order: WorkOrder
) -> None:
    make_plan(order, typed={"camber": "2,4 neg", "toe": "0°03'"})
    page = client_of(writer).get(reverse("plan_edit", args=[order.pk])).content.decode()
    assert 'value="2,4 neg"' in page


def test_planning_settings_makes_an_order_one_that_needs_a_check() -> None:
    order = make_order(moves_wheel_or_height=False)
    plan_save(order=order, by=make_user("writer"), axles={"front": AxlePlan(toe_deg=0.0)})
    order.refresh_from_db()
    assert order.moves_wheel_or_height


def test_a_closed_orders_plan_stays_as_it_was() -> None:
    order = make_order(state="handed_over")
    with pytest.raises(Refused, match="closed"):
        plan_save(order=order, by=make_user("writer"), axles={"front": AxlePlan(toe_deg=0.0)})


def test_the_service_refuses_a_camber_without_a_method_too(order: WorkOrder) -> None:
    with pytest.raises(Refused, match="Choose how camber is set"):
        plan_save(
            order=order,
            by=make_user("writer"),
            axles={"front": AxlePlan(toe_deg=0.0, camber_deg=-1.0)},
        )


@pytest.mark.parametrize(
    "values", [{"camber_by": ""}, {"toe_deg": 120.0}, {"toe_tolerance_deg": -0.1}]
)
def test_the_database_refuses_what_no_form_would_send(
    order: WorkOrder, values: dict[str, Any]
) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make_plan(order, **values)


def test_the_order_says_the_plan_in_words(rf: Any, writer: Any, order: WorkOrder) -> None:
    make_plan(order)
    request = rf.get("/")
    request.user = writer
    (answer,) = plan_answers(request, order)
    assert "camber −2.40° by the lower arm, toe +0.05° per wheel." in answer.words
    assert [link.url for link in answer.links] == [reverse("plan_edit", args=[order.pk])]


def test_a_survey_visit_has_no_plan_to_show(rf: Any, writer: Any) -> None:
    request = rf.get("/")
    request.user = writer
    assert plan_answers(request, make_order(kind="survey_visit")) == []


def test_the_page_of_the_plan_shows_what_the_customer_asked_for(
    writer: Any, client_of: Callable[[Any], Client]
) -> None:
    order = make_order(request_text="Lower, but <quiet> on the way to work")
    page = client_of(writer).get(reverse("plan_edit", args=[order.pk])).content.decode()
    assert "Customer request: Lower, but &lt;quiet&gt; on the way to work" in page
    order.request_text = ""
    order.save()
    page = client_of(writer).get(reverse("plan_edit", args=[order.pk])).content.decode()
    assert "Customer request" not in page
