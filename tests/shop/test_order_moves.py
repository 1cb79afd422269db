"""An order moves only along the table, by those who may, when the guards agree."""

import pytest

from shop.extensions.points import BOOKING_GATES
from shop.models import Authorisation, Line, LogEntry, OrderKind, RoadTest, State
from shop.money.services import lines_change, quote_authorise, quote_send
from shop.orders.services.changes import comeback_open, order_change, order_create
from shop.orders.services.standing import standing_of
from shop.orders.services.states import MOVES, order_move
from shop.orders.services.torques import WHEEL_NUTS, torques_due
from shop.parts.services import parts_order
from shop.site.refusals import NotYours, Refused
from shop.work.services import installed_add
from tests.factories import (
    as_read,
    make_booking,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_user,
    make_vehicle,
    sign_torques,
)
from tests.shop import gates_for_tests

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _open_gate(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)


@pytest.fixture
def writer(db):
    return make_user("writer")


@pytest.fixture
def technician(db):
    return make_user("technician")


@pytest.fixture
def manager(db):
    return make_user("manager")


def test_no_move_exists_twice() -> None:
    ends = [(move.start, move.end) for move in MOVES]
    assert len(ends) == len(set(ends))


def test_every_pair_that_is_not_in_the_table_is_refused(manager) -> None:
    order = make_order()
    allowed = {(move.start, move.end) for move in MOVES}
    for start in State.values:
        for end in State.values:
            if (start, end) in allowed:
                continue
            order.state = start
            order.save()
            with pytest.raises(Refused, match="cannot go from"):
                order_move(order=order, to=end, by=manager, reason="Trying")


@pytest.mark.parametrize("move", MOVES, ids=lambda m: f"{m.start}-{m.end}")
def test_a_role_that_is_not_named_cannot_make_the_move(move, writer, technician) -> None:
    order = make_order(state=move.start)
    for user in (writer, technician):
        if user.role not in move.roles:
            with pytest.raises(NotYours):
                order_move(order=order, to=move.end, by=user, reason="Because")
    if "customer" not in move.roles:
        with pytest.raises(NotYours):
            order_move(order=order, to=move.end, by=None, reason="Because")
    order.refresh_from_db()
    assert order.state == move.start


def test_a_move_is_logged_with_who_and_why(writer) -> None:
    order = make_order()
    order_move(order=order, to=State.CANCELLED, by=writer, reason="The customer sold the car")
    entry = LogEntry.objects.get(order=order)
    assert (entry.by, entry.who) == (writer, writer.shown_name)
    assert entry.what == "Enquiry → Cancelled"
    assert entry.detail == "The customer sold the car"


def test_cancelling_needs_a_reason(writer) -> None:
    order = make_order()
    with pytest.raises(Refused) as refusal:
        order_move(order=order, to=State.CANCELLED, by=writer, reason="  ")
    assert refusal.value.field == "reason"


def test_a_refused_move_leaves_no_trace(technician) -> None:
    order = make_order(state=State.BOOKED)
    with pytest.raises(Refused, match="No bay"):
        order_move(order=order, to=State.ON_LIFT, by=technician)
    assert not LogEntry.objects.exists()


def test_the_table_looks_at_the_row_not_at_a_stale_copy(writer) -> None:
    order = make_order()
    stale = type(order).objects.get(pk=order.pk)
    order_move(order=order, to=State.CANCELLED, by=writer, reason="Sold")
    with pytest.raises(Refused, match="cannot go from"):
        order_move(order=stale, to=State.CANCELLED, by=writer, reason="Again")


def test_an_order_agrees_only_with_its_latest_quote(writer) -> None:
    make_shop()
    order = make_order()
    make_line(order)
    first = quote_send(order=order, by=writer)
    make_line(order, description="One more hour", quantity=1)
    quote_send(order=order, by=writer)
    with pytest.raises(Refused, match="newer quote"):
        quote_authorise(
            quote=first, name="A. Customer", **as_read(first), via="link", signed_warning=False
        )
    with pytest.raises(Refused, match="not authorised"):
        order_move(order=order, to=State.APPROVED, by=writer)


