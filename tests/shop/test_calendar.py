"""Opening hours, free times, appointments that are moved or missed, the week, and feeds."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from shop.calendar.opening import opening, opening_set, week_hours
from shop.calendar.proposals import duration_of, free_times
from shop.calendar.services import booking_cancel, booking_make, booking_move, booking_no_show
from shop.extensions.points import BOOKING_GATES
from shop.models import (
    Booking,
    BookingEnd,
    CalendarFeed,
    LineKind,
    OrderKind,
    State,
    User,
    WorkOrder,
)
from shop.site.refusals import NotYours, Refused
from tests.factories import (
    make_bay,
    make_booking,
    make_line,
    make_order,
    make_user,
    make_vehicle,
    tomorrow_at,
)
from tests.shop import gates_for_tests

pytestmark = [pytest.mark.database, pytest.mark.django_db]

HOUR = dt.timedelta(hours=1)


@pytest.fixture(autouse=True)
def _open_gate(swap_plugs: Any) -> None:
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)


@pytest.fixture
def writer() -> User:
    return make_user("writer")


@pytest.fixture
def technician() -> User:
    return make_user("technician")


def visit(**values: Any) -> WorkOrder:
    return make_order(kind=OrderKind.SURVEY_VISIT, **values)


def book(writer: User, **values: Any) -> Booking:
    values.setdefault("order", visit())
    values.setdefault("starts_at", tomorrow_at(9))
    values.setdefault("ends_at", values["starts_at"] + 2 * HOUR)
    if "bay" not in values:
        values["bay"] = make_bay(has_rack=True)
    return booking_make(by=writer, **values)


def closed_but(*days: int) -> None:
    """Open on these weekdays only, from seven to sixteen."""
    hours = (dt.time(7), dt.time(16))
    opening_set(week={day: hours if day in days else None for day in range(7)}, closed={})


# --- opening hours


def test_a_time_outside_the_opening_hours_wants_a_reason_and_keeps_it(
    writer: User, technician: User
) -> None:
    early = {"starts_at": tomorrow_at(6), "ends_at": tomorrow_at(8), "technician": technician}
    bay = make_bay()
    with pytest.raises(Refused, match="open from 08:00 to 18:00") as refused:
        book(writer, bay=bay, **early)
    assert refused.value.field == "outside_reason"
    booking = book(writer, bay=bay, outside_reason="leaves for a race", **early)
    assert "leaves for a race" in booking.order.log.get(what__startswith="Appointment").detail


def test_a_closed_day_is_not_booked_without_a_reason(writer: User, technician: User) -> None:
    day = tomorrow_at(9).date()
    opening_set(week=week_hours(), closed={day: "stocktaking"})
    with pytest.raises(Refused, match="closed on this day"):
        book(writer, technician=technician)


def test_the_hours_are_edited_on_one_page_and_a_bad_line_is_named(writer: User) -> None:
    client = Client()
    client.force_login(make_user("manager"))
    values = {f"{name}_{day}": "" for name in ("opens", "closes") for day in range(7)}
    values |= {"opens_0": "07:30", "closes_0": "16:00", "closed": "2027-12-24 Holidays\nlater"}
    page = client.post(reverse("opening_hours"), values)
    assert "Line 2" in page.content.decode()
    assert client.post(reverse("opening_hours"), values | {"closes_0": "07:00"}).status_code == 200
    half = values | {"closed": "", "closes_0": ""}
    assert "Give both times" in client.post(reverse("opening_hours"), half).content.decode()
    values["closed"] = "2027-12-24 Holidays\n\n2027-12-27"
    assert client.post(reverse("opening_hours"), values).status_code == 302
    now = opening()
    assert now.week[0] == (dt.time(7, 30), dt.time(16))
    assert now.week[1] is None
    assert now.closed == {dt.date(2027, 12, 24): "Holidays", dt.date(2027, 12, 27): ""}
    shown = client.get(reverse("opening_hours")).content.decode()
    assert "2027-12-24 Holidays" in shown


# --- free times


def test_the_first_free_time_of_three_days_is_proposed(technician: User) -> None:
    bay = make_bay(has_rack=True)
    make_bay()
    make_booking(visit(), bay=bay, technician=make_user(), starts_at=tomorrow_at(8))
    make_booking(visit(), bay=make_bay(), technician=technician, starts_at=tomorrow_at(10, 30))
    found = free_times(duration=HOUR, rack=True, after=tomorrow_at(0))
    assert [one.starts_at for one in found] == [
        tomorrow_at(10),
        tomorrow_at(8) + dt.timedelta(days=1),
        tomorrow_at(8) + dt.timedelta(days=2),
    ]
    assert {one.bay for one in found} == {bay}
    # From ten the technician who is free is the other one.
    assert found[0].technician != technician


def test_a_job_longer_than_a_day_is_proposed_for_the_whole_of_one(technician: User) -> None:
    make_bay()
    found = free_times(duration=30 * HOUR, rack=False, after=tomorrow_at(0))
    assert (found[0].starts_at, found[0].ends_at) == (tomorrow_at(8), tomorrow_at(18))


def test_closed_weekdays_are_passed_over(technician: User) -> None:
    make_bay()
    day = tomorrow_at(9).date()
    closed_but((day.weekday() + 1) % 7)
    found = free_times(duration=HOUR, rack=False, after=tomorrow_at(0))
    assert [(one.starts_at - found[0].starts_at).days for one in found] == [0, 7, 14]
    assert timezone.localtime(found[0].starts_at).date() == day + dt.timedelta(days=1)


def test_labour_that_is_quoted_and_not_booked_yet_gives_the_duration() -> None:
    order = make_order()
    assert duration_of(order) == HOUR
    make_line(order, kind=LineKind.LABOUR, quantity="2.60")
    make_line(order, kind=LineKind.LABOUR, quantity="0.50")
    assert duration_of(order) == dt.timedelta(hours=3, minutes=15)
    make_booking(order)
    assert duration_of(order) == dt.timedelta(hours=1, minutes=15)


def test_a_free_time_is_booked_in_one_press(writer: User, technician: User) -> None:
    make_bay(has_rack=True)
    order, client = visit(), Client()
    client.force_login(writer)
    page = client.get(reverse("booking_new", args=[order.pk])).content.decode()
    assert 'data-test="free-times"' in page
    time = free_times(duration=HOUR, rack=False, after=timezone.now())[0]
    start, end = timezone.localtime(time.starts_at), timezone.localtime(time.ends_at)
    sent = {
        "day": f"{start:%Y-%m-%d}",
        "starts": f"{start:%H:%M}",
        "ends": f"{end:%H:%M}",
        "bay": time.bay.pk,
        "technician": time.technician.pk,
    }
    assert client.post(reverse("booking_new", args=[order.pk]), sent).status_code == 302
    order.refresh_from_db()
    assert order.state == State.BOOKED


# --- moved, missed, cancelled


def test_a_move_keeps_the_order_booked_and_logs_both_times(writer: User, technician: User) -> None:
    booking = book(writer, technician=technician)
    moved = booking_move(
        booking=booking,
        by=writer,
        bay=booking.bay,
        technician=technician,
        starts_at=tomorrow_at(10),
        ends_at=tomorrow_at(12),
    )
    assert (moved.pk, moved.uid, moved.changes) == (booking.pk, booking.uid, 1)
    order = WorkOrder.objects.get(pk=booking.order_id)
    assert order.state == State.BOOKED
    detail = order.log.get(what="Appointment moved").detail
    assert "09:00" in detail
    assert "12:00" in detail


def test_a_move_to_a_taken_time_is_refused_and_the_old_time_stands(
    writer: User, technician: User
) -> None:
    booking = book(writer, technician=technician)
    make_booking(visit(), bay=booking.bay, technician=make_user(), starts_at=tomorrow_at(14))
    with pytest.raises(Refused, match="is booked for"):
        booking_move(
            booking=booking,
            by=writer,
            bay=booking.bay,
            technician=technician,
            starts_at=tomorrow_at(13),
            ends_at=tomorrow_at(15),
        )
    booking.refresh_from_db()
    assert booking.starts_at == tomorrow_at(9)


def test_a_technician_moves_no_appointment(writer: User, technician: User) -> None:
    booking = book(writer, technician=technician)
    with pytest.raises(NotYours):
        booking_move(
            booking=booking,
            by=technician,
            bay=booking.bay,
            technician=technician,
            starts_at=tomorrow_at(10),
            ends_at=tomorrow_at(12),
        )


def test_a_missed_appointment_frees_its_time_and_its_reason_stays(
    writer: User, technician: User
) -> None:
    booking = book(writer, technician=technician)
    with pytest.raises(Refused, match="still to come"):
        booking_no_show(booking=booking, by=writer, reason="no answer")
    Booking.objects.filter(pk=booking.pk).update(
        starts_at=timezone.now() - HOUR, ends_at=timezone.now() + HOUR
    )
    booking.refresh_from_db()
    with pytest.raises(Refused):
        booking_no_show(booking=booking, by=writer, reason=" ")
    order = booking_no_show(booking=booking, by=writer, reason="no answer")
    assert order.state == State.ENQUIRY
    kept = Booking.on_record.get(pk=booking.pk)
    assert (kept.ended, kept.ended_reason) == (BookingEnd.NO_SHOW, "no answer")
    assert not Booking.objects.exists()
    assert "no answer" in order.log.get(what="The car did not come").detail
    # The time is free: on PostgreSQL its constraint holds blocks that stand alone.
    make_booking(visit(), bay=kept.bay, technician=technician, starts_at=kept.starts_at)


def test_an_appointment_that_was_cancelled_meanwhile_is_not_moved(
    writer: User, technician: User
) -> None:
    booking = book(writer, technician=technician)
    book(
        writer,
        order=booking.order,
        bay=booking.bay,
        technician=technician,
        starts_at=tomorrow_at(14),
    )
    booking_cancel(booking=booking, by=writer)
    with pytest.raises(Refused, match="no longer stands"):
        booking_move(
            booking=booking,
            by=writer,
            bay=booking.bay,
            technician=technician,
            starts_at=tomorrow_at(16),
            ends_at=tomorrow_at(17),
        )


def test_pages_of_moving_and_missing_show_their_errors_beside_what_was_typed(
    writer: User, technician: User
) -> None:
    booking = book(writer, technician=technician)
    client = Client()
    client.force_login(writer)
    address = reverse("booking_move", args=[booking.pk])
    sent = {
        "day": f"{tomorrow_at(9):%Y-%m-%d}",
        "starts": "19:00",
        "ends": "21:00",
        "bay": booking.bay_id,
        "technician": technician.pk,
        "outside_reason": "",
    }
    page = client.post(address, sent).content.decode()
    assert 'value="19:00"' in page
    assert "open from 08:00" in page
    assert client.post(address, sent | {"outside_reason": "night shift"}).status_code == 302
    missed = client.post(reverse("booking_no_show", args=[booking.pk]), {"reason": "called"})
    assert "still to come" in missed.content.decode()


# --- the week


@pytest.mark.parametrize("by", ["bay", "technician"])
def test_the_week_shows_each_day_with_its_lines(by: str, writer: User, technician: User) -> None:
    booking = book(writer, technician=technician)
    client = Client()
    client.force_login(writer)
    day = timezone.localtime(booking.starts_at).date()
    page = client.get(reverse("week_sheet", args=[day.isoformat()]), {"by": by})
    days = page.context["days"]
    assert [one.day.weekday() for one in days] == list(range(7))
    booked = [line.name for one in days for line in one.lines if line.bookings]
    assert booked == [str(booking.bay if by == "bay" else technician)]
    assert client.get(reverse("week_sheet"), {"date": "not a day"}).status_code == 404


# --- feeds


def read(client: Client, feed: CalendarFeed) -> list[Any]:
    answer = client.get(reverse("feed", args=[feed.pk, feed.secret]))
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert all(len(line) <= 75 for line in answer.content.split(b"\r\n"))
    return list(Calendar.from_ical(answer.content).walk("VEVENT"))


def test_a_feed_tells_moves_and_cancellations_under_one_uid(writer: User, technician: User) -> None:
    order = visit(vehicle=make_vehicle(plate="7-QUAY-118"))
    booking = book(writer, order=order, technician=technician)
    feed, client = CalendarFeed.objects.create(person=technician), Client()
    (first,) = read(client, feed)
    assert first.decoded("dtstart") == booking.starts_at
    assert first.decoded("dtstart").tzinfo is not None
    assert "7-QUAY-118" in str(first["summary"])
    assert str(first["status"]) == "CONFIRMED"
    booking_move(
        booking=booking,
        by=writer,
        bay=booking.bay,
        technician=technician,
        starts_at=tomorrow_at(11),
        ends_at=tomorrow_at(12),
    )
    (second,) = read(client, feed)
    assert second["uid"] == first["uid"]
    assert int(second["sequence"]) == int(first["sequence"]) + 1
    assert second.decoded("dtend") == tomorrow_at(12)
    booking_cancel(booking=booking, by=writer)
    (third,) = read(client, feed)
    assert str(third["status"]) == "CANCELLED"
    assert int(third["sequence"]) == 2
    assert third["uid"] == first["uid"]


def test_an_event_over_the_change_of_the_clock_lasts_as_long_as_it_does(
    technician: User, settings: Any
) -> None:
    """On 28 March 2027 clocks in central Europe go from 02:00 to 03:00."""
    with timezone.override("Europe/Berlin"):
        starts = timezone.make_aware(dt.datetime(2027, 3, 28, 1, 30))
        ends = timezone.make_aware(dt.datetime(2027, 3, 28, 3, 30))
    make_booking(visit(), technician=technician, starts_at=starts, ends_at=ends)
    feed = CalendarFeed.objects.create(person=technician)
    (event,) = read(Client(), feed)
    assert event.decoded("dtend") - event.decoded("dtstart") == HOUR


def test_a_feed_has_no_telephone_and_opens_for_its_secret_alone(technician: User) -> None:
    order = visit()
    order.customer.phone = "0999 123456"
    order.customer.save()
    make_booking(order, technician=technician)
    feed, client = CalendarFeed.objects.create(person=technician), Client()
    content = client.get(reverse("feed", args=[feed.pk, feed.secret])).content
    assert b"123456" not in content
    for secret in ("wrong", feed.secret[:-1], f"{feed.secret}x"):
        assert client.get(reverse("feed", args=[feed.pk, secret])).status_code == 404
    assert client.get(reverse("feed", args=[feed.pk + 1, feed.secret])).status_code == 404
    client.force_login(technician)
    assert client.post(reverse("feed_renew", args=[feed.pk])).status_code == 302
    client.logout()
    assert client.get(reverse("feed", args=[feed.pk, feed.secret])).status_code == 404
    feed.refresh_from_db()
    assert client.get(reverse("feed", args=[feed.pk, feed.secret])).status_code == 200
    User.objects.filter(pk=technician.pk).update(is_active=False)
    assert client.get(reverse("feed", args=[feed.pk, feed.secret])).status_code == 404


def test_one_opens_ones_own_feed_and_a_manager_every(technician: User) -> None:
    other, bay = make_user("technician"), make_bay()
    client = Client()
    client.force_login(technician)
    assert client.post(reverse("feed_new"), {"person": other.pk}).status_code == 404
    assert client.post(reverse("feed_new"), {"bay": bay.pk}).status_code == 404
    assert client.post(reverse("feed_new"), {"person": technician.pk}).status_code == 302
    foreign = CalendarFeed.objects.create(person=other)
    assert client.post(reverse("feed_end", args=[foreign.pk])).status_code == 404
    client.force_login(make_user("manager"))
    assert client.post(reverse("feed_new"), {"bay": bay.pk}).status_code == 302
    page = client.get(reverse("feeds")).content.decode()
    assert CalendarFeed.objects.get(bay=bay).secret in page


def test_a_day_goes_by_bay_or_by_technician_with_telephone_numbers(
    writer: User, technician: User
) -> None:
    booking = book(writer, technician=technician)
    booking.order.customer.phone = "0999 41 42"
    booking.order.customer.save()
    client = Client()
    client.force_login(writer)
    day = timezone.localtime(booking.starts_at).date().isoformat()
    for by, owner in (("bay", booking.bay), ("technician", technician)):
        page = client.get(reverse("day_sheet", args=[day]), {"by": by})
        booked = [one["owner"] for one in page.context["lists"] if one["booked"]]
        assert booked == [owner]
        assert 'href="tel:09994142"' in page.content.decode()
