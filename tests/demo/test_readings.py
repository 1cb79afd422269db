"""The demonstration's readings are such as a technician would believe."""

from __future__ import annotations

from typing import Any

import pytest

from alignment.fields.plausibility import questions_about
from alignment.geometry.units import Understood
from alignment.models import PlannedSetting, RackVisit, Stage
from alignment.visits.services.derived_quantities import included_angles
from tests.alignment.factories import comparison_of

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def test_the_story_begins_with_camber_from_the_lower_arm(stage: dict[str, Any]) -> None:
    plan = PlannedSetting.objects.get(order=stage["orders"]["story"], axle="front")
    assert (plan.camber_deg, plan.camber_by) == (-1.7, "lower_arm")


def test_the_car_handed_over_was_read_before_and_after(stage: dict[str, Any]) -> None:
    table = comparison_of(stage["orders"]["handed_over"])
    assert table.before is not None
    assert table.after is not None
    assert table.after.stage == Stage.AFTER
    assert table.before.at < table.after.at
    assert table.out_of_tolerance == []


def test_adjusting_leaves_the_included_angle_alone(stage: dict[str, Any]) -> None:
    before, after = RackVisit.objects.filter(order=stage["orders"]["handed_over"])
    old, new = included_angles(before), included_angles(after)
    assert set(old) == {"LF", "RF"}
    for corner, angle in old.items():
        assert new[corner] == pytest.approx(angle, abs=0.1)


def test_no_reading_of_the_demo_would_be_asked_about(stage: dict[str, Any]) -> None:
    for visit in RackVisit.objects.with_numbers():
        read = {
            (r.corner, r.quantity): Understood(r.typed, r.value, r.unit)
            for r in visit.readings.all()
        }
        assert questions_about(read) == []
