"""Two savings of one visit at the same moment: one stands, the other is told."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from alignment.adjustments.accept import adjustments_accept, versions_of
from alignment.adjustments.page import adjustments_page, taken_of
from alignment.geometry.units import parse_angle
from alignment.models import AcceptedAdjustments, RackVisit, Reading
from alignment.plans.services.edit_conflict import SavedMeanwhile
from alignment.visits.forms import VisitForm
from alignment.visits.services.visits import visit_save
from shop.models import LogEntry, User, WorkOrder
from tests.alignment.adjustments_orders import an_order
from tests.alignment.factories import make_visit
from tests.factories import make_user

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

PEOPLE = 6


def test_of_many_who_save_one_visit_at_once_exactly_one_wins() -> None:
    visit = make_visit(numbers={("LF", "camber"): "-1.0"})
    by = User.objects.get(pk=visit.technician_id)
    together = Barrier(PEOPLE)

    def save(number: int) -> str:
        try:
            mine = RackVisit.objects.select_related("order").get(pk=visit.pk)
            together.wait(timeout=10)
            typed = f"-1.{number + 1}"
            reading = {("LF", "camber"): parse_angle(typed)}
            visit_save(
                order=mine.order, by=by, conditions={}, readings=reading, visit=mine, version=1
            )
        except SavedMeanwhile:
            return ""
        else:
            return typed
        finally:
            connection.close()

    with ThreadPoolExecutor(PEOPLE) as pool:
        won = [typed for typed in pool.map(save, range(PEOPLE)) if typed]
    assert len(won) == 1
    assert Reading.objects.get(visit=visit).typed == won[0]
    visit.refresh_from_db()
    assert visit.version == 2


def test_many_who_each_change_one_field_at_once_lose_nothing() -> None:
    corners = ("LF", "RF", "LR", "RR")
    visit = make_visit(numbers={(corner, "camber"): "-1.0" for corner in corners})
    order = WorkOrder.objects.get(pk=visit.order_id)
    form = VisitForm(order=order, visit=RackVisit.objects.with_numbers().get(pk=visit.pk))
    texts = form.texts()
    base, url = form["base"].value(), reverse("visit_edit", args=[visit.pk])
    people = [make_user("technician", username=f"race{n}") for n in range(len(corners))]
    together = Barrier(len(corners))

    def save(number: int) -> int:
        try:
            client = Client()
            client.force_login(people[number], "django.contrib.auth.backends.ModelBackend")
            field = f"camber_{corners[number]}"
            mine = {**texts, field: f"-1.{number + 1}", "base": base, "version": "1"}
            mine = {name: text for name, text in mine.items() if text and ":" not in name}
            together.wait(timeout=10)
            return int(client.post(url, mine).status_code)
        finally:
            connection.close()

    with ThreadPoolExecutor(len(corners)) as pool:
        answers = list(pool.map(save, range(len(corners))))
    assert answers == [302] * len(corners)
    values = RackVisit.objects.get(pk=visit.pk).values()
    assert values == {(c, "camber"): float(f"-1.{n + 1}") for n, c in enumerate(corners)}


def test_moves_that_many_accept_at_once_are_kept_once() -> None:
    order, by = an_order(), make_user("technician")
    versions, pages = versions_of(order), adjustments_page(order)
    together = Barrier(PEOPLE)

    def accept(_: int) -> int:
        try:
            together.wait(timeout=10)
            taken = [taken_of(page, "0") for page in pages]
            return len(adjustments_accept(order=order, by=by, taken=taken, versions=versions))
        finally:
            connection.close()

    with ThreadPoolExecutor(PEOPLE) as pool:
        kept = sorted(pool.map(accept, range(PEOPLE)))
    assert kept == [0] * (PEOPLE - 1) + [2]
    assert AcceptedAdjustments.objects.filter(order=order).count() == 2
    assert LogEntry.objects.filter(order=order, what="Adjustments accepted").count() == 1
