"""``manage.py worker``: work background tasks off until it is stopped."""

from __future__ import annotations

import signal
from argparse import ArgumentParser
from types import FrameType
from typing import Any

from django.core.management.base import BaseCommand

from shop.background.runner import work_off


class Command(BaseCommand):
    """On SIGTERM or SIGINT the task at hand is put back and goes on where it was, in any worker.

    What a worker had begun that was killed is taken over once its lease runs out.
    """

    help = "Work background tasks off, such as searches. One process is enough for a shop."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--idle", type=float, metavar="SECONDS", help="end after so long without work"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        asked: list[int] = []

        def end(number: int, frame: FrameType | None) -> None:
            asked.append(number)

        for one in (signal.SIGTERM, signal.SIGINT):
            signal.signal(one, end)
        work_off(lambda: bool(asked), idle_seconds=options["idle"])
