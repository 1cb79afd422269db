"""Bring catalogues in line with the sources; in place of Django's, which needs GNU gettext."""

from __future__ import annotations

import argparse
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.languages.gathering import gathered, start_catalogue, update_catalogues


class Command(BaseCommand):
    help = "Gather marked sentences into the catalogues of locale/: run it after changing one."
    requires_system_checks = ()

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--new", metavar="CODE", help="start a catalogue of this language, too")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["new"]:
            try:
                start_catalogue(options["new"])
            except ValueError as wrong:
                raise CommandError(str(wrong)) from wrong
        for change in update_catalogues(gathered().values()):
            self.stdout.write(
                f"{change.language}: {change.added} new, {change.dropped} dropped, "
                f"{change.to_translate} to translate"
            )
