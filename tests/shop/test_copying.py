"""A copy of an older order begins where that one stood, and says what it did not take."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from shop.models import WorkOrder
from shop.orders.services.copying import copy_source, order_copy
from shop.site.refusals import Refused
from shop.values.amounts import Discount
from tests.factories import (
    make_deposit,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_user,
    make_vehicle,
)

pytestmark = pytest.mark.django_db


def an_older_order() -> WorkOrder:
    make_shop()
    order = make_order(state="handed_over", use="track", technician_notes="Mind the clip")
    part = make_part(price=Decimal("90.00"))
    line = make_line(order, kind="part", part=part, description="Arm", source="wheel:1")
    line.discount = Discount(percent=Decimal(5))
    line.save()
    make_deposit(order)
    return order


def test_a_copy_takes_the_lines_and_says_what_it_left(client_of: Any) -> None:
    source = an_older_order()
    writer = make_user("writer")
    copied = order_copy(
        source=source, vehicle=source.vehicle, request_text="Again", mileage_km=None, by=writer
    )
    order = copied.order
    assert (order.state, order.use, order.request_text) == ("enquiry", "track", "Again")
    line = order.lines.get()
    assert (line.description, line.unit_price, line.source) == ("Arm", Decimal("80.00"), "wheel:1")
    assert not line.discount
    assert len(copied.left) == 4  # the discount, the part's new price, deposits, notes
    assert not order.deposits.exists()
    assert source.lines.count() == 1


def test_another_car_of_the_model_gets_a_copy_for_its_owner_and_no_other_model_does() -> None:
    source, writer = an_older_order(), make_user("writer")
    twin = make_vehicle(car_model=source.vehicle.car_model)
    values: dict[str, Any] = {"request_text": "", "mileage_km": None, "by": writer}
    assert order_copy(source=source, vehicle=twin, **values).order.customer == twin.customer
    with pytest.raises(Refused):
        order_copy(source=source, vehicle=make_vehicle(), **values)


def test_the_vehicles_page_leads_to_a_copy_of_its_models_order(client_of: Any) -> None:
    source = an_older_order()
    twin = make_vehicle(car_model=source.vehicle.car_model)
    assert copy_source(twin) == source
    desk = client_of(make_user("writer"))
    url = f"{reverse('order_copy', args=[source.pk])}?vehicle={twin.pk}"
    assert url in desk.get(twin.get_absolute_url()).content.decode()
    answer = desk.post(url, {"vehicle": twin.pk, "request_text": "Like the other"}, follow=True)
    order = WorkOrder.objects.get(vehicle=twin)
    assert answer.redirect_chain[-1][0] == order.get_absolute_url()
    assert "not taken" in answer.content.decode()
