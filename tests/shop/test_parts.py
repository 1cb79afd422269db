"""Parts: ordered by line, promised, arrived in pieces, and what follows for order and booking."""

import datetime as dt
from decimal import Decimal
from importlib import import_module
from io import BytesIO

import pytest
from django.apps import apps
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from shop.extensions.points import BOOKING_GATES
from shop.models import Arrival, Authorisation, PartOrder, State
from shop.orders.services.part_orders import lines_due
from shop.parts.data import booked_too_early, parts_waiting
from shop.parts.panels import parts_notes
from shop.parts.services import (
    Arrived,
    Bought,
    arrival_undo,
    part_order_undo,
    parts_arrive_all,
    parts_change,
    parts_order,
)
from shop.site.refusals import NotYours, Refused
from tests import factories
from tests.editing import opened
from tests.shop import gates_for_tests

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture(autouse=True)
def _open_gate(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)


@pytest.fixture
def writer(db):
    return factories.make_user("writer")


def approved(*quantities: int):
    """An order whose customer has approved a line of a part for each quantity."""
    factories.make_shop()
    order = factories.make_order(state=State.APPROVED)
    for number, quantity in enumerate(quantities):
        part = factories.make_part(moves_wheel=False)
        factories.make_line(
            order, kind="part", part=part, description=f"Part {number}", quantity=Decimal(quantity)
        )
    quote = factories.make_quote(order)
    Authorisation.objects.create(quote=quote, name="N. Q.", amount=quote.total, via="link")
    return order


def days(number: int) -> dt.date:
    return timezone.localdate() + dt.timedelta(days=number)


def take(order, made, pieces, by, on=None):
    arrived = [Arrived(made, Decimal(pieces), on or timezone.localdate())]
    return parts_change(order=order, by=by, changed=[], arrived=arrived)


def test_lines_are_ordered_apart_and_the_order_waits_until_all_have_arrived(writer) -> None:
    order = approved(2, 4)
    first, second = order.lines.filter(kind="part")
    supplier = factories.make_supplier()
    bought = {first.pk: Bought(supplier, "A-77", days(5))}
    (made,) = parts_order(order=order, by=writer, bought=bought, later={second.pk})
    order.refresh_from_db()
    assert (made.supplier, made.supplier_number, made.promised_on) == (supplier, "A-77", days(5))
    assert order.waiting_for == "parts"
    assert order.parts_ordered_at is None, "one part is still to be ordered"
    assert [due.line for due in lines_due(order)] == [second]
    (other,) = parts_order(order=order, by=writer)
    order.refresh_from_db()
    assert order.parts_ordered_at == other.ordered_at
    take(order, made, 2, writer)
    take(order, other, 1, writer)
    order.refresh_from_db()
    assert order.waiting_for == "parts"
    take(order, other, 3, writer)
    order.refresh_from_db()
    assert order.waiting_for == ""
    assert order.log.filter(what="Part arrived").count() == 3


def test_no_more_arrives_than_is_to_come_and_none_tomorrow(writer) -> None:
    order = approved(4)
    (made,) = parts_order(order=order, by=writer)
    take(order, made, 3, writer)
    with pytest.raises(Refused, match="1 still to come, not 2"):
        take(order, made, 2, writer)
    with pytest.raises(Refused, match="lies ahead"):
        take(order, made, 1, writer, days(1))
    assert made.arrivals.count() == 1


def test_an_arrival_and_an_order_are_undone_with_an_entry_in_the_log(writer) -> None:
    order = approved(2)
    (made,) = parts_order(order=order, by=writer)
    assert parts_arrive_all(order=order, by=writer) == 1
    with pytest.raises(Refused, match="All parts of this order have arrived"):
        parts_arrive_all(order=order, by=writer)
    with pytest.raises(Refused, match="Undo their arrival first"):
        part_order_undo(part_order=made, by=writer)
    arrival = Arrival.objects.get()
    arrival_undo(arrival=arrival, by=writer)
    with pytest.raises(Refused, match="already been undone"):
        arrival_undo(arrival=arrival, by=writer)
    order.refresh_from_db()
    assert order.waiting_for == "parts"
    with pytest.raises(NotYours):
        part_order_undo(part_order=made, by=factories.make_user("technician"))
    part_order_undo(part_order=made, by=writer)
    order.refresh_from_db()
    assert (order.waiting_for, order.parts_ordered_at) == ("", None)
    whats = set(order.log.values_list("what", flat=True))
    assert {"Arrival undone", "Order of parts undone"} <= whats


