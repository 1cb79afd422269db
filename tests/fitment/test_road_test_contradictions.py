"""A road test beside the clearance check: contradictions are judged before it is kept."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from fitment.clearance.road_test import road_test_against_check
from fitment.clearance.services import check_run
from fitment.engine import checkfile
from fitment.engine.model import SpotAnswer
from shop.models import ContactMark, RoadTest, WorkOrder
from shop.models.work import Wrong
from shop.site.refusals import Refused
from shop.work.services import road_test_add
from tests.factories import make_order, make_user
from tests.fitment.factories import make_ready_order, make_rubbing_order

pytestmark = pytest.mark.django_db

QUIET = {"lock_left": "quiet", "lock_right": "quiet", "dip": "quiet", "loaded": "not_done"}
TOUCHED = QUIET | {"dip": "touched"}


def on_road_test(order: WorkOrder) -> WorkOrder:
    check_run(order=order, by=None)
    WorkOrder.objects.filter(pk=order.pk).update(state="road_test")
    order.refresh_from_db()
    return order


def spot_of(order: WorkOrder, verdict: str) -> SpotAnswer:
    answer = checkfile.answer_load(order.clearance_checks.get().answer)
    return next(spot for spot in answer.corners["LF"].places if spot.verdict == verdict)


def mark(place: str, **values: Any) -> dict[str, Any]:
    return {"corner": "LF", "place": place, "contact": True, "gap_mm": None, "note": "", **values}


def posted(values: dict[str, str], *marks: dict[str, Any], **more: str) -> dict[str, str]:
    sent = {**values, "marks-TOTAL_FORMS": "4", "marks-INITIAL_FORMS": "0", **more}
    for number, one in enumerate(marks):
        sent |= {f"marks-{number}-{name}": str(one[name]) for name in ("corner", "place")}
        if one["contact"]:
            sent[f"marks-{number}-contact"] = "on"
        else:
            sent[f"marks-{number}-gap_mm"] = str(one["gap_mm"])
    return sent


def test_contact_predicted_and_none_found_is_asked_before_it_is_saved(
    client_of: Any, technician: Any
) -> None:
    order = on_road_test(make_rubbing_order())
    spot = spot_of(order, "contact")
    url, browser = reverse("road_test", args=[order.pk]), client_of(technician)
    answer = browser.post(url, posted(QUIET, notes="wet road"))
    text = answer.content.decode()
    assert not RoadTest.objects.exists()
    assert 'data-test="contradiction"' in text
    assert any(spot.place in sentence for sentence in answer.context["settle"].sentences)
    assert "wet road" in text
    assert all(f'value="{choice}"' in text for choice in Wrong.values)
    seen = answer.context["settle"].key
    judged = {"settle-seen": seen, "settle-wrong": "survey", "settle-wrong_note": "lip read at 0°"}
    assert browser.post(url, posted(QUIET, **judged)).status_code == 302
    test = RoadTest.objects.get()
    assert (test.wrong, test.wrong_note) == ("survey", "lip read at 0°")
    assert spot.place in test.contradiction
    entry = order.log.get(what="Road test contradicts the clearance check")
    assert "lip read at 0°" in entry.detail
    page = browser.get(reverse("order", args=[order.pk])).content.decode()
    assert str(Wrong.SURVEY.label) in page


def test_a_judgement_holds_for_what_was_shown_only(client_of: Any, technician: Any) -> None:
    order = on_road_test(make_rubbing_order())
    url, browser = reverse("road_test", args=[order.pk]), client_of(technician)
    judged = {"settle-seen": "another", "settle-wrong": "survey"}
    assert browser.post(url, posted(QUIET, **judged)).status_code == 200
    assert not RoadTest.objects.exists()


def test_contact_where_the_check_says_clear_is_asked() -> None:
    order = on_road_test(make_ready_order())
    spot = spot_of(order, "clear")
    (said,) = road_test_against_check(order, TOUCHED, [mark(spot.place.upper())])
    assert spot.place in said.casefold()
    with pytest.raises(Refused, match="contradicts"):
        road_test_add(
            order=order, by=make_user(), values=TOUCHED | {"notes": ""}, marks=[mark(spot.place)]
        )
    assert not RoadTest.objects.exists()


def test_a_gap_that_is_smaller_than_the_prediction_explains_is_asked() -> None:
    order = on_road_test(make_ready_order())
    spot = spot_of(order, "clear")
    explained = spot.clearance_mm - spot.sigma_mm
    small = spot.clearance_mm - 2.5 * spot.sigma_mm
    for gap, asked in ((explained, 0), (small, 1), (spot.clearance_mm + 20, 0)):
        row = mark(spot.place, contact=False, gap_mm=gap)
        assert len(road_test_against_check(order, QUIET, [row])) == asked


def test_a_test_that_agrees_or_did_not_get_there_is_not_asked(
    client_of: Any, technician: Any
) -> None:
    rubbing, clear = on_road_test(make_rubbing_order()), on_road_test(make_ready_order())
    spot = spot_of(rubbing, "contact")
    assert road_test_against_check(rubbing, TOUCHED, [mark(spot.place)]) == []
    assert road_test_against_check(rubbing, QUIET | {"dip": "not_done"}, []) == []
    assert road_test_against_check(clear, QUIET, []) == []
    assert road_test_against_check(make_order(), TOUCHED, [mark("liner")]) == []
    url = reverse("road_test", args=[clear.pk])
    assert client_of(technician).post(url, posted(QUIET)).status_code == 302
    assert RoadTest.objects.get().contradiction == ""


def test_contact_needs_its_spot_before_it_is_saved(client_of: Any, technician: Any) -> None:
    order = make_order(state="road_test")
    url, browser = reverse("road_test", args=[order.pk]), client_of(technician)
    answer = browser.post(url, posted(TOUCHED, notes="heard it"))
    assert "name its corner and spot" in answer.content.decode()
    assert "heard it" in answer.content.decode()
    assert not RoadTest.objects.exists()
    assert browser.post(url, posted(TOUCHED, mark("liner, front"))).status_code == 302
    assert RoadTest.objects.get().touched_spots == 1


@pytest.mark.parametrize("outcome", ["lock_left", "lock_right", "dip", "loaded"])
def test_the_database_holds_no_contact_without_a_spot(outcome: str) -> None:
    order, by = make_order(), make_user()
    values = QUIET | {outcome: "touched"}
    with pytest.raises(IntegrityError), transaction.atomic():
        RoadTest.objects.create(order=order, by=by, touched_spots=0, **values)
    test = RoadTest.objects.create(order=order, by=by, touched_spots=1, **values)
    with pytest.raises(IntegrityError), transaction.atomic():
        ContactMark.objects.create(road_test=test, corner="LF", place="", contact=True)


def test_the_database_holds_no_contradiction_without_a_judgement() -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        RoadTest.objects.create(order=make_order(), by=make_user(), contradiction="They differ.")