def test_a_booked_order_goes_back_to_where_it_came_from(writer) -> None:
    survey = make_order(kind=OrderKind.SURVEY_VISIT, state=State.BOOKED)
    with pytest.raises(Refused, match="never quoted"):
        order_move(order=survey, to=State.APPROVED, by=writer)
    order_move(order=survey, to=State.ENQUIRY, by=writer)
    assert survey.state == State.ENQUIRY


def test_the_road_test_waits_for_the_torques(technician) -> None:
    order = make_order(state=State.ON_LIFT)
    part = make_part(torque_nm=85, axle="front")
    line = make_line(order, kind="part", part=part, description="Top mounts")
    with pytest.raises(Refused, match="Not recorded as fitted, nor why not: Top mounts"):
        order_move(order=order, to=State.ROAD_TEST, by=technician)
    values = {"line": line, "corner_or_axle": "front", "description": ""}
    installed_add(order=order, by=technician, values=values)
    assert [(due.what, due.position) for due in torques_due(order)] == [
        ("Camber top mount", "LF"),
        ("Camber top mount", "RF"),
        *((WHEEL_NUTS, corner) for corner in ("LF", "RF", "LR", "RR")),
    ]
    with pytest.raises(Refused, match="Wheel nuts or bolts, Rear right"):
        order_move(order=order, to=State.ROAD_TEST, by=technician)
    sign_torques(order, technician)
    order_move(order=order, to=State.ROAD_TEST, by=technician)
    assert order.state == State.ROAD_TEST


def test_a_hand_over_needs_full_lock_both_ways(technician) -> None:
    order = make_order(state=State.ROAD_TEST, moves_wheel_or_height=False)
    with pytest.raises(Refused, match="No road test"):
        order_move(order=order, to=State.HANDED_OVER, by=technician)
    RoadTest.objects.create(order=order, by=technician, lock_left="quiet")
    with pytest.raises(Refused, match="both ways"):
        order_move(order=order, to=State.HANDED_OVER, by=technician)
    RoadTest.objects.create(order=order, by=technician, lock_left="quiet", lock_right="quiet")
    order_move(order=order, to=State.HANDED_OVER, by=technician)
    assert not order.is_open


def test_contact_on_the_road_holds_the_car_until_a_manager_says_why(technician, manager) -> None:
    order = make_order(state=State.ROAD_TEST, moves_wheel_or_height=False)
    RoadTest.objects.create(order=order, by=technician, lock_left="touched", lock_right="quiet")
    with pytest.raises(Refused, match="found contact"):
        order_move(order=order, to=State.HANDED_OVER, by=technician, reason="It is fine")
    with pytest.raises(Refused, match="Enter a reason"):
        order_move(order=order, to=State.HANDED_OVER, by=manager)
    order_move(order=order, to=State.HANDED_OVER, by=manager, reason="Liner trimmed, paint whole")


def test_only_a_survey_visit_skips_the_road_test(technician) -> None:
    with pytest.raises(Refused, match="road test before"):
        order_move(order=make_order(state=State.ON_LIFT), to=State.HANDED_OVER, by=technician)
    survey = make_order(kind=OrderKind.SURVEY_VISIT, state=State.ON_LIFT)
    order_move(order=survey, to=State.HANDED_OVER, by=technician)


def test_numbers_run_on_and_the_vehicle_has_to_be_the_customers(writer) -> None:
    vehicle = make_vehicle(mileage_km=1000)
    first = order_create(by=writer, customer=vehicle.customer, vehicle=vehicle, mileage_km=2000)
    second = order_create(by=writer, customer=vehicle.customer, vehicle=vehicle, mileage_km=10)
    assert (first.number, second.number) == ("W0001", "W0002")
    vehicle.refresh_from_db()
    assert vehicle.mileage_km == 2000
    with pytest.raises(Refused, match="another customer"):
        order_create(by=writer, customer=make_customer(), vehicle=vehicle)
    assert first.token != second.token
    assert len(first.token) >= 43


def test_only_a_manager_takes_back_that_a_job_moves_the_wheel(writer, manager) -> None:
    order = make_order()
    with pytest.raises(NotYours):
        order_change(order=order, by=writer, values={"moves_wheel_or_height": False})
    make_line(order, part=make_part(), kind="part")
    with pytest.raises(Refused, match="A part on this order"):
        order_change(order=order, by=manager, values={"moves_wheel_or_height": False})
    order.lines.all().delete()
    assert not order_change(
        order=order, by=manager, values={"moves_wheel_or_height": False}
    ).needs_check


