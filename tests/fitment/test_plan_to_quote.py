"""What is chosen becomes what is quoted, and a change of mind is a new quote that says so."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from alignment.models import PlannedSetting
from fitment.clearance.services import check_run
from fitment.models import OrderMounting, OrderWheels
from shop.models import Quote, WorkOrder
from shop.money.services import gaps_of, lines_fill, quote_pdf
from shop.orders.services.copying import order_copy
from shop.orders.services.quoted import read_digest
from tests.factories import as_read, make_deposit, make_line, make_part, make_part_order, make_shop
from tests.fitment.factories import make_ready_order
from tests.pdf import text_of_pdf

pytestmark = pytest.mark.django_db


def an_order() -> WorkOrder:
    """Wheels with a spacer and rings, a packer and rolled lips in front."""
    make_shop(hourly_rate=Decimal("92.50"))
    make_part(name="Packer 10", adjuster="bump_stop_mm", price=Decimal("12.00"))
    order = make_ready_order()
    OrderWheels.objects.filter(order=order, axle="front").update(spacer_mm=5)
    OrderMounting.objects.create(
        order=order, axle="front", ring_outer_mm=70.1, ring_inner_mm=64.5, seat="cone60"
    )
    plan = PlannedSetting.objects.get(order=order, axle="front")
    plan.adjusters, plan.rolled_lips = {"bump_stop_mm": 10.0}, True
    plan.save()
    return order


def sources(order: WorkOrder) -> set[str]:
    return {line.source.split(":")[0] for line in order.lines.all()}


def test_one_press_quotes_all_that_is_planned(writer: Any) -> None:
    order = an_order()
    lines_fill(order=order, by=writer)
    assert sources(order) >= {
        "wheel", "tyre", "spacer", "ring", "nut", "mounting", "packer", "packer-hours",
        "lips-hours", "alignment-hours",
    }  # fmt: skip
    packer = order.lines.get(source__startswith="packer:")
    assert (packer.part.name, packer.quantity, packer.axle) == ("Packer 10", 2, "front")
    assert order.lines.get(source="lips-hours:front:").work == "lips"
    assert not gaps_of(order)


def test_a_part_that_reaches_is_quoted_where_the_plan_is_out_of_reach(writer: Any) -> None:
    make_shop()
    order = make_ready_order()
    short = make_part(adjuster="top_mount_in_mm", reach_min=0, reach_max=6)
    mine = make_line(order, kind="part", part=short, axle="front")
    long = make_part(
        name="Long slots", adjuster="top_mount_in_mm", reach_min=0, reach_max=15, price="310.00"
    )
    assert "adjuster" not in sources(order)
    check_run(order=order, by=writer)
    lines_fill(order=order, by=writer)
    line = order.lines.get(source="adjuster:front:top_mount_in_mm")
    assert (line.part, line.quantity, line.unit_price) == (long, 2, Decimal("310.00"))
    # With it the plan is in reach, and the line stays what was asked for.
    mine.delete()
    assert check_run(order=order, by=writer).in_reach
    assert not gaps_of(order)
    PlannedSetting.objects.filter(order=order).delete()
    assert line in gaps_of(order).stale


def test_a_copy_takes_wheels_rings_and_settings(writer: Any) -> None:
    order = an_order()
    lines_fill(order=order, by=writer)
    copied = order_copy(
        source=order, vehicle=order.vehicle, request_text="", mileage_km=None, by=writer
    ).order
    for model in (OrderWheels, OrderMounting, PlannedSetting):
        theirs = model.objects.filter(order=order).values_list("axle", flat=True)
        ours = model.objects.filter(order=copied).values_list("axle", flat=True)
        assert sorted(theirs) == sorted(ours) != []
    assert OrderWheels.objects.get(order=copied, axle="front").spacer_mm == 5
    plan = PlannedSetting.objects.get(order=copied, axle="front")
    assert (plan.adjusters, plan.rolled_lips) == ({"bump_stop_mm": 10.0}, True)
    assert not gaps_of(copied)


def test_a_change_of_mind_is_a_new_quote_with_the_difference_and_signed_anew(
    writer: Any, client: Any, client_of: Any
) -> None:
    order = an_order()
    desk = client_of(writer)
    desk.post(reverse("lines_from_plan", args=[order.pk]))
    send = reverse("quote_send", args=[order.pk])
    desk.post(send, {"costs_nothing": "on", "note": ""})
    first = Quote.objects.get(order=order)
    sign = reverse("customer_authorise", args=[order.token])
    values = {"name": "Nadir Quell", "agree": "on", "signed_warning": "on"}
    client.post(sign, values | as_read(first))
    assert WorkOrder.objects.get(pk=order.pk).state == "approved"

    # Other spacers: the card says so, one press adds the line, the old one is marked.
    OrderWheels.objects.filter(order=order, axle="front").update(spacer_mm=8)
    card = desk.get(order.get_absolute_url()).content.decode()
    assert 'data-test="gap-missing"' in card
    assert 'data-test="gap-stale"' in card
    order.lines.get(source="spacer:front:5").delete()
    desk.post(reverse("lines_from_plan", args=[order.pk]))

    # The preview is what will be frozen, with the difference to the signed quote.
    preview = desk.get(send).content.decode()
    assert 'data-test="quote-differences"' in preview
    shown = preview.split('name="digest" value="')[1].split('"')[0]
    assert desk.post(send, {"costs_nothing": "on", "note": "", "digest": shown}).status_code == 302
    second = Quote.objects.filter(order=order).first()
    assert second is not None
    assert read_digest(second) == shown
    assert second.document["before"] == first.number
    told = text_of_pdf(quote_pdf(second))
    assert f"Changed since quote {first.number}" in told
    assert "8 mm" in told

    # The customer reads it on the link; what was signed does not count for it.
    link = client.get(reverse("customer_order", args=[order.token])).content.decode()
    assert 'data-test="quote-differences"' in link
    assert WorkOrder.objects.get(pk=order.pk).state == "quoted"
    client.post(sign, values | as_read(first))
    assert not hasattr(Quote.objects.get(pk=second.pk), "authorisation")
    client.post(sign, values | as_read(second))
    assert WorkOrder.objects.get(pk=order.pk).state == "approved"


def test_another_note_than_the_previewed_one_is_shown_before_it_is_sent(
    writer: Any, client_of: Any
) -> None:
    order = an_order()
    lines_fill(order=order, by=writer)
    desk, send = client_of(writer), reverse("quote_send", args=[order.pk])
    shown = desk.get(send).content.decode().split('name="digest" value="')[1].split('"')[0]
    answer = desk.post(send, {"costs_nothing": "on", "note": "Ring us first.", "digest": shown})
    assert answer.status_code == 200
    assert not Quote.objects.exists()
    page = answer.content.decode()
    preview = page.split('data-test="preview"')[1]
    assert "Ring us first." in preview
    again = page.split('name="digest" value="')[1].split('"')[0]
    assert (
        desk.post(
            send, {"costs_nothing": "on", "note": "Ring us first.", "digest": again}
        ).status_code
        == 302
    )


def test_deposits_and_ordered_parts_are_named_before_a_cancel(writer: Any, client_of: Any) -> None:
    order = an_order()
    lines_fill(order=order, by=writer)
    make_deposit(order, received=Decimal("150.00"), received_on="2026-11-02", received_how="card")
    for line in order.lines.filter(kind="part"):
        make_part_order(order, line=line)
    page = (
        client_of(writer)
        .get(reverse("order_move", args=[order.pk]), {"to": "cancelled"})
        .content.decode()
    )
    settle = page.split('data-test="settle"')[1].split("</ul>")[0]
    assert "150.00" in settle
    assert "Packer 10" in settle or "Packer, 10 mm" in settle


def test_parts_without_a_price_are_not_sent_unnoticed(writer: Any, client_of: Any) -> None:
    order = an_order()
    lines_fill(order=order, by=writer)
    desk, send = client_of(writer), reverse("quote_send", args=[order.pk])
    page = desk.post(send, {"note": ""})
    assert page.status_code == 200
    assert "costs_nothing" in page.context["form"].errors
    assert not Quote.objects.exists()
    desk.post(send, {"note": "", "costs_nothing": "on"})
    assert Quote.objects.exists()
