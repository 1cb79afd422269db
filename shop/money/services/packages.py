"""Keeping the shop's packages."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from shop.models import Package, PackageLine


@transaction.atomic
def package_keep(
    *, package: Package, lines: Sequence[PackageLine], gone: Sequence[PackageLine] = ()
) -> Package:
    """Save the lines of a saved package in their order. Lines of orders stay as they are."""
    for line in gone:
        line.delete()
    for position, line in enumerate(lines):
        line.package = package
        line.position = position
        line.save()
    return package
