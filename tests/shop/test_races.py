"""Two people at the same moment: run on PostgreSQL, where rows are really locked."""

import threading
from collections.abc import Callable, Sequence

import pytest
from django.db import connection

from shop.extensions.points import BOOKING_GATES
from shop.models import Authorisation, State, WorkOrder
from shop.money.services import quote_authorise, quote_send
from shop.orders.services.changes import order_create
from shop.orders.services.states import order_move
from shop.parts.services import parts_arrive_all, parts_order
from shop.site.refusals import Refused
from tests.factories import (
    as_read,
    make_line,
    make_order,
    make_part,
    make_part_order,
    make_shop,
    make_user,
    make_vehicle,
)
from tests.shop import gates_for_tests

pytestmark = [
    pytest.mark.postgres,
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "postgresql", reason="real row locks are needed"),
]


@pytest.fixture(autouse=True)
def _open_gate(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.open_gate)


def at_once(acts: Sequence[Callable[[], object]]) -> list[str]:
    """Run the acts in threads that start together; "done", or "refused", for each."""
    start = threading.Barrier(len(acts))
    outcomes: list[str] = []

    def run(act: Callable[[], object]) -> None:
        try:
            start.wait(timeout=10)
            act()
            outcomes.append("done")
        except Refused:
            outcomes.append("refused")
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    return sorted(outcomes)


def test_no_two_orders_get_one_number() -> None:
    make_shop()
    writer, vehicle = make_user("writer"), make_vehicle()

    def open_one() -> None:
        order_create(by=writer, customer=vehicle.customer, vehicle=vehicle)

    assert at_once([open_one] * 4) == ["done"] * 4
    numbers = sorted(WorkOrder.objects.values_list("number", flat=True))
    assert numbers == ["W0001", "W0002", "W0003", "W0004"]


def test_a_quote_is_authorised_once() -> None:
    make_shop()
    order, writer = make_order(), make_user("writer")
    make_line(order)
    quote = quote_send(order=order, by=writer)

    def sign() -> None:
        quote_authorise(
            quote=quote, name="A. C.", **as_read(quote), via="link", signed_warning=False
        )

    assert at_once([sign] * 3) == ["done", "refused", "refused"]
    assert Authorisation.objects.count() == 1


def test_an_order_is_moved_once_and_parts_are_ordered_once() -> None:
    make_shop()
    order, writer = make_order(), make_user("writer")
    make_line(order, kind="part", part=make_part(), description="Mount")
    quote = quote_send(order=order, by=writer)
    quote_authorise(quote=quote, name="A. C.", **as_read(quote), via="link", signed_warning=False)

    def order_parts() -> None:
        parts_order(order=order, by=writer)

    assert at_once([order_parts] * 2) == ["done", "refused"]

    def drop() -> None:
        fresh = WorkOrder.objects.get(pk=order.pk)
        order_move(order=fresh, to=State.CANCELLED, by=writer, reason="Sold")

    assert at_once([drop] * 2) == ["done", "refused"]
    assert order.log.filter(what__contains="Cancelled").count() == 1


def test_pieces_that_two_people_take_in_at_once_arrive_once() -> None:
    order, writer = make_order(), make_user("writer")
    made = make_part_order(order)

    def take_in() -> None:
        parts_arrive_all(order=order, by=writer)

    assert at_once([take_in] * 3) == ["done", "refused", "refused"]
    assert made.arrivals.get().quantity == made.quantity
