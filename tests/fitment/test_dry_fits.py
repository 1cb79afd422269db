"""One wheel is offered up before the rest: what touches there is not mounted, whoever says so."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from common.verdicts import GateResult
from fitment.models import DryFit, OrderMounting, OrderWheels
from fitment.mounting.dry_fit_gate import dry_fit_gate
from fitment.mounting.services.dry_fits import dry_fit_add, dry_fits_due
from shop.extensions import gates
from shop.models import State, WorkOrder
from shop.orders.services.gates import gate_override
from shop.site.refusals import NotYours, Refused
from shop.work.torques import torque_sign
from tests.fitment.factories import make_ready_order, make_wheel

pytestmark = pytest.mark.django_db
CLEAR = {"brake": "clears", "hardware": "clears", "sensor": "clears", "lock": "clears"}


@pytest.fixture
def order(db: Any) -> WorkOrder:
    made = make_ready_order()
    WorkOrder.objects.filter(pk=made.pk).update(state=State.ON_LIFT)
    return WorkOrder.objects.select_related("vehicle__car_model").get(pk=made.pk)


def offer(order: WorkOrder, by: Any, axle: str = "front", **values: Any) -> DryFit:
    return dry_fit_add(order=order, by=by, axle=axle, values=CLEAR | values)


def test_each_axle_that_gets_wheels_is_due_until_it_was_offered_up(
    order: WorkOrder, technician: Any
) -> None:
    axles = sorted(row.axle for row in OrderWheels.objects.filter(order=order))
    assert sorted(dry_fits_due(order)) == axles
    offer(order, technician, axles[0])
    assert sorted(dry_fits_due(order)) == axles[1:]
    for axle in axles[1:]:
        dry_fit_add(order=order, by=technician, axle=axle, values={"on_car": True})
    assert dry_fits_due(order) == []


@pytest.mark.parametrize("name", ["brake", "hardware", "sensor", "lock"])
def test_sensor_and_brake_hardware_are_asked_and_none_is_left_open(
    name: str, order: WorkOrder, technician: Any, client_of: Any
) -> None:
    with pytest.raises(Refused) as refusal:
        offer(order, technician, **{name: ""})
    assert refusal.value.field == name
    browser, url = client_of(technician), reverse("dry_fit", args=[order.pk])
    page = browser.get(url).content.decode()
    assert f'name="{name}"' in page
    sent = CLEAR | {"axle": "front"}
    refused = browser.post(url, sent | {name: ""}).content.decode()
    assert "Look there, and choose one." in refused
    assert not DryFit.objects.exists()
    assert browser.post(url, sent).status_code == 302
    assert DryFit.objects.get().by == technician


@pytest.mark.parametrize("name", ["brake", "hardware", "sensor", "lock"])
def test_what_touches_on_the_hub_cannot_be_mounted(
    name: str, order: WorkOrder, technician: Any, manager: Any
) -> None:
    assert dry_fit_gate(order).result == GateResult.NOT_NEEDED
    offer(order, technician, **{name: "touches"})
    answer = dry_fit_gate(order)
    assert (answer.result, answer.may_pass) == (GateResult.CANNOT_BE_MOUNTED, gates.NO_ROLE)
    with pytest.raises(Refused, match="No override"):
        gate_override(order=order, by=manager, reason="It will wear in", digest=answer.digest)
    assert "front" in dry_fits_due(order), "the nuts wait, too"
    assert offer(order, technician, **{name: "touches"}, on_car=True).is_good is False
    assert "the wheel touches" in dry_fit_gate(order).sentence


def test_a_dry_fit_is_good_for_the_wheels_it_was_made_with(
    order: WorkOrder, technician: Any
) -> None:
    offer(order, technician, sensor="touches")
    OrderWheels.objects.filter(order=order, axle="front").update(wheel=make_wheel(name="Other"))
    assert dry_fit_gate(order).result == GateResult.NOT_NEEDED
    assert "front" in dry_fits_due(order)


def test_a_later_dry_fit_of_the_same_wheels_counts(order: WorkOrder, technician: Any) -> None:
    offer(order, technician, hardware="touches")
    offer(order, technician)
    assert dry_fit_gate(order).result == GateResult.NOT_NEEDED
    assert DryFit.objects.count() == 2, "the first stays on record"


def test_the_nuts_of_a_new_wheel_wait_for_its_dry_fit(order: WorkOrder, technician: Any) -> None:
    from decimal import Decimal

    sign = {"order": order, "by": technician, "key": "wheel-LF", "tool": "Wrench 3"}
    with pytest.raises(Refused, match="dry fit"):
        torque_sign(torque_nm=Decimal(120), **sign)
    offer(order, technician)
    torque_sign(torque_nm=Decimal(120), **sign)


def test_saving_rings_and_nuts_with_nothing_chosen_keeps_the_dry_fit(
    order: WorkOrder, technician: Any
) -> None:
    offer(order, technician)
    OrderMounting.objects.create(order=order, axle="front")
    assert "front" not in dry_fits_due(order)
    OrderMounting.objects.filter(order=order).update(nut_form="closed")
    assert "front" in dry_fits_due(order), "other nuts than those it was made with"


def test_the_log_says_in_words_what_touched(order: WorkOrder, technician: Any) -> None:
    offer(order, technician, sensor="touches", lock="touches")
    offer(order, technician)
    dry_fit_add(order=order, by=technician, axle="front", values={"on_car": True})
    said = order.log.filter(what="Dry fit recorded").order_by("pk")
    assert list(said.values_list("detail", flat=True)) == [
        "Dry fit, front: the wheel touches the tyre pressure sensor and something hard at full "
        "lock. These wheels cannot be mounted.",
        "Dry fit, front: nothing touches.",
        "Dry fit, front: these wheels are on the car already.",
    ]


def test_no_dry_fit_by_a_writer_and_none_before_the_approval(
    order: WorkOrder, writer: Any, technician: Any
) -> None:
    with pytest.raises(NotYours):
        offer(order, writer)
    WorkOrder.objects.filter(pk=order.pk).update(state=State.ENQUIRY)
    with pytest.raises(Refused, match="approval"):
        offer(order, technician)
