"""``manage.py clearance_check_text ORDER_NUMBER``: the order's last check as plain text."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from fitment.engine import checkfile
from fitment.models import ClearanceCheck
from fitment.text.render import stored_text
from fitment.text.report import answer_text
from shop.models import WorkOrder


class Command(BaseCommand):
    help = "Print the last clearance check of a work order as a table for people."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("number", help="number of the work order, for example W0001")

    def handle(self, *args: Any, number: str, **options: Any) -> None:
        order = WorkOrder.objects.filter(number=number).first()
        if order is None:
            raise CommandError(f"There is no work order {number}.")
        check = ClearanceCheck.objects.filter(order=order).first()
        if check is None:
            raise CommandError(f"The clearance of {number} has not been checked.")
        self.stdout.write(f"Clearance check of {number}, {check.result}: {stored_text(check)}")
        if check.answer:
            self.stdout.write("")
            self.stdout.write(answer_text(checkfile.answer_load(check.answer)))
