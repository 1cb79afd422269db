"""Learn from a file of evidence at the command line, without a database."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from fitment.engine.checkfile import BadCheckFile
from fitment.engine.learning.file import answer_dump, loads
from fitment.engine.learning.posterior import DoesNotSettle, Posterior, posterior
from fitment.management.reading import BAD_INPUT, listed_problems, read_file
from fitment.text.learned import learned_text

KIND = "learning file"


class Command(BaseCommand):
    """``manage.py learn FILE [--json]``; FILE may be ``-`` for standard input.

    Exit code 0: answered. 2: the file cannot be used; every reason is listed on standard error.
    """

    help = (
        "Say what earlier jobs teach about one spot of a car model: by how much its survey errs, "
        "how far cars differ, and how likely the next jobs touch. Needs no database."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="learning file, or - for standard input")
        parser.add_argument("--json", action="store_true", help="answer as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        found = _answer(read_file(options["file"], KIND))
        if options["json"]:
            self.stdout.write(json.dumps(answer_dump(found), indent=2, ensure_ascii=False))
        else:
            self.stdout.write(learned_text(found))


def _answer(data: bytes) -> Posterior:
    try:
        return posterior(loads(data))
    except BadCheckFile as error:
        told = listed_problems([str(one) for one in error.problems], KIND)
        raise CommandError(told, returncode=BAD_INPUT) from error
    except DoesNotSettle as error:
        raise CommandError(f"observations: {error}", returncode=BAD_INPUT) from error
