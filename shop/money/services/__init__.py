"""Lines of an order, quotes frozen from them, their paper, and the customer's authorisation."""

from shop.money.services.deposits import deposit_keep
from shop.money.services.drafts import options_of, quote_document, quote_draft
from shop.money.services.filling import (
    Gaps,
    gaps_of,
    gaps_on_card,
    lines_fill,
    package_add,
)
from shop.money.services.lines import lines_change
from shop.money.services.packages import package_keep
from shop.money.services.paper import quote_pdf, quote_response
from shop.money.services.quotes import (
    MAY_BE_APPROVED,
    MAY_BE_QUOTED,
    QuoteChanged,
    check_as_quoted,
    quote_authorise,
    quote_send,
    waits_for_approval,
)

__all__ = [
    "MAY_BE_APPROVED",
    "MAY_BE_QUOTED",
    "Gaps",
    "QuoteChanged",
    "check_as_quoted",
    "deposit_keep",
    "gaps_of",
    "gaps_on_card",
    "lines_change",
    "lines_fill",
    "options_of",
    "package_add",
    "package_keep",
    "quote_authorise",
    "quote_document",
    "quote_draft",
    "quote_pdf",
    "quote_response",
    "quote_send",
    "waits_for_approval",
]
