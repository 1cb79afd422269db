"""Fill an empty site with an invented shop, so that every page has something to show."""

from __future__ import annotations

import argparse
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from shop.extensions.points import DEMO_BUILDERS
from shop.models import User

DEMO_PASSWORD = "lock-to-lock"  # noqa: S105  public, and refused outside debug
#: Sign-ins that are printed, the first.
PEOPLE_LISTED = 20


class Command(BaseCommand):
    requires_system_checks: list[str] = []
    help = "Build the demo shop with its people, vehicles and orders, and print the sign-ins."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument(
            "--if-empty", action="store_true", help="do nothing when the site has people already"
        )
        parser.add_argument(
            "--force", action="store_true", help="also outside debug; needs --password"
        )
        parser.add_argument("--password", default="", help="the demo people's password")
        parser.add_argument("--sign-ins", action="store_true", help="only print the sign-ins")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["sign_ins"]:
            self.print_sign_ins()
            return
        password = self.password_from(options)
        if User.objects.exists():
            if options["if_empty"]:
                return
            raise CommandError(
                "This site has people already. The demo goes into an empty database only."
            )
        stage: dict[str, Any] = {"password": password}
        with transaction.atomic():
            for build in DEMO_BUILDERS:
                build(stage)
        self.stdout.write("The demo shop is built.")
        self.print_sign_ins()

    def password_from(self, options: dict[str, Any]) -> str:
        """The demo password in debug; outside it only a given one, and only when forced."""
        given = str(options["password"])
        if settings.DEBUG or settings.TESTING:
            return given or DEMO_PASSWORD
        if not options["force"]:
            raise CommandError(
                "Debug is off: demo people would be a way in. Use --force with --password."
            )
        if len(given) < 12:
            raise CommandError("--force needs --password with at least 12 characters.")
        return given

    def print_sign_ins(self) -> None:
        """Names and roles; the password only where it is the public demo one."""
        people = User.objects.filter(is_active=True).order_by("pk")
        for user in people[:PEOPLE_LISTED]:
            self.stdout.write(f"  {user.username:<12} {user.get_role_display()}")
        if (more := people.count() - PEOPLE_LISTED) > 0:
            self.stdout.write(f"  and {more} more")
        if settings.DEBUG and any(user.check_password(DEMO_PASSWORD) for user in people[:3]):
            self.stdout.write(f"  password of the demo people: {DEMO_PASSWORD}")
