"""Compile catalogues that changed. Takes the place of Django's command, which needs GNU gettext."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from shop.languages.catalogues import compile_catalogues


class Command(BaseCommand):
    help = "Compile the catalogues of locale/ that changed since they were compiled."
    requires_system_checks = ()

    def handle(self, *args: Any, **options: Any) -> None:
        for path in compile_catalogues():
            if options["verbosity"]:
                self.stdout.write(f"{path.parent.parent.name}: compiled")
