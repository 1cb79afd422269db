"""Two savings of one visit at the same moment: one stands, the other is told."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection

from alignment.geometry.units import parse_angle
from alignment.models import RackVisit, Reading
from alignment.services.meanwhile import SavedMeanwhile
from alignment.services.visits import visit_save
from shop.models import User
from tests.alignment.factories import make_visit

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
