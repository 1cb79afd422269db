"""Lines of an order, quotes frozen from them, their paper, and the customer's authorisation."""

from shop.money.services.lines import lines_change
from shop.money.services.paper import quote_pdf, quote_response
from shop.money.services.quotes import (
    MAY_BE_APPROVED,
    MAY_BE_QUOTED,
    QuoteChanged,
    check_as_quoted,
    options_of,
    quote_authorise,
    quote_document,
    quote_draft,
    quote_send,
    waits_for_approval,
)

__all__ = [
    "MAY_BE_APPROVED",
    "MAY_BE_QUOTED",
    "QuoteChanged",
    "check_as_quoted",
    "lines_change",
    "options_of",
    "quote_authorise",
    "quote_document",
    "quote_draft",
    "quote_pdf",
    "quote_response",
    "quote_send",
    "waits_for_approval",
]
