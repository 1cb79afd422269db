"""What every response gets: the content policy, the shop's clock, word of saved drafts."""

from __future__ import annotations

import re
from collections.abc import Callable
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.core.cache import cache
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shop.site.error_views import bad_request, not_found
from shop.site.sending import is_taken

Responder = Callable[[HttpRequest], HttpResponse]
DRAFT_FIELD = "_keep"
DRAFT_COOKIE = "archroom_saved"
DRAFT_KEY = re.compile(r"[\w:@/.?=&%+~-]{1,300}")
LONG_NUMBER = re.compile(r"\d{19,}")
CLOCK_KEY = "shop.timezone"
CLOCK_SECONDS = 60


class ContentPolicy:
    """Say what a page may load, unless a view has set a narrower policy itself."""

    def __init__(self, get_response: Responder) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if settings.DEBUG and response.status_code == 500:
            return response  # Django's own page for developers styles itself
        response.headers.setdefault("Content-Security-Policy", settings.CONTENT_POLICY)
        response.headers.setdefault(
            "Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=()"
        )
        return response


class OwnNotFound:
    """In debug, show the site's own page for a missing one, not the developers' list of routes."""

    def __init__(self, get_response: Responder) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        kind = response.headers.get("Content-Type", "")
        ours = getattr(response, "is_own", False) or not kind.startswith("text/html")
        if settings.DEBUG and response.status_code == 404 and not ours:
            return not_found(request)
        return response


class PlainText:
    """Refuse NUL characters, which no keyboard types and no column holds, and row numbers that are
    longer than any database gives out."""

    def __init__(self, get_response: Responder) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        steps = request.path_info.split("/")
        if "\0" in request.path_info or any(LONG_NUMBER.fullmatch(step) for step in steps):
            return not_found(request)
        sent = [request.GET, request.POST] if request.method == "POST" else [request.GET]
        for texts in sent:
            if any("\0" in text for name in texts for text in (name, *texts.getlist(name))):
                return bad_request(request)
        return self.get_response(request)


class DraftsSaved:
    """Tell the browser which draft has reached the server, so that it can forget it.

    The script names the draft in a field of its form. Only a redirect after a POST means that
    the form was taken; the name then returns in a cookie that lives for a minute.
    """

    def __init__(self, get_response: Responder) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.method == "POST" and is_taken(response):
            key = request.POST.get(DRAFT_FIELD, "")
            if DRAFT_KEY.fullmatch(key):
                response.set_cookie(
                    DRAFT_COOKIE, key, max_age=60, samesite="Lax", secure=settings.SECURE
                )
        return response


class ShopTime:
    """Show times in the shop's zone; they are stored in UTC."""

    def __init__(self, get_response: Responder) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with timezone.override(shop_zone()):
            return self.get_response(request)


def shop_zone() -> ZoneInfo:
    """The zone from the shop's settings row, asked for at most once a minute."""
    name = cache.get(CLOCK_KEY)
    if name is None:
        from shop.models import ShopSettings

        try:
            row = ShopSettings.objects.values_list("timezone", flat=True).first()
        except DatabaseError:  # the page itself will say what is wrong
            return ZoneInfo(settings.TIME_ZONE)
        name = row or settings.TIME_ZONE
        cache.set(CLOCK_KEY, name, CLOCK_SECONDS)
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo(settings.TIME_ZONE)