def test_more_pieces_or_another_part_on_a_line_are_to_be_ordered(writer) -> None:
    order = approved(2)
    parts_order(order=order, by=writer)
    line = order.lines.get(kind="part")
    line.quantity = Decimal(5)
    line.save()
    assert [(due.line, due.quantity) for due in lines_due(order)] == [(line, 3)]
    line.part = factories.make_part(moves_wheel=False)
    line.save()
    assert [due.quantity for due in lines_due(order)] == [5]
    line.delete()
    assert PartOrder.objects.get().line is None, "what was ordered stays on record"
    assert parts_waiting([order.pk]) == {}


def test_what_an_order_waits_for_is_told_with_its_days(writer, django_assert_num_queries) -> None:
    order, other = factories.make_order(), factories.make_order()
    supplier = factories.make_supplier(name="By the river")
    late = factories.make_part_order(
        order, supplier=supplier, supplier_number="R1", promised_on=days(-1)
    )
    factories.make_arrival(late)
    done = factories.make_part_order(other)
    factories.make_arrival(done, quantity=done.quantity)
    with django_assert_num_queries(2):
        waiting = parts_waiting([order.pk, other.pk])
    assert list(waiting) == [order.pk]
    (one,) = waiting[order.pk]
    assert (one.outstanding, one.supplier, one.supplier_number) == (1, "By the river", "R1")
    assert (one.promised_on, one.is_late) == (days(-1), True)


def test_an_appointment_before_a_promised_day_is_named(writer, client) -> None:
    order = factories.make_order(state=State.BOOKED, waiting_for="parts")
    made = factories.make_part_order(order, promised_on=days(1))
    factories.make_booking(order)
    assert booked_too_early(order) == ""
    client.force_login(writer)
    url = reverse("order_parts", args=[order.pk])
    form = next(f for f in opened(client, url) if f.control("parts-0-promised_on"))
    answer = client.post(url, form.data(**{"parts-0-promised_on": [days(9).isoformat()]}))
    assert answer.status_code == 302
    made.refresh_from_db()
    assert made.promised_on == days(9)
    assert made.description in booked_too_early(order)
    page = client.get(reverse("order", args=[order.pk])).content.decode()
    assert booked_too_early(order) in page
    assert booked_too_early(order) in client.get(url).content.decode()


def test_booking_before_a_promised_day_warns_and_books(writer, client) -> None:
    order = factories.make_order(kind="survey_visit")
    made = factories.make_part_order(order, promised_on=days(9))
    client.force_login(writer)
    url = reverse("booking_new", args=[order.pk])
    assert 'data-test="promised"' in client.get(url).content.decode()
    data = {
        "day": days(2).isoformat(),
        "starts": "09:00",
        "ends": "11:00",
        "bay": factories.make_bay().pk,
        "technician": factories.make_user("technician").pk,
    }
    page = client.post(url, data, follow=True)
    assert order.bookings.count() == 1
    assert any(made.description in str(said) for said in page.context["messages"])


def test_wrong_pieces_keep_what_was_typed(writer, client) -> None:
    order = factories.make_order()
    made = factories.make_part_order(order)
    client.force_login(writer)
    url = reverse("order_parts", args=[order.pk])
    form = next(f for f in opened(client, url) if f.control("parts-0-arrived"))
    for typed in ("3", "0", "-1", "two"):
        data = form.data(**{"parts-0-arrived": [typed], "parts-0-supplier_number": ["K 9"]})
        answer = client.post(url, data)
        assert answer.status_code == 200
        shown = answer.content.decode()
        assert 'id="id_parts-0-arrived_error"' in shown
        assert 'value="K 9"' in shown
    assert not made.arrivals.exists()
    data = form.data(**{"parts-0-arrived": ["1,5"]})
    assert client.post(url, data).status_code == 302
    assert made.arrivals.get().quantity == Decimal("1.5")


