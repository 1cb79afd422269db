"""Answer a check file at the command line, without a database."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from fitment.engine.check import CannotCheck, run
from fitment.engine.checkfile import BadCheckFile, answer_dump, loads
from fitment.engine.model import Answer
from fitment.management.input_file import BAD_INPUT, GOOD, STOPPED, content_of, refusal
from fitment.text.render import reason_text
from fitment.text.report import answer_text

KIND = "check file"


class Command(BaseCommand):
    """``manage.py clearance FILE [--json]``; FILE may be ``-`` for standard input.

    Exit code 0: clear or tight, and in reach. 1: any other verdict, or out of reach. 2: the
    file cannot be used; every reason is listed on standard error.
    """

    help = "Say whether the wheel and tyre of a check file clear. Needs no database."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="check file, or - for standard input")
        parser.add_argument("--json", action="store_true", help="answer as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        answer = _answer(content_of(options["file"], KIND))
        if options["json"]:
            self.stdout.write(json.dumps(answer_dump(answer), indent=2, ensure_ascii=False))
        else:
            self.stdout.write(answer_text(answer))
        code = exit_code(answer)
        if code:
            sys.exit(code)


def exit_code(answer: Answer) -> int:
    """0 if the job can go ahead on this answer, 1 if something stands against it."""
    in_reach = not any(corner.out_of_reach for corner in answer.corners.values())
    return GOOD if answer.verdict.clears and in_reach else STOPPED


def _answer(data: bytes) -> Answer:
    try:
        return run(loads(data))
    except BadCheckFile as error:
        raise refusal(error, KIND) from error
    except CannotCheck as error:
        path = f"corners.{error.corner}"
        raise CommandError(f"{path}: {reason_text(error)}", returncode=BAD_INPUT) from error
