"""Answer a search file at the command line, without a database."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from common.numerals import fixed
from fitment.engine.checkfile import BadCheckFile
from fitment.engine.search.model import Progress
from fitment.engine.search.options import options as search_options
from fitment.engine.search.search_answer import offered, options_dump
from fitment.engine.search.search_file import search_loads
from fitment.management.reading import (
    BAD_INPUT,
    GOOD,
    STOPPED,
    listed_problems,
    read_file,
)
from fitment.text.options_report import options_text


class Command(BaseCommand):
    """``manage.py options FILE [--json] [--progress]``; FILE may be ``-`` for standard input.

    Exit code 0: an option clears. 1: none does. 2: the file cannot be used; every reason is listed
    on standard error.
    """

    help = "Search wheels, tyres and settings of a search file for what clears. Needs no database."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="search file, or - for standard input")
        parser.add_argument("--json", action="store_true", help="answer as JSON")
        parser.add_argument(
            "--progress", action="store_true", help="say on standard error how far it is"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            search = search_loads(read_file(options["file"], "search file"))
        except BadCheckFile as bad:
            reasons = [str(one) for one in bad.problems]
            raise CommandError(
                listed_problems(reasons, "search file"), returncode=BAD_INPUT
            ) from bad
        found = search_options(search.question, self._told if options["progress"] else None)
        if options["json"]:
            dumped = options_dump(search, found)
            self.stdout.write(json.dumps(dumped, indent=2, ensure_ascii=False))
        else:
            self.stdout.write(options_text(search, found))
        code = GOOD if offered(search, found) else STOPPED
        if code:
            sys.exit(code)

    def _told(self, progress: Progress) -> bool:
        self.stderr.write(
            f"{fixed(100 * progress.done_share, 0)} %: {progress.settled} of {progress.settings} "
            f"settings, {progress.judged} checked, {progress.found} found"
        )
        return True
