"""Pages for when something went wrong: what happened, what was kept, what to do."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string


def _page(
    request: HttpRequest, status: int, title: str, happened: str, kept: str, to_do: str
) -> HttpResponse:
    context = {"title": title, "happened": happened, "kept": kept, "to_do": to_do}
    return render(request, "errors/page.html", context, status=status)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page(
        request,
        400,
        "The request could not be read",
        "What the browser sent is not something this site understands.",
        "Nothing was changed.",
        "Go back one page, load it again and repeat the last step.",
    )


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page(
        request,
        403,
        "Not yours to do",
        "You are signed in, but this step belongs to another role.",
        "Nothing was changed.",
        "Ask a manager to do it, or to change your role.",
    )


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    return _page(
        request,
        403,
        "The form was too old",
        "The form came without the mark that ties it to your visit, or with an old one.",
        "Nothing was saved. Forms that keep a draft still have it on this device.",
        "Go back, load the page again and send the form once more.",
    )


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _page(
        request,
        404,
        "Nothing here",
        "There is no page at this address, or it is not one that you may see.",
        "Nothing was changed.",
        "Check the address, or begin again from the list of orders.",
    )


def locked_out(
    request: HttpRequest, credentials: dict[str, Any] | None = None, *args: Any, **kwargs: Any
) -> HttpResponse:
    response = _page(
        request,
        429,
        "Too many wrong passwords",
        "Sign-in for this name is closed from this address for a quarter of an hour.",
        "Nobody else is affected, and nothing in the shop's records was changed.",
        "Wait, then try again. A manager can set a new password for you.",
    )
    response["Retry-After"] = "900"
    return response


def broken(request: HttpRequest) -> HttpResponse:
    """The last page: it asks neither the database nor the session."""
    return HttpResponse(render_to_string("errors/broken.html"), status=500)
