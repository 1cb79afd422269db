"""What a customer may set about themselves on their link."""

from __future__ import annotations

from shop.models import Customer


def language_keep(*, customer: Customer, language: str) -> None:
    """Speak to a customer in this language from now on. What a quote froze stays."""
    Customer.objects.filter(pk=customer.pk).update(language=language)
