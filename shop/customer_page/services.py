"""What a customer may set about themselves on their link."""

from __future__ import annotations

from django.db.models import F

from shop.models import Customer


def language_keep(*, customer: Customer, language: str) -> None:
    """Speak to a customer in this language from now on. What a quote froze stays."""
    mine = Customer.objects.filter(pk=customer.pk)
    mine.update(language=language, version=F("version") + 1)
