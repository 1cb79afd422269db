"""Two people with one thing open: the second is told, and nothing is overwritten unseen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from alignment.geometry.units import parse_angle
from alignment.models import PlannedSetting, RackVisit, Reading
from alignment.plans.services.edit_conflict import SavedMeanwhile
from alignment.plans.services.plans import AxlePlan, plan_save
from alignment.visits.services.visits import visit_save
from shop.models import LogEntry
from tests.alignment.factories import make_plan, make_visit
from tests.factories import make_order, make_user

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def page_of(visit: RackVisit, **typed: str) -> dict[str, str]:
    return {
        "stage": visit.stage,
        "toe_unit": "deg",
        "toe_reference": "thrust",
        "version": "1",
        "entry_key": str(visit.entry_key),
        **typed,
    }


def test_the_second_to_save_a_visit_sees_what_the_first_saved(
    technician: Any, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    visit = make_visit(numbers={("LF", "camber"): "-1.0"})
    url = reverse("visit_edit", args=[visit.pk])
    first, second = client_of(technician), client_of(manager)
    assert first.post(url, page_of(visit, camber_LF="-1.1")).status_code == 302

    answer = second.post(url, page_of(visit, camber_LF="-1.2"))
    assert answer.status_code == 422
    assert Reading.objects.get().value == -1.1
    form = answer.context["form"]
    assert form.theirs == [("Camber, front left", "-1.1", "-1.2")]
    page = answer.content.decode()
    assert technician.display_name in page
    assert 'value="-1.2"' in page

    sure = second.post(url, page_of(visit, camber_LF="-1.2") | {"version": "2"})
    assert sure.status_code == 302
    assert Reading.objects.get().value == -1.2
    said = " ".join(LogEntry.objects.values_list("detail", flat=True))
    assert "−1.00° → −1.10°" in said
    assert "−1.10° → −1.20°" in said


def test_the_version_shown_after_a_conflict_is_the_one_that_stands(
    technician: Any, client_of: Callable[[Any], Client]
) -> None:
    visit = make_visit(numbers={("LF", "camber"): "-1.0"}, version=5)
    answer = client_of(technician).post(
        reverse("visit_edit", args=[visit.pk]), page_of(visit, camber_LF="-1.2")
    )
    assert 'name="version" value="5"' in answer.content.decode()


def test_saving_what_is_already_there_is_no_conflict_and_no_entry() -> None:
    visit = make_visit(numbers={("LF", "camber"): "-1.0"}, version=3)
    saved = visit_save(
        order=visit.order,
        by=make_user(),
        conditions={},
        readings={("LF", "camber"): parse_angle("-1.0")},
        visit=visit,
        version=1,
    )
    assert saved.version == 3
    assert not LogEntry.objects.exists()


def test_a_plan_saved_meanwhile_is_not_overwritten() -> None:
    order = make_order()
    make_plan(order, version=2)
    wanted = {"front": AxlePlan(toe_deg=0.1), "rear": None}
    with pytest.raises(SavedMeanwhile):
        plan_save(order=order, by=make_user(), axles=wanted, versions={"front": 1, "rear": 0})
    assert PlannedSetting.objects.get().toe_deg == 0.05
    plan_save(order=order, by=make_user(), axles=wanted, versions={"front": 2, "rear": 0})
    assert PlannedSetting.objects.get().toe_deg == 0.1


def test_a_plan_that_appeared_meanwhile_is_shown_beside_ones_own(
    writer: Any, client_of: Callable[[Any], Client]
) -> None:
    order = make_order()
    make_plan(order, saved_by=make_user(display_name="Somebody else"))
    answer = client_of(writer).post(
        reverse("plan_edit", args=[order.pk]),
        {"toe_unit": "deg", "front_version": "0", "rear_version": "0", "front_toe": "0.10"},
    )
    assert answer.status_code == 422
    form = answer.context["form"]
    assert ("Toe per wheel, front axle", "0.05", "0.10") in form.theirs
    assert ("Camber, front axle", "-2.4", "empty") in form.theirs
    assert "Somebody else" in answer.content.decode()
    assert form["front_version"].value() == "1"