@pytest.mark.parametrize("state", [State.BOOKED, State.ON_LIFT, State.ROAD_TEST])
def test_a_visit_booked_without_a_quote_becomes_no_other_work(state, manager) -> None:
    order = make_order(kind=OrderKind.SURVEY_VISIT, state=state)
    with pytest.raises(Refused, match="quoted and approved") as refusal:
        order_change(order=order, by=manager, values={"kind": OrderKind.INSTALL})
    assert refusal.value.field == "kind"
    order_change(order=order, by=manager, values={"technician_notes": "Look at the lip"})
    make_line(order)
    quote_send(order=order, by=manager)
    changed = order_change(order=order, by=manager, values={"kind": OrderKind.INSTALL})
    assert changed.kind == OrderKind.INSTALL
    assert "approval" in standing_of(changed).why_not, "that quote has to be approved first"


def test_a_comeback_is_an_order_of_its_own_tied_to_the_first(writer) -> None:
    first = make_order()
    values = {"corner": "LF", "place": "arch lip", "happens": "dip", "description": "It rubs"}
    with pytest.raises(Refused, match="hand-over"):
        comeback_open(first_order=first, by=writer, values=dict(values))
    first.state = State.HANDED_OVER
    first.save()
    order = comeback_open(first_order=first, by=writer, values=dict(values))
    assert order.kind == OrderKind.COMEBACK
    assert order.first_order == first
    assert order.comeback.first_order == first
    assert not order.needs_quote
    assert not order.needs_check


def test_a_drop_before_the_lift_gives_the_bay_back_first(writer) -> None:
    order = make_order(state=State.BOOKED)
    make_booking(order)
    with pytest.raises(Refused, match="appointments"):
        order_move(order=order, to=State.CANCELLED, by=writer, reason="Sold")


def test_authorisations_cannot_be_made_twice(writer) -> None:
    make_shop()
    order = make_order()
    make_line(order)
    quote = quote_send(order=order, by=writer)
    yes = {"quote": quote, "name": "A. Customer", **as_read(quote), "via": "link"}
    quote_authorise(**yes, signed_warning=False)
    with pytest.raises(Refused, match="already authorised"):
        quote_authorise(**yes, signed_warning=False)
    assert Authorisation.objects.count() == 1


def test_a_job_cannot_become_a_survey_visit_to_slip_past_the_gate(writer, manager) -> None:
    order = make_order()
    change = {"kind": OrderKind.SURVEY_VISIT}
    with pytest.raises(NotYours) as refusal:
        order_change(order=order, by=writer, values=change)
    assert refusal.value.field == "kind"
    make_line(order, part=make_part(), kind="part")
    with pytest.raises(Refused, match="moves the wheel"):
        order_change(order=order, by=manager, values=change)


def test_a_survey_visit_takes_no_part_that_moves_a_wheel(writer) -> None:
    visit = make_order(kind=OrderKind.SURVEY_VISIT)
    line = Line(order=visit, kind="part", part=make_part(), description="Top mount")
    with pytest.raises(Refused, match="survey visit"):
        lines_change(order=visit, by=writer, lines=[line])
    assert not visit.lines.exists()


def test_a_part_that_moves_the_wheel_brings_the_need_of_a_check(writer) -> None:
    order = make_order(kind=OrderKind.OTHER, moves_wheel_or_height=False)
    line = Line(order=order, kind="part", part=make_part(), description="Top mount")
    lines_change(order=order, by=writer, lines=[line])
    order.refresh_from_db()
    assert order.needs_check


def test_other_parts_than_those_ordered_are_ordered_anew(writer) -> None:
    make_shop()
    order = make_order()
    make_line(order, kind="part", part=make_part(number="A-1"), description="Mount")

    def agree() -> None:
        quote = quote_send(order=order, by=writer)
        quote_authorise(
            quote=quote, name="A. C.", **as_read(quote), via="link", signed_warning=False
        )

    agree()
    parts_order(order=order, by=writer)
    make_line(order, description="One more hour")
    agree()
    order.refresh_from_db()
    assert order.parts_ordered_at is not None
    make_line(order, kind="part", part=make_part(number="B-1"), description="Another mount")
    agree()
    order.refresh_from_db()
    assert order.parts_ordered_at is None
    parts_order(order=order, by=writer)
