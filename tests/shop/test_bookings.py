"""No two jobs in one bay, and none with one technician, at one time."""

import datetime as dt
import threading

import pytest
from django.db import IntegrityError, close_old_connections, connection, transaction

from shop.calendar.services import booking_cancel, booking_make
from shop.extensions.points import BOOKING_GATES
from shop.models import Booking, OrderKind, State
from shop.orders.services.gates import GateClosed
from shop.site.refusals import NotYours, Refused
from tests.factories import make_bay, make_booking, make_order, make_user, tomorrow_at
from tests.shop import gates_for_tests
from tests.shop.gates_for_tests import say

pytestmark = pytest.mark.database


@pytest.fixture(autouse=True)
def _open_gate(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)


@pytest.fixture
def writer(db):
    return make_user("writer")


@pytest.fixture
def technician(db):
    return make_user("technician")


def survey_visit():
    return make_order(kind=OrderKind.SURVEY_VISIT)


def book(order, writer, **values):
    values.setdefault("starts_at", tomorrow_at(9))
    values.setdefault("ends_at", tomorrow_at(11))
    return booking_make(order=order, by=writer, **values)


@pytest.mark.django_db
def test_the_first_block_books_the_order_and_a_second_one_may_follow(writer, technician) -> None:
    order, bay = survey_visit(), make_bay()
    book(order, writer, bay=bay, technician=technician)
    assert order.state == State.BOOKED
    book(
        order,
        writer,
        bay=bay,
        technician=technician,
        starts_at=tomorrow_at(11),
        ends_at=tomorrow_at(12),
    )
    assert order.bookings.count() == 2


@pytest.mark.django_db
@pytest.mark.parametrize(("start", "end"), [(8, 10), (10, 12), (9, 11), (8, 12), (10, 11)])
def test_an_overlap_in_a_bay_is_refused_and_named(start, end, writer) -> None:
    bay = make_bay(name="Bay by the door")
    taken = survey_visit()
    book(taken, writer, bay=bay, technician=make_user())
    with pytest.raises(Refused, match=rf"Bay by the door is booked for {taken.number}") as refusal:
        book(
            survey_visit(),
            writer,
            bay=bay,
            technician=make_user(),
            starts_at=tomorrow_at(start),
            ends_at=tomorrow_at(end),
        )
    assert refusal.value.field == "bay"


@pytest.mark.django_db
def test_a_technician_is_in_one_place_at_a_time(writer, technician) -> None:
    book(survey_visit(), writer, bay=make_bay(), technician=technician)
    with pytest.raises(Refused, match="is booked for") as refusal:
        book(survey_visit(), writer, bay=make_bay(), technician=technician)
    assert refusal.value.field == "technician"


@pytest.mark.django_db
def test_blocks_that_only_touch_do_not_overlap(writer, technician) -> None:
    bay = make_bay()
    book(survey_visit(), writer, bay=bay, technician=technician)
    book(
        survey_visit(),
        writer,
        bay=bay,
        technician=technician,
        starts_at=tomorrow_at(11),
        ends_at=tomorrow_at(12),
    )
    assert Booking.objects.count() == 2


@pytest.mark.django_db
def test_rack_work_goes_to_a_bay_with_the_rack(writer, technician) -> None:
    with pytest.raises(Refused, match="has none"):
        book(survey_visit(), writer, bay=make_bay(), technician=technician, needs_rack=True)
    book(
        survey_visit(), writer, bay=make_bay(has_rack=True), technician=technician, needs_rack=True
    )


@pytest.mark.django_db
def test_impossible_times_and_people_are_refused_with_the_field(writer, technician) -> None:
    bay = make_bay()
    cases = [
        ({"ends_at": tomorrow_at(9)}, "ends"),
        ({"ends_at": tomorrow_at(9) + dt.timedelta(hours=15)}, "ends"),
        (
            {
                "starts_at": tomorrow_at(9) - dt.timedelta(days=9),
                "ends_at": tomorrow_at(11) - dt.timedelta(days=9),
            },
            "day",
        ),
        ({"technician": make_user("writer")}, "technician"),
        ({"technician": make_user(is_active=False)}, "technician"),
        ({"bay": make_bay(in_use=False)}, "bay"),
    ]
    for values, field in cases:
        with pytest.raises(Refused) as refusal:
            book(survey_visit(), writer, **({"bay": bay, "technician": technician} | values))
        assert refusal.value.field == field
    assert not Booking.objects.exists()


@pytest.mark.django_db
def test_technicians_do_not_book_and_unagreed_orders_are_not_booked(writer, technician) -> None:
    with pytest.raises(NotYours):
        book(survey_visit(), technician, bay=make_bay(), technician=technician)
    with pytest.raises(Refused, match="approved the quote"):
        book(make_order(), writer, bay=make_bay(), technician=technician)


@pytest.mark.django_db
def test_a_closed_gate_stops_a_booking(writer, technician, swap_plugs) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.told_gate)
    say(result="stale")
    order = make_order(state=State.APPROVED)
    with pytest.raises(GateClosed):
        book(order, writer, bay=make_bay(), technician=technician)
    order.refresh_from_db()
    assert order.state == State.APPROVED


@pytest.mark.django_db
def test_the_last_block_taken_back_unbooks_the_order(writer, technician) -> None:
    order = survey_visit()
    booking = book(order, writer, bay=make_bay(), technician=technician)
    assert booking_cancel(booking=booking, by=writer).state == State.ENQUIRY
    assert not order.bookings.exists()


@pytest.mark.django_db
def test_a_block_ends_after_it_starts_even_in_the_database(technician) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make_booking(make_order(), starts_at=tomorrow_at(9), ends_at=tomorrow_at(9))


@pytest.mark.django_db
@pytest.mark.skipif(connection.vendor != "postgresql", reason="a constraint of PostgreSQL")
def test_postgresql_refuses_an_overlap_by_itself(technician) -> None:
    bay = make_bay()
    make_booking(make_order(), bay=bay)
    with pytest.raises(IntegrityError), transaction.atomic():
        make_booking(make_order(), bay=bay)
    make_booking(make_order(), technician=technician)
    with pytest.raises(IntegrityError), transaction.atomic():
        make_booking(make_order(), technician=technician)


@pytest.mark.postgres
@pytest.mark.skipif(connection.vendor != "postgresql", reason="real row locks are needed")
@pytest.mark.django_db(transaction=True)
def test_of_two_writers_at_the_same_moment_one_gets_the_bay() -> None:
    bay, writer = make_bay(), make_user("writer")
    jobs = [(survey_visit(), make_user()) for _ in range(2)]
    start = threading.Barrier(len(jobs))
    outcomes: list[str] = []

    def try_to_book(order, technician) -> None:
        try:
            start.wait(timeout=10)
            book(order, writer, bay=bay, technician=technician)
            outcomes.append("booked")
        except Refused as refusal:
            outcomes.append(refusal.field)
        finally:
            close_old_connections()
            connection.close()

    threads = [threading.Thread(target=try_to_book, args=job) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    assert sorted(outcomes) == ["bay", "booked"]
    assert Booking.objects.count() == 1
