"""Print an order's room check as text."""

from __future__ import annotations

import argparse
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from fitment.engine.checkfile import answer_load
from fitment.engine.report import answer_text
from fitment.models import RoomCheck
from fitment.services.checks import check_state


class Command(BaseCommand):
    """``manage.py room_check_text [NUMBER]``; without a number, the first order that has one."""

    help = "Print the latest room check of an order as plain text."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("number", nargs="?", default="", help="order number, such as W0001")

    def handle(self, *args: Any, **options: Any) -> None:
        checks = RoomCheck.objects.select_related("order__customer", "order__vehicle")
        number = str(options["number"])
        if number:
            check = checks.filter(order__number=number).order_by("-at", "-pk").first()
            if check is None:
                raise CommandError(f"No room check of an order {number} is kept.")
        else:
            check = checks.order_by("order_id", "-at", "-pk").first()
            if check is None:
                self.stdout.write("No order has a room check yet.")
                return
        self.stdout.write(check_text(check))


def check_text(check: RoomCheck) -> str:
    """The check with its order, date and engine, and whether it still holds."""
    order = check.order
    state = check_state(order)
    fresh = state.current is not None and state.current.pk == check.pk
    at = timezone.localtime(check.at)
    head = [
        f"Order {order}: {order.vehicle}, {order.customer}",
        f"Checked {at:%d %b %Y %H:%M}, engine {check.engine_version}"
        + ("" if fresh else "; the order has changed since"),
        check.sentence,
    ]
    if check.answer:
        head += ["", answer_text(answer_load(check.answer))]
    return "\n".join(head)