def test_expected_parts_stand_late_first_and_are_found_by_the_suppliers_number(
    writer, client
) -> None:
    here, there = factories.make_supplier(), factories.make_supplier()
    rows = {
        "none": (here, None),
        "soon": (here, days(3)),
        "late": (there, days(-3)),
    }
    orders = {}
    for number, (supplier, promised) in rows.items():
        orders[number] = factories.make_order()
        factories.make_part_order(
            orders[number], supplier=supplier, supplier_number=f"NR-{number}", promised_on=promised
        )
    arrived = factories.make_part_order(factories.make_order(), supplier_number="NR-gone")
    factories.make_arrival(arrived, quantity=arrived.quantity)
    client.force_login(writer)
    url = reverse("parts_expected")

    def shown(**asked):
        rows = client.get(url, asked).context["rows"]
        return [row.made.supplier_number for row in rows]

    assert shown() == ["NR-late", "NR-soon", "NR-none"]
    assert shown(supplier=here.pk) == ["NR-soon", "NR-none"]
    assert shown(q="nr-soon") == ["NR-soon"]
    assert shown(q=orders["late"].number) == ["NR-late"]
    assert shown(q="nothing of this kind") == []
    assert shown(supplier="²") == ["NR-late", "NR-soon", "NR-none"]
    gone = client.get(url, {"q": "NR-gone"})
    assert arrived.order.number in gone.content.decode()


def test_a_label_for_each_box_names_order_plate_and_part(writer, client) -> None:
    order = factories.make_order()
    for number in ("L-1", "L-2"):
        factories.make_part_order(order, supplier_number=number)
    client.force_login(writer)
    answer = client.get(reverse("parts_labels", args=[order.pk]))
    assert answer["Content-Type"] == "application/pdf"
    pages = PdfReader(BytesIO(answer.content)).pages
    assert len(pages) == 2
    for page, number in zip(pages, ("L-1", "L-2"), strict=True):
        words = page.extract_text()
        assert order.number in words
        assert number in words
        assert order.vehicle.plate in words


def test_the_parts_are_here_leads_to_the_parts_and_asks_nothing(writer, client) -> None:
    order = approved(2)
    parts_order(order=order, by=writer)
    client.force_login(writer)
    answer = client.post(reverse("parts_arrived", args=[order.pk]))
    assert answer.url.partition("#")[0] == order.get_absolute_url()
    order.refresh_from_db()
    assert order.waiting_for == ""


@pytest.mark.parametrize(("waiting", "outstanding"), [("parts", 2), ("", 0)])
def test_parts_ordered_before_lines_had_orders_are_carried_over(writer, waiting, outstanding):
    order = factories.make_order(
        waiting_for=waiting, parts_ordered_at=timezone.now(), parts_ordered_by=writer
    )
    part = factories.make_part()
    factories.make_line(order, kind="part", part=part, description="Mount", quantity=Decimal(2))
    factories.make_line(order, description="An hour")
    import_module("shop.migrations.0021_parts_ordered_before").fill(apps, None)
    made = PartOrder.objects.get()
    assert (made.part, made.ordered_by, made.outstanding) == (part, writer, outstanding)
    assert lines_due(order) == []


def test_free_times_are_proposed_from_the_day_the_parts_are_promised(writer, client) -> None:
    order = factories.make_order(kind="survey_visit")
    factories.make_part_order(order, promised_on=days(9))
    factories.make_bay(has_rack=True)
    factories.make_user("technician")
    client.force_login(writer)
    free = client.get(reverse("booking_new", args=[order.pk])).context["free"]
    assert free
    assert min(timezone.localtime(one.starts_at).date() for one in free) >= days(9)


def test_what_is_to_come_stands_on_the_list_of_orders_waiting_for_parts(writer) -> None:
    order = factories.make_order(waiting_for="parts")
    made = factories.make_part_order(order, supplier_number="T-5", promised_on=days(-2))
    (said,) = parts_notes([order])[order.pk]
    assert made.description in said
    assert "T-5" in said
    assert "late" in said
