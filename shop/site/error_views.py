"""Pages for when something went wrong: what happened, what was kept, what to do.

They speak the reader's language by themselves, since some answer before or outside of
``shop.site.reader.ReaderLanguage``.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.apps import apps
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext as _

from shop.site.reader import reader_language

View = Callable[..., HttpResponse]
#: Names of addresses, and words, to which the page of an unexpected error leads the staff.
_ways_out: Callable[[], list[tuple[str, str]]] = list


def lead_out_by(ways: Callable[[], list[tuple[str, str]]]) -> None:
    """Say to which pages the page of an unexpected error leads; asked when it is shown."""
    global _ways_out
    _ways_out = ways


def in_readers_language(view: View) -> View:
    """Answer in the language of the person who asks."""

    @wraps(view)
    def answered(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        with translation.override(reader_language(request)):
            return view(request, *args, **kwargs)

    return answered


def _page(
    request: HttpRequest,
    status: int,
    title: str,
    happened: str,
    kept: str,
    to_do: str,
    template: str = "errors/page.html",
    **more: Any,
) -> HttpResponse:
    context = {"title": title, "happened": happened, "kept": kept, "to_do": to_do, **more}
    response = render(request, template, context, status=status)
    response.is_own = True  # type: ignore[attr-defined]
    return response


@in_readers_language
def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page(
        request,
        400,
        _("Bad request"),
        _("This site does not understand what the browser sent."),
        _("Nothing was changed."),
        _("Go back one page, reload it and repeat the last step."),
    )


@in_readers_language
def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page(
        request,
        403,
        _("No permission"),
        _("You are signed in, but your role cannot take this step."),
        _("Nothing was changed."),
        _("Ask a manager to do it or to change your role."),
    )


@in_readers_language
def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    return _page(
        request,
        403,
        _("Form expired"),
        _("Your session has expired."),
        _("Nothing was saved. Forms that keep a draft still have it on this device."),
        _("Go back, reload the page and send the form again."),
    )


@in_readers_language
def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    known = request.user.is_authenticated if hasattr(request, "user") else False
    return _page(
        request,
        404,
        _("Page not found"),
        _("There is no page at this address, or you have no permission to see it."),
        _("Nothing was changed."),
        _("Check the address, or start from the list of orders.")
        if known
        else _("Check the address. If the shop sent you a link, open it again as it was sent."),
    )


@in_readers_language
def overtaken(request: HttpRequest) -> HttpResponse:
    """Others saved the same again and again while a form was being saved."""
    return _page(
        request,
        409,
        _("Another save is in progress"),
        _("Another person is saving the same record."),
        _("Nothing was saved. Forms that keep a draft still have it on this device."),
        _("Go back one page and save again."),
    )


def link_unknown(request: HttpRequest) -> HttpResponse:
    """For a customer whose link opens nothing, in the language that is active."""
    return _page(
        request,
        404,
        _("Unknown link"),
        _("The address is incomplete, or its order does not exist."),
        _("Nothing was changed."),
        _("Open the link again as the shop sent it, or ask the shop for a new one."),
        template="errors/customer.html",
        shop=apps.get_model("shop", "ShopSettings").load(),
    )


@in_readers_language
def locked_out(
    request: HttpRequest, credentials: dict[str, Any] | None = None, *args: Any, **kwargs: Any
) -> HttpResponse:
    response = _page(
        request,
        429,
        _("Too many wrong passwords"),
        _("Sign-in for this name is blocked from this address for 15 minutes."),
        _("Other users are not affected, and no record was changed."),
        _("Wait, then try again. A manager can set a new password."),
    )
    response["Retry-After"] = "900"
    return response


def broken(request: HttpRequest) -> HttpResponse:
    """The last page: it asks neither the database nor the session, but the browser's language.

    The staff's pages lead to where what is on record can be taken back, should it be the cause.
    """
    ours = not request.path.startswith("/c/")
    links = [(reverse(name), words) for name, words in _ways_out()] if ours else []
    with translation.override(translation.get_language_from_request(request)):
        page = render_to_string("errors/broken.html", {"ways_out": links})
        return HttpResponse(page, status=500)
