"""Whose language a page is in: the user's own choice, or else the browser's.

Pages of a customer's link speak the customer's language (``customer_token`` in
``shop.site.view_helpers``).
"""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.utils.cache import patch_vary_headers

from shop.languages import language_tag


def chosen_language(request: HttpRequest) -> str:
    """What a signed-in user chose on their account page; empty for all others."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated or not user.language:
        return ""
    return str(user.language) if translation.check_for_language(user.language) else ""


def reader_language(request: HttpRequest) -> str:
    """The code of the language that this request is answered in."""
    return chosen_language(request) or translation.get_language_from_request(request)


class ReaderLanguage:
    """Answer in the reader's language, and name it in the header."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with translation.override(reader_language(request)):
            response = self.get_response(request)
            own = translation.get_language() or ""
        response.headers.setdefault("Content-Language", language_tag(own))
        if not chosen_language(request):
            patch_vary_headers(response, ("Accept-Language",))
        return response
