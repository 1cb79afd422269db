"""Moves that are accepted: kept as they were shown, and held against the readings that follow."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from alignment.adjustments.accept import CHANGED, adjustments_accept, versions_of
from alignment.adjustments.page import adjustments_page, taken_of
from alignment.adjustments.prediction_review import ACCEPTED, RECORDED
from alignment.geometry.adjustment_problem import CAMBER, TOE, TOE_LINK
from alignment.geometry.adjustments import MOVES_VERSION
from alignment.models import AcceptedAdjustments, PlannedSetting, RackVisit
from alignment.text.render import render
from alignment.visits.questions import questions_about_visit
from common.message import message_load
from shop.models import LogEntry, WorkOrder
from shop.site.refusals import Refused
from tests.alignment.adjustments_orders import accepted, an_order, at, stand, text_of
from tests.alignment.factories import make_visit
from tests.factories import make_line, make_part
from tests.fitment.factories import make_order_wheels, make_surveyed_car_model

pytestmark = pytest.mark.django_db
MOUNT = "top_mount_in_mm"


def sent(client: Client, order: WorkOrder, **options: str) -> Any:
    """Press the page's button with the options that are marked, or others."""
    page = client.get(reverse("adjustments", args=[order.pk])).content.decode()
    shown = re.search(r'name="shown" value="(\w+)"', page)
    assert shown is not None
    marked = dict(re.findall(r'name="(option_..)" value="(\w+)" checked', page))
    data = {"shown": shown[1], **marked, **options}
    return client.post(reverse("adjustments_take", args=[order.pk]), data, follow=True)


def read_again(order: WorkOrder, off: float = 0.0, accuracy: float = 0.03) -> RackVisit:
    """The front as it was predicted, the left camber off by something."""
    rows = {row.corner: row for row in AcceptedAdjustments.objects.of_order(order)}
    numbers = {
        (corner, name): f"{row.predicted[name] + (off if (corner, name) == ('LF', CAMBER) else 0)}"
        for corner, row in rows.items()
        for name in (CAMBER, TOE)
    }
    return make_visit(order, numbers, stage="between", accuracy_deg=accuracy, steering_ahead=True)


