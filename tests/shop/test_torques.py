"""Torques: due for what is fitted, place by place, inside the range, and until work is taken up."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.extensions.points import BOOKING_GATES, DRY_FITS_DUE
from shop.models import LineWork, NotFitted, State
from shop.orders.services.states import order_move
from shop.orders.services.torques import torques_due, torques_open
from shop.site.refusals import NotYours, Refused
from shop.work.services import installed_add
from shop.work.torques import not_fitted, torque_loosen, torque_note, torque_sign, torques_sign
from tests.factories import (
    make_bay,
    make_car_model,
    make_line,
    make_order,
    make_part,
    make_user,
    make_vehicle,
    sign_torques,
    tomorrow_at,
)
from tests.shop import gates_for_tests

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _open_gate(swap_plugs: Any) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)
    swap_plugs(DRY_FITS_DUE)


@pytest.fixture
def technician(db: Any) -> Any:
    return make_user("technician")


def on_lift(**values: Any) -> Any:
    vehicle = make_vehicle(car_model=make_car_model(wheel_nut_torque_nm=Decimal(140)))
    return make_order(state=State.ON_LIFT, vehicle=vehicle, customer=vehicle.customer, **values)


def fit(order: Any, by: Any, where: str = "front", **part: Any) -> Any:
    part = {"torque_nm": Decimal(82), "axle": "front", "name": "Toe link"} | part
    line = make_line(order, kind="part", part=make_part(**part), description=part["name"])
    values = {"line": line, "corner_or_axle": where, "description": ""}
    return installed_add(order=order, by=by, values=values)


def keys(order: Any) -> list[str]:
    return [due.key for due in torques_due(order)]


def wheels() -> list[str]:
    return [f"wheel-{corner}" for corner in ("LF", "RF", "LR", "RR")]


def sign(order: Any, by: Any, key: str, figure: str) -> Any:
    return torque_sign(order=order, by=by, key=key, torque_nm=Decimal(figure), tool="Wrench 3")


# ---- what is due


def test_a_torque_is_due_for_what_is_fitted_at_each_side_and_each_wheel(technician: Any) -> None:
    order = on_lift()
    make_line(order, kind="part", part=make_part(torque_nm=82), description="Not fitted yet")
    assert keys(order) == wheels(), "a line alone makes nothing due"
    fitted = fit(order, technician)
    assert keys(order) == [f"fitted-{fitted.pk}-LF", f"fitted-{fitted.pk}-RF", *wheels()]


@pytest.mark.parametrize(
    ("where", "axle", "corners"),
    [
        ("LF", "front", ["LF"]),
        ("rear", "rear", ["LR", "RR"]),
        ("car", "rear", ["LR", "RR"]),
        ("car", "any", ["LF", "RF", "LR", "RR"]),
    ],
)
def test_where_a_part_was_fitted_says_where_it_is_due(
    where: str, axle: str, corners: list[str], technician: Any
) -> None:
    order = on_lift()
    fit(order, technician, where, axle=axle)
    assert [due.position for due in torques_due(order) if not due.is_wheel] == corners


def test_two_parts_of_one_name_are_two_dues(technician: Any) -> None:
    order = on_lift()
    for _ in range(2):
        fit(order, technician, "LF")
    assert len([due for due in torques_due(order) if due.what == "Toe link"]) == 2


def test_a_job_that_moves_no_wheel_asks_for_wheels_where_something_was_fitted(
    technician: Any,
) -> None:
    order = on_lift(moves_wheel_or_height=False)
    assert keys(order) == []
    fit(order, technician, "rear", axle="rear")
    assert [due.position for due in torques_due(order) if due.is_wheel] == ["LR", "RR"]


def test_labour_that_takes_wheels_off_asks_for_those_of_its_axle(technician: Any) -> None:
    order = on_lift(moves_wheel_or_height=False)
    make_line(order, description="Set toe")
    assert keys(order) == []
    make_line(order, description="Brakes", work=LineWork.BRAKES, axle="front")
    assert keys(order) == ["wheel-LF", "wheel-RF"]
    make_line(order, description="Springs", work=LineWork.SPRINGS)
    assert keys(order) == wheels()


def test_signing_more_asks_no_more_of_the_database_but_the_signatures(technician: Any) -> None:
    """Each signature is one row and its log entry: what is due is asked once."""
    counts = []
    for corners in (("LF",), ("LF", "RF", "LR", "RR")):
        figures = {f"wheel-{corner}": Decimal(140) for corner in corners}
        order = on_lift()
        with CaptureQueriesContext(connection) as asked:
            torques_sign(order=order, by=technician, figures=figures, tool="Wrench 3")
        counts.append(len(asked))
    assert counts[1] - counts[0] == 3 * 2


def test_several_are_signed_together_or_none(technician: Any) -> None:
    order = on_lift()
    figures = {"wheel-LF": Decimal(140), "wheel-RF": Decimal(5)}
    with pytest.raises(Refused, match="outside"):
        torques_sign(order=order, by=technician, figures=figures, tool="Wrench 3")
    assert not order.torques.exists()


# ---- what may stand in for it


def test_a_free_entry_cannot_stand_in_for_a_due_one(technician: Any) -> None:
    order = on_lift()
    free = {"order": order, "by": technician, "torque_nm": Decimal(1), "tool": "Wrench 3"}
    for name in ("Wheel nuts or bolts", " wheel NUTS or bolts", "Wheel nuts or bolts, Front left"):
        with pytest.raises(Refused, match="on the list") as refusal:
            torque_note(what=name, **free)
        assert refusal.value.field == "other_what"
    torque_note(what="Anti-roll bar link", **free)
    assert len(torques_open(order)) == 4


def test_a_signature_for_what_is_not_due_is_refused(technician: Any) -> None:
    with pytest.raises(Refused, match="not due"):
        sign(on_lift(), technician, "fitted-1-LF", "82")


@pytest.mark.parametrize(
    ("figure", "taken"),
    [("1", False), ("137.1", False), ("137.2", True), ("142.8", True), ("142.9", False)],
)
def test_a_figure_outside_two_per_cent_is_not_signed(
    figure: str, taken: bool, technician: Any
) -> None:
    """140 N·m: 137.2 to 142.8."""
    order = on_lift()
    if taken:
        sign(order, technician, "wheel-LF", figure)
    else:
        with pytest.raises(Refused, match=r"outside 137\.2 to 142\.8") as refusal:
            sign(order, technician, "wheel-LF", figure)
        assert refusal.value.field == "torque"
    assert order.torques.exists() is taken


@pytest.mark.parametrize(("figure", "taken"), [("79.9", False), ("80", True), ("95.1", False)])
def test_a_range_on_record_is_the_range(figure: str, taken: bool, technician: Any) -> None:
    order = on_lift()
    one = fit(order, technician, "LF", torque_nm=Decimal(80), torque_max_nm=Decimal(95))
    key = f"fitted-{one.pk}-LF"
    if taken:
        assert sign(order, technician, key, figure).due_nm == 80
        return
    with pytest.raises(Refused, match="outside 80"):
        sign(order, technician, key, figure)


def test_the_page_asks_about_a_figure_outside_and_takes_nothing(
    technician: Any, client_of: Any
) -> None:
    order = on_lift()
    url = reverse("torque_sign", args=[order.pk])
    browser = client_of(technician)
    sent = {"tool": "Wrench 3", "done_wheel-LF": "on", "torque_wheel-LF": "5"}
    sent |= {"done_wheel-RF": "on", "torque_wheel-RF": "140"}
    page = browser.post(url, sent).content.decode()
    assert "outside 137.2 to 142.8" in page
    assert 'value="5"' in page
    assert not order.torques.exists()
    browser.post(url, sent | {"torque_wheel-LF": "140"})
    kept = order.torques.get(due="wheel-LF")
    assert (kept.by, kept.tool, kept.position, kept.due_nm) == (technician, "Wrench 3", "LF", 140)
    assert kept.at is not None


def test_without_a_figure_on_record_the_makers_is_entered(technician: Any) -> None:
    order = make_order(state=State.ON_LIFT, vehicle=make_vehicle(car_model=None))
    with pytest.raises(Refused, match="wrench"):
        torque_sign(order=order, by=technician, key="wheel-LF", torque_nm=Decimal(110), tool=" ")
    assert sign(order, technician, "wheel-LF", "110").due_nm is None


def test_the_wheel_nut_steps_stand_where_they_are_signed(technician: Any, client_of: Any) -> None:
    order = on_lift()
    url = reverse("torque_sign", args=[order.pk])
    browser = client_of(technician)
    page = browser.get(url).content.decode()
    steps = page.split('data-test="wheel-nut-steps"')[1].split("</ol>")[0]
    for word in ("Clean and dry", "crosswise", "stages", "on the ground"):
        assert word in steps
    assert page.count("rosswise and in stages") == 1, "said twice"
    sign_torques(order, technician)
    after = browser.get(url).content.decode()
    assert 'data-test="wheel-nut-steps"' not in after
    assert after.count("rosswise and in stages") == 1


def test_a_writer_signs_for_nothing() -> None:
    with pytest.raises(NotYours):
        sign(on_lift(), make_user("writer"), "wheel-LF", "140")


def test_wheel_nuts_wait_for_the_dry_fit_of_their_axle(technician: Any, swap_plugs: Any) -> None:
    swap_plugs(DRY_FITS_DUE, lambda order: ["front"])
    order = on_lift()
    with pytest.raises(Refused, match="dry fit"):
        sign(order, technician, "wheel-LF", "140")
    sign(order, technician, "wheel-LR", "140")


# ---- until the work is taken up again


def test_back_on_the_lift_everything_is_signed_anew(technician: Any) -> None:
    order = on_lift()
    fit(order, technician)
    sign_torques(order, technician)
    order_move(order=order, to=State.ROAD_TEST, by=technician)
    assert torques_open(order) == []
    order_move(order=order, to=State.ON_LIFT, by=technician, reason="It rubs")
    assert len(torques_open(order)) == 6
    old = torques_due(order)[0].reopened
    assert old is not None
    assert (old.by, old.reopened_because) == (technician, "It rubs")
    with pytest.raises(Refused, match="Torque not signed"):
        order_move(order=order, to=State.ROAD_TEST, by=technician)
    assert order.log.filter(detail="It rubs").count() == 2, "the move, and what it reopened"


def test_taken_off_the_lift_and_back_on_everything_is_signed_anew(technician: Any) -> None:
    order = on_lift()
    order.bookings.create(**booked(technician))
    sign_torques(order, technician)
    order_move(order=order, to=State.BOOKED, by=technician, reason="Another car is urgent")
    order_move(order=order, to=State.ON_LIFT, by=technician)
    assert len(torques_open(order)) == 4


def booked(technician: Any) -> dict[str, Any]:
    return {
        "bay": make_bay(),
        "technician": technician,
        "starts_at": tomorrow_at(9),
        "ends_at": tomorrow_at(11),
    }


def test_loosening_reopens_what_it_touches_and_nothing_else(technician: Any) -> None:
    order = on_lift()
    one = fit(order, technician)
    sign_torques(order, technician)
    key = f"fitted-{one.pk}-LF"
    with pytest.raises(Refused, match="reason"):
        torque_loosen(order=order, by=technician, key=key, reason=" ")
    torque_loosen(order=order, by=technician, key=key, reason="The boot was twisted")
    assert {due.key for due in torques_open(order)} == {key, "wheel-LF"}
    with pytest.raises(Refused, match="not signed"):
        torque_loosen(order=order, by=technician, key=key, reason="Again")


def test_fitting_a_part_again_reopens_it_and_the_wheels_in_front_of_it(technician: Any) -> None:
    order = on_lift()
    one = fit(order, technician)
    other = fit(order, technician, "rear", axle="rear", name="Rear arm")
    sign_torques(order, technician)
    values = {"line": one.line, "corner_or_axle": "RF", "description": ""}
    installed_add(order=order, by=technician, values=values)
    assert {due.key for due in torques_open(order)} == {f"fitted-{one.pk}-RF", "wheel-RF"}
    assert f"fitted-{other.pk}-LR" in keys(order)


def test_a_signature_that_counts_no_longer_is_not_signed_for_the_customer(
    technician: Any,
) -> None:
    order = on_lift()
    sign_torques(order, technician)
    torque_loosen(order=order, by=technician, key="wheel-LF", reason="Cross-threaded")
    assert [due.key for due in torques_due(order) if not due.signed] == ["wheel-LF"]
    sign(order, technician, "wheel-LF", "140")
    assert torques_open(order) == []
    assert order.torques.filter(due="wheel-LF").count() == 2


# ---- not fitted


def test_not_fitted_because_ends_what_is_due(technician: Any, client_of: Any) -> None:
    order = on_lift()
    part = make_part(torque_nm=88, name="Camber shims")
    line = make_line(order, kind="part", part=part, description="Camber shims")
    browser = client_of(technician)
    page = browser.get(reverse("torque_sign", args=[order.pk])).content.decode()
    assert "Camber shims" in page.split('data-test="unaccounted"')[1].split("</ul>")[0]
    url = f"{reverse('not_fitted', args=[order.pk])}?line={line.pk}"
    browser.post(url, {"reason": ""})
    assert not NotFitted.objects.exists()
    browser.post(url, {"reason": "The upper arm was enough"})
    kept = NotFitted.objects.get()
    assert (kept.what, kept.because, kept.by) == (
        "Camber shims", "The upper arm was enough", technician
    )  # fmt: skip
    assert order.log.filter(detail__contains="The upper arm was enough").exists()
    sign_torques(order, technician)
    order_move(order=order, to=State.ROAD_TEST, by=technician)


def test_a_wheel_that_stayed_on_is_said_so_once(technician: Any) -> None:
    order = on_lift()
    for corner in ("LR", "RR"):
        not_fitted(
            order=order, by=technician, key=f"wheel-{corner}", because="The rear was not touched"
        )
    assert {due.key for due in torques_open(order)} == {"wheel-LF", "wheel-RF"}
    with pytest.raises(Refused, match="signed already"):
        sign(order, technician, "wheel-LR", "140")
    fit(order, technician, "rear", axle="rear")
    assert "wheel-LR" in {due.key for due in torques_open(order)}, "something was fitted there"


def test_a_wheel_that_stayed_on_is_called_so(technician: Any, client_of: Any) -> None:
    order = on_lift()
    browser, url = client_of(technician), f"{reverse('not_fitted', args=[order.pk])}?due=wheel-LR"
    page = browser.get(url).content.decode()
    assert "Not taken off: Wheel nuts or bolts, Rear left" in page
    assert "ot fitted" not in page
    browser.post(url, {"reason": "The rear was not touched"})
    assert order.log.filter(what="Not taken off", detail__contains="Rear left").exists()
    torques = browser.get(reverse("torque_sign", args=[order.pk])).content.decode()
    row = torques.split('data-test="due-wheel-LR"')[1].split("</tr>")[0]
    assert "not taken off" in row


def test_a_wheel_that_stayed_on_is_asked_about_again_back_on_the_lift(technician: Any) -> None:
    order = on_lift()
    not_fitted(order=order, by=technician, key="wheel-LR", because="The rear was not touched")
    sign_torques(order, technician)
    order_move(order=order, to=State.ROAD_TEST, by=technician)
    order_move(order=order, to=State.ON_LIFT, by=technician, reason="It rubs")
    assert {due.key for due in torques_open(order)} == set(wheels())


def test_a_place_where_a_part_was_not_fitted_is_due_once_it_is(technician: Any) -> None:
    order = on_lift()
    one = fit(order, technician)
    key = f"fitted-{one.pk}-RF"
    not_fitted(order=order, by=technician, key=key, because="The left was enough")
    values = {"line": one.line, "corner_or_axle": "RF", "description": ""}
    installed_add(order=order, by=technician, values=values)
    assert key in {due.key for due in torques_open(order)}


@pytest.mark.parametrize("name", ["not_fitted", "torque_loosen"])
def test_a_reason_that_is_longer_than_what_is_kept_is_refused(
    name: str, technician: Any, client_of: Any
) -> None:
    order = on_lift()
    if name == "torque_loosen":
        sign(order, technician, "wheel-LF", "140")
    url = f"{reverse(name, args=[order.pk])}?due=wheel-LF"
    answer = client_of(technician).post(url, {"reason": "x" * 201})
    assert "reason" in answer.context["form"].errors
    assert client_of(technician).post(url, {"reason": "x" * 200}).status_code == 302


@pytest.mark.parametrize("name", ["not_fitted", "torque_loosen"])
def test_a_step_taken_twice_is_refused_the_second_time(
    name: str, technician: Any, client_of: Any
) -> None:
    """From two pages, each with a key of its own: the service holds what the key does not."""
    order = on_lift()
    if name == "torque_loosen":
        sign(order, technician, "wheel-LF", "140")
    url, data = f"{reverse(name, args=[order.pk])}?due=wheel-LF", {"reason": "So"}
    assert client_of(technician).post(url, data).status_code == 302
    before = order.log.count()
    again = client_of(technician).post(url, data)
    assert again.status_code == 200
    assert again.context["form"].non_field_errors()
    assert order.log.count() == before
    assert order.not_fitted.count() == (name == "not_fitted")


def test_what_is_fitted_is_not_said_to_be_not_fitted(technician: Any) -> None:
    order = on_lift()
    one = fit(order, technician)
    with pytest.raises(Refused, match="recorded as fitted"):
        not_fitted(order=order, by=technician, line=one.line, because="No")
    with pytest.raises(Refused) as refusal:
        not_fitted(order=order, by=technician, key="wheel-LF", because=" ")
    assert refusal.value.field == "reason"


def test_the_database_takes_no_not_fitted_without_a_reason_or_a_thing(technician: Any) -> None:
    order = on_lift()
    for values in ({"due": "wheel-LF", "because": ""}, {"due": "", "because": "So"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            NotFitted.objects.create(order=order, what="x", by=technician, **values)
