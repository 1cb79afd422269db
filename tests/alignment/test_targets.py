"""Target sheets: their form, their versions, and orders that are planned from them."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from alignment.models import OrderTarget, PlannedSetting, TargetSheet
from alignment.plans.services.order_targets import aims_of
from alignment.plans.services.plans import AxlePlan, plan_save
from alignment.targets.forms import TargetForm
from alignment.targets.services import target_take
from shop.models import LogEntry
from shop.site.refusals import Refused
from tests.alignment.factories import comparison_of, make_plan, make_target, make_visit
from tests.factories import make_car_model, make_order, make_user

pytestmark = pytest.mark.django_db

FIGURES = {
    ("front", "camber"): (-1.5, 0.1),
    ("front", "toe"): (0.05, 0.03),
    ("rear", "toe"): (0.12, 0.05),
}


def typed(**values: str) -> dict[str, str]:
    return {
        "use": "street",
        "kind": "maker",
        "source": "workshop book, page 12",
        "dated": "2026-03-01",
        "toe_unit": "deg",
        **values,
    }


def form_of(**values: str) -> TargetForm:
    form = TargetForm(typed(**values))
    assert form.is_valid(), form.errors
    return form


def test_what_is_left_empty_follows_from_the_left_side() -> None:
    (toe,) = form_of(front_toe_left="0°06'").figures
    assert (toe.left, toe.right) == pytest.approx((0.1, 0.1))
    assert toe.cross == pytest.approx(0.2)
    assert (toe.left_tolerance, toe.right_tolerance) == (0.03, 0.03)
    assert toe.cross_tolerance is None
    (camber,) = form_of(front_camber_left="-1.5", front_camber_right="1.25 neg").figures
    assert camber.cross == pytest.approx(-0.25)


def test_every_tolerance_can_be_its_own_and_zero_is_one() -> None:
    (camber,) = form_of(
        front_camber_left="-1",
        front_camber_left_tolerance="0.5",
        front_camber_right_tolerance="0.4",
        front_camber_cross_tolerance="0",
    ).figures
    assert (camber.left_tolerance, camber.right_tolerance, camber.cross_tolerance) == (0.5, 0.4, 0)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({}, "__all__", "at least one figure"),
        ({"front_camber_right": "-1"}, "front_camber_left", "left figure too"),
        ({"front_camber_left": "1/2 mm"}, "front_camber_left", "length"),
        (
            {"front_toe_left": "0.1", "front_toe_cross": "0.3"},
            "front_toe_cross",
            "add up to +0.20°",
        ),
        (
            {"front_toe_left": "0.1", "front_toe_left_tolerance": "-0.1"},
            "front_toe_left_tolerance",
            "zero or more",
        ),
        ({"front_toe_left": "1.5 mm"}, "front_toe_left", "diameter"),
    ],
)
def test_a_senseless_figure_is_refused_at_its_field(
    values: dict[str, str], field: str, words: str
) -> None:
    form = TargetForm(typed(**values))
    assert not form.is_valid()
    assert words in str(form.errors[field])


def test_a_change_is_a_new_version_and_the_old_one_stays(client_of: Any, technician: Any) -> None:
    car_model = make_car_model()
    browser = client_of(technician)
    answer = browser.post(reverse("target_new", args=[car_model.pk]), typed(front_toe_left="0.1"))
    first = TargetSheet.objects.get()
    assert answer.url == first.get_absolute_url()
    assert first.version == 1
    changed = typed(front_toe_left="0.2", use="track", source="page 13")
    browser.post(reverse("target_edit", args=[first.pk]), changed)
    second, again = TargetSheet.objects.order_by("-version")
    assert (second.version, second.use, second.source) == (2, "street", "page 13")
    assert again.pk == first.pk
    assert again.figures.get().left == pytest.approx(0.1)
    assert list(TargetSheet.objects.current()) == [second]
    page = browser.get(first.get_absolute_url()).content.decode()
    assert 'data-test="replaced"' in page
    listed = browser.get(reverse("target_list", args=[car_model.pk])).content.decode()
    assert "version 1" in listed
    assert "version 2" in listed


def test_uses_and_kinds_count_their_versions_apart() -> None:
    car_model = make_car_model()
    for use, kind, version in (
        ("street", "shop", 1),
        ("street", "shop", 2),
        ("track", "shop", 1),
        ("street", "maker", 1),
    ):
        assert make_target(car_model=car_model, use=use, kind=kind).version == version
    assert TargetSheet.objects.current().count() == 3


def taken_by(order: Any, **values: Any) -> TargetSheet:
    sheet = make_target(FIGURES, car_model=order.vehicle.car_model, **values)
    target_take(order=order, sheet=sheet, by=make_user("writer"))
    return sheet


def test_one_press_plans_an_order_from_a_sheet(client_of: Any, writer: Any) -> None:
    order = make_order()
    sheet = make_target(FIGURES, car_model=order.vehicle.car_model)
    answer = client_of(writer).post(
        reverse("target_take", args=[order.pk]), {"sheet": sheet.pk}, follow=True
    )
    front, rear = PlannedSetting.objects.filter(order=order)
    assert (front.camber_deg, front.camber_by) == (-1.5, "top_mount")
    assert (front.toe_deg, rear.toe_deg) == pytest.approx((0.05, 0.12))
    assert front.typed["camber"] == "-1.5"
    assert order.target.sheet == sheet
    assert "shop&#x27;s targets, version 1" in answer.content.decode()
    assert "not in the plan yet" not in answer.content.decode()
    assert f'<option value="{sheet.pk}" selected>' in answer.content.decode()
    assert LogEntry.objects.filter(order=order, what="Planned from a target sheet").exists()


def test_a_sheet_without_a_camber_method_keeps_the_planned_one() -> None:
    order = make_order()
    make_plan(order, camber_by="lower_arm", adjusters={"ride_height_mm": -15})
    taken_by(order, camber_by={})
    plan = PlannedSetting.objects.get(order=order, axle="front")
    assert (plan.camber_deg, plan.camber_by) == (-1.5, "lower_arm")
    assert plan.adjusters == {"ride_height_mm": -15}


def test_a_camber_that_nothing_named_can_set_is_a_target_only() -> None:
    order = make_order()
    sheet = taken_by(order, camber_by={})
    plans = list(PlannedSetting.objects.filter(order=order))
    assert plans[0].camber_deg is None
    assert aims_of(plans, sheet)["front", "camber"].left == -1.5


def test_a_plan_that_differs_has_to_say_why_and_says_it_on(client_of: Any, writer: Any) -> None:
    order = make_order()
    taken_by(order)
    browser = client_of(writer)
    url = reverse("plan_edit", args=[order.pk])
    values = {
        "toe_unit": "deg",
        "front_camber": "-2.0",
        "front_camber_by": "top_mount",
        "front_toe": "0.05",
        "front_version": "1",
        "rear_toe": "0.12",
        "rear_version": "1",
    }
    answer = browser.post(url, values)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "Front axle: camber −2.00° instead of −1.50°." in page
    assert PlannedSetting.objects.get(order=order, axle="front").camber_deg == -1.5
    answer = browser.post(url, {**values, "why": "The customer races on it"})
    assert answer.status_code == 302
    assert OrderTarget.objects.get().reason == "The customer races on it"
    assert (
        "Differs: The customer races on it"
        in browser.get(order.get_absolute_url()).content.decode()
    )


def test_a_plan_that_is_the_sheets_again_forgets_its_reason() -> None:
    order, by = make_order(), make_user("writer")
    taken_by(order)
    other = AxlePlan(toe_deg=0.2, camber_deg=-1.5, camber_by="top_mount")
    with pytest.raises(Refused, match="Enter the reason"):
        plan_save(order=order, by=by, axles={"front": other})
    plan_save(order=order, by=by, axles={"front": other}, why="Worn bushes")
    assert OrderTarget.objects.get().reason == "Worn bushes"
    plan_save(order=order, by=by, axles={"front": other})
    assert OrderTarget.objects.get().reason == "Worn bushes"
    again = AxlePlan(toe_deg=0.05, camber_deg=-1.5, camber_by="top_mount")
    plan_save(order=order, by=by, axles={"front": again})
    assert OrderTarget.objects.get().reason == ""


def test_an_order_keeps_the_version_that_it_was_planned_from(client_of: Any, writer: Any) -> None:
    order = make_order()
    sheet = taken_by(order)
    make_target({("front", "toe"): (0.3, 0.03)}, car_model=sheet.car_model)
    order.refresh_from_db()
    assert order.target.sheet == sheet
    page = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert "Version 2 is newer; this order keeps its own." in page


def test_a_sheet_of_another_car_model_or_a_closed_order_is_refused() -> None:
    by = make_user("writer")
    with pytest.raises(Refused, match="another car model"):
        target_take(order=make_order(), sheet=make_target(), by=by)
    order = make_order(state="handed_over")
    sheet = make_target(car_model=order.vehicle.car_model)
    with pytest.raises(Refused, match="closed"):
        target_take(order=order, sheet=sheet, by=by)


def test_a_camber_out_of_reach_is_named(client_of: Any, writer: Any) -> None:
    order = make_order()
    sheet = make_target(FIGURES, car_model=order.vehicle.car_model)
    TargetSheet.objects.filter(pk=sheet.pk).update(camber_by={})
    answer = client_of(writer).post(
        reverse("target_take", args=[order.pk]), {"sheet": sheet.pk}, follow=True
    )
    assert order.planned_settings.get(axle="front").camber_deg is None
    assert "not in the plan yet: front axle −1.50°" in answer.content.decode()


def test_left_right_and_both_are_judged_by_their_own_tolerances() -> None:
    order = make_order()
    sheet = make_target(FIGURES, car_model=order.vehicle.car_model)
    figure = sheet.figures.get(axle="front", quantity="camber")
    figure.left, figure.right, figure.cross = -1.25, -1.75, 0.5
    figure.right_tolerance, figure.cross_tolerance = 0.3, 0.1
    figure.save()
    target_take(order=order, sheet=TargetSheet.objects.get(), by=make_user("writer"))
    numbers = {("LF", "camber"): "-1.20", ("RF", "camber"): "-1.55"}
    make_visit(order, numbers, stage="after", accuracy_deg=0.01)
    (axle, *_) = comparison_of(order).axles
    rows = {row.side: row for row in axle.groups[0].rows}
    assert (rows["left"].target, rows["right"].target, rows["cross"].target) == (-1.25, -1.75, 0.5)
    assert not rows["left"].off.is_out
    assert not rows["right"].off.is_out
    assert rows["cross"].off.is_out


def test_a_height_is_judged_in_millimetres() -> None:
    order = make_order()
    sheet = make_target(
        {**FIGURES, ("front", "ride_height"): (350, 5)}, car_model=order.vehicle.car_model
    )
    target_take(order=order, sheet=sheet, by=make_user("writer"))
    make_visit(order, {("LF", "ride_height"): "342"}, stage="after")
    comparison = comparison_of(order)
    assert any("−8 mm, 3 mm beyond ±5 mm" in line for line in comparison.out_of_tolerance)