def test_one_press_keeps_what_was_proposed_with_its_log_entry(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    make_order_wheels(order, "front")
    visit = order.rack_visits.get()
    (proposed, _) = adjustments_page(order)
    answer = sent(client_of(technician), order)
    assert "Adjustments accepted" in answer.content.decode()
    left, right = AcceptedAdjustments.objects.of_order(order)
    assert (left.corner, right.corner) == ("LF", "RF")
    assert (left.visit, left.visit_version, left.by) == (visit, visit.version, technician)
    assert left.engine == MOVES_VERSION
    assert proposed.first is not None
    option = proposed.first.option
    assert left.predicted == pytest.approx(dict(option.predicted), abs=1e-4)
    assert left.positions == pytest.approx(dict(option.positions), abs=1e-4)
    assert proposed.adjustments.answer is not None
    assert left.offset == pytest.approx(dict(proposed.adjustments.answer.offset), abs=1e-4)
    assert left.read[CAMBER] == -1.6
    assert proposed.first.clearance is not None
    assert left.clearance["clearance_mm"] == proposed.first.clearance.clearance_mm
    assert left.clearance["verdict"] == proposed.first.clearance.verdict
    assert {move["adjuster"] for move in left.adjustments} == {MOUNT, TOE_LINK}
    entry = LogEntry.objects.get(order=order, what="Adjustments accepted")
    assert entry.by == technician
    assert "Front left: top mount" in entry.detail
    assert "predicted camber −2.19°" in entry.detail
    assert "mm at the tightest spot" in entry.detail
    assert f"by {technician}" in text_of(client_of(technician), order)


def test_pressing_twice_keeps_it_once(technician: Any, client_of: Any) -> None:
    order = an_order()
    client = client_of(technician)
    sent(client, order)
    again = sent(client, order)
    assert "These adjustments were accepted before" in again.content.decode()
    assert AcceptedAdjustments.objects.count() == 2
    assert LogEntry.objects.filter(what="Adjustments accepted").count() == 1


def test_a_corner_may_be_left_and_another_option_be_taken(technician: Any, client_of: Any) -> None:
    order = an_order(camber=-2.0, mark_size=None)
    shim = make_part(
        kind="shim", axle="front", adjuster="lower_arm_out_mm", reach_min=0, reach_max=12
    )
    make_line(order, kind="part", part=shim, axle="front")
    client = client_of(technician)
    first = sent(client, order, option_LF="1", option_RF="leave")
    assert "Noted what stays: Front right" in first.content.decode()
    assert not AcceptedAdjustments.objects.exists(), "what depends on it is shown first"
    sent(client, order, option_LF="1")
    row = AcceptedAdjustments.objects.get()
    assert row.corner == "LF"
    assert message_load(row.option) == adjustments_page(order)[0].others[0].title
    page = client.get(reverse("adjustments", args=[order.pk])).content.decode()
    assert 'name="option_LF" value="1" checked' in page
    assert 'name="option_RF" value="leave" checked' in page
    assert "Accept as marked now" in page
    sent(client, order, option_LF="leave", option_RF="leave")
    nothing = sent(client, order, option_LF="leave", option_RF="leave")
    assert "No adjustment is chosen at any corner" in nothing.content.decode()
    sent(client, order, option_LF="free")
    wrong = sent(client, order, option_LF="7")
    assert "Front left: this option is not offered" in wrong.content.decode()
    assert AcceptedAdjustments.objects.count() == 1


def test_what_changed_since_the_page_was_opened_is_not_accepted(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    client = client_of(technician)
    page = client.get(reverse("adjustments", args=[order.pk])).content.decode()
    shown = re.findall(r'name="shown" value="(\w+)"', page)[0]
    PlannedSetting.objects.filter(order=order).update(camber_deg=-2.6)
    url = reverse("adjustments_take", args=[order.pk])
    answer = client.post(url, {"shown": shown, "option_LF": "0"}, follow=True)
    assert str(CHANGED) in answer.content.decode()
    # Also what is saved while the moves are worked out.
    versions = versions_of(order)
    taken = [taken_of(one, "0") for one in adjustments_page(order)]
    RackVisit.objects.filter(order=order).update(version=2)
    with pytest.raises(Refused, match="have changed"):
        adjustments_accept(order=order, by=technician, taken=taken, versions=versions)
    assert not AcceptedAdjustments.objects.exists()


def test_a_closed_order_keeps_its_moves_and_takes_no_more(technician: Any, client_of: Any) -> None:
    order = an_order()
    accepted(order, technician)
    read_again(order)
    WorkOrder.objects.filter(pk=order.pk).update(state="handed_over")
    order.refresh_from_db()
    said = text_of(client_of(technician), order)
    assert "Accept these adjustments" not in said
    assert "With the accepted adjustments" in said
    with pytest.raises(Refused, match="closed"):
        accepted(order, technician)
    panel = client_of(technician).get(order.get_absolute_url()).content.decode()
    assert reverse("adjustments", args=[order.pk]) in panel


def test_the_next_readings_are_held_against_what_was_accepted(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    order.rack_visits.update(accuracy_deg=0.03)
    rows = {row.corner: row for row in accepted(order, technician)}
    read_again(order, off=0.11)
    left, right = at(order, "LF"), at(order, "RF")
    (followed,) = left.followed
    assert followed.basis == ACCEPTED
    assert followed.accepted == rows["LF"]
    # The adjusters stand where the accepted moves put them, and the model takes over the rest.
    assert left.stood[MOUNT] == rows["LF"].ends[MOUNT]
    assert MOUNT in left.assumed
    change = followed.offset_after[CAMBER] - followed.offset[CAMBER]
    assert change == pytest.approx(0.11, abs=1e-3)
    assert left.answer is not None
    assert left.answer.offset[CAMBER] == pytest.approx(followed.offset_after[CAMBER])
    (same,) = right.followed
    assert same.offset_after[CAMBER] == pytest.approx(same.offset[CAMBER], abs=1e-3)
    said = text_of(client_of(technician), order)
    assert "Not as predicted: camber. Further adjustments start from the readings." in said
    assert "As predicted: no significant difference." in said
    assert "+0.11 significant, ±0.05" in said
    assert "Not recorded since adjustments were accepted: " in said
    assert "changed by +0.11°" in said


def test_a_coarse_rack_sees_no_difference(technician: Any, client_of: Any) -> None:
    """± 0.1° at both visits: 2·√2·0.1/√3 = 0.16° lies between two readings of one angle."""
    order = an_order()
    order.rack_visits.update(accuracy_deg=0.1)
    accepted(order, technician)
    read_again(order, off=0.11, accuracy=0.1)
    (followed,) = at(order, "LF").followed
    assert followed.uncertainty[CAMBER] == pytest.approx(0.1633, abs=1e-4)
    assert "+0.11 not significant, ±0.16" in text_of(client_of(technician), order)


def test_what_is_recorded_elsewhere_is_predicted_for_where_it_stands(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    (row, _) = accepted(order, technician)
    visit = read_again(order)
    stand(visit, "LF", MOUNT, f"{row.ends[MOUNT] - 1.5} mm")
    (followed,) = at(order, "LF").followed
    assert followed.basis == RECORDED
    assert [move.adjuster for move in followed.elsewhere] == [MOUNT]
    # The top stands less far in, so less negative camber was to be read.
    assert followed.predicted[CAMBER] > row.predicted[CAMBER] + 0.1
    assert "was accepted" in text_of(client_of(technician), order)


def test_every_step_of_a_long_job_stays_to_be_looked_at(technician: Any, client_of: Any) -> None:
    order = an_order()
    accepted(order, technician)
    read_again(order, off=0.2)
    accepted(order, technician)
    read_again(order, off=-0.05)
    left = at(order, "LF")
    assert [one.basis for one in left.followed] == [ACCEPTED, ACCEPTED]
    assert left.followed[0].after.pk > left.followed[1].after.pk
    assert "Prediction for the readings of" in text_of(client_of(technician), order)


def test_front_toe_follows_the_line_that_was_read_not_the_one_that_was_planned(
    technician: Any,
) -> None:
    """Rear moves were to turn the line by 0.15°; the rear axle was left, so nothing turned."""
    order = an_order()
    PlannedSetting.objects.create(order=order, axle="rear", toe_deg=0.1)
    visit = order.rack_visits.get()
    rear = {("LR", "toe"): "0.40", ("RR", "toe"): "0.10"}
    for (corner, _), toe in rear.items():
        visit.readings.create(
            corner=corner, quantity="toe", typed=toe, unit="deg", value=float(toe)
        )
    rows = {row.corner: row for row in accepted(order, technician)}
    assert rows["LF"].thrust_shift_deg == pytest.approx(0.15, abs=1e-3)
    numbers = {("LF", "toe"): "-0.10", ("RF", "toe"): "0.2", **rear}
    make_visit(order, numbers, stage="between")
    (followed,) = at(order, "LF").followed
    told = rows["LF"].predicted[TOE] - rows["LF"].thrust_shift_deg
    assert followed.predicted[TOE] == pytest.approx(told, abs=1e-4)


def test_what_visits_taught_is_kept_and_followed_too(technician: Any) -> None:
    from tests.alignment.test_adjustments_page import visits_of

    car_model = make_surveyed_car_model(corners="LR")
    visits_of(car_model)
    order = an_order(car_model, camber=-1.9)
    (row, *_) = accepted(order, technician)
    assert row.uncertainty[CAMBER] > 0
    assert "pairs of readings" in row.source
    read_again(order, off=0.3)
    (followed,) = at(order, "LF").followed
    assert followed.read[CAMBER] - followed.predicted[CAMBER] == pytest.approx(0.3, abs=1e-3)
    assert followed.uncertainty[CAMBER] >= row.uncertainty[CAMBER]
    assert followed.offset_after == {}


def test_a_camber_that_was_to_change_its_sign_is_not_asked_about(technician: Any) -> None:
    order = an_order(camber=-0.6, reach_min=-12)
    order.rack_visits.get().readings.filter(corner="LF", quantity="camber").update(value=0.5)

    def asked(camber: float) -> list[str]:
        found = questions_about_visit(
            order=order,
            visit=None,
            stage="between",
            at=None,
            mileage_km=None,
            read={("LF", "camber"): camber},
        )
        return [one.code for one in found]

    assert "turned" in asked(-0.6)
    (row, *_) = accepted(order, technician)
    assert row.predicted[CAMBER] == pytest.approx(-0.6, abs=0.1)
    assert "turned" not in asked(-0.6)
    # Without the moves it was not to change.
    row.predicted = {**row.predicted, CAMBER: 0.5}
    row.save()
    assert "turned" in asked(-0.6)


def test_a_position_without_a_size_predicts_nothing(technician: Any, client_of: Any) -> None:
    order = an_order()
    accepted(order, technician)
    visit = make_visit(order, {("LF", "camber"): "-1.6", ("LF", "toe"): "0.1"}, stage="between")
    stand(visit, "LF", TOE_LINK, "1/2 turn")
    (followed,) = at(order, "LF").followed
    assert set(followed.predicted) == {CAMBER}
    assert "was recorded in a unit that has no size" in text_of(client_of(technician), order)
    stand(visit, "LF", "top_mount_back_mm", "1 mark")
    (followed,) = at(order, "LF").followed
    assert followed.predicted == {}


def test_the_next_form_says_what_was_accepted_beside_each_adjuster(
    technician: Any, client_of: Any
) -> None:
    order = an_order()
    client = client_of(technician)
    url = reverse("visit_new", args=[order.pk])
    assert "accepted: left" not in client.get(url).content.decode()
    (left, right) = accepted(order, technician)
    how = {row.corner: render(message_load(row.adjustments[0]["how"])) for row in (left, right)}
    said = html.unescape(client.get(url).content.decode())
    assert f"accepted: left {how['LF']}; right {how['RF']}" in said
    visit = read_again(order)
    assert "accepted: left" not in client.get(url).content.decode()
    edit = client.get(reverse("visit_edit", args=[visit.pk])).content.decode()
    assert "accepted: left" not in edit
