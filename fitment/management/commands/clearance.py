"""Answer check files at the command line, without a database."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from fitment.engine.check import CannotCheck, run
from fitment.engine.checkfile import BadCheckFile, answer_dump, loads
from fitment.engine.model import Answer
from fitment.management.reading import (
    BAD_INPUT,
    GOOD,
    STOPPED,
    lines_of,
    listed_problems,
    read_file,
)
from fitment.text.render import reason_text
from fitment.text.report import answer_text


class Command(BaseCommand):
    """``manage.py clearance FILE [--json | --lines]``; FILE may be ``-`` for standard input.

    Exit code 0: clear or tight, and in reach. 1: any other verdict, or out of reach. 2: the
    file cannot be used; every reason is listed on standard error.

    ``--lines`` reads a check file a line and writes an answer as JSON a line, in order; a line that
    cannot be used is answered with ``{"error": [...]}``, the reasons, and the rest goes on. Exit
    code 2 if there was any, else 1 or 0 as for the worst of the files.
    """

    help = "Say whether the wheel and tyre of a check file clear. Needs no database."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="check file, or - for standard input")
        how = parser.add_mutually_exclusive_group()
        how.add_argument("--json", action="store_true", help="answer as JSON")
        how.add_argument(
            "--lines", action="store_true", help="a check file a line; answers as JSON, a line each"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["lines"]:
            code = self._lines(options["file"])
        else:
            code = self._file(options["file"], as_json=options["json"])
        if code:
            sys.exit(code)

    def _file(self, name: str, *, as_json: bool) -> int:
        try:
            answer = _answer(read_file(name, "check file"))
        except _Unusable as bad:
            message = "\n".join(bad.reasons)
            if bad.is_file:
                message = listed_problems(bad.reasons, "check file")
            raise CommandError(message, returncode=BAD_INPUT) from bad
        if as_json:
            self.stdout.write(json.dumps(answer_dump(answer), indent=2, ensure_ascii=False))
        else:
            self.stdout.write(answer_text(answer))
        return exit_code(answer)

    def _lines(self, name: str) -> int:
        worst = GOOD
        for line in lines_of(name):
            try:
                if line is None:
                    raise _Unusable(["the line: is too large for a check file"])
                answer = _answer(line)
            except _Unusable as bad:
                worst = BAD_INPUT
                row: dict[str, Any] = {"error": bad.reasons}
            else:
                worst = max(worst, exit_code(answer))
                row = answer_dump(answer)
            self.stdout.write(json.dumps(row, ensure_ascii=False))
            self.stdout.flush()
        return worst


class _Unusable(Exception):
    """A file that cannot be answered, and why, each with its path."""

    def __init__(self, reasons: list[str], *, is_file: bool = False) -> None:
        super().__init__("\n".join(reasons))
        self.reasons, self.is_file = reasons, is_file


def exit_code(answer: Answer) -> int:
    """0 if the job can go ahead on this answer, 1 if something stands against it."""
    in_reach = not any(corner.out_of_reach for corner in answer.corners.values())
    return GOOD if answer.verdict.clears and in_reach else STOPPED


def _answer(data: bytes) -> Answer:
    try:
        return run(loads(data))
    except BadCheckFile as error:
        raise _Unusable([str(one) for one in error.problems], is_file=True) from error
    except CannotCheck as error:
        raise _Unusable([f"corners.{error.corner}: {reason_text(error)}"]) from error
