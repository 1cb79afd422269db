"""Every POST is one step, and the same form sent twice is one.

:class:`Sending` runs the view of a POST in a transaction. Where a form carries a key, which
``{% csrf_token %}`` puts into every form, the transaction also keeps what was sent and where it led
(``shop.models.sent``): a second send of the same form, also at the same moment, waits for the
first and is answered by it. Only a redirect counts as taken. A form that is sent with other
values under the same key, by way of the browser's Back, is another form.

A save that was overtaken by another one (``shop.models.versioned``) is run again from the start.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
import uuid
from collections.abc import Callable
from typing import Any, TypeVar

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models.sent import SentForm
from shop.models.versioned import Overtaken
from shop.site.error_views import overtaken
from shop.site.joining import noting

KEY = "sent_key"
KEY_FORM = re.compile(r"[0-9a-f]{32}")
#: Fields that say nothing about what was sent.
NOT_SAID = frozenset({"csrfmiddlewaretoken", "_keep"})
#: How often a save may be overtaken before the person is told.
TRIES = 8
#: After this time a form that was sent is forgotten.
KEPT = dt.timedelta(days=30)
#: After this time work that was begun and not finished may be begun again.
BEGUN = dt.timedelta(minutes=5)
FORGET_EACH = 64

AGAIN = gettext_lazy("This form had already been sent. This is its result.")
AT_WORK = gettext_lazy("This form had already been sent, and the work is still going on.")

View = TypeVar("View", bound=Callable[..., HttpResponseBase])


def long_work(view: View) -> View:
    """For a view that computes for seconds: no transaction is held meanwhile, and the key is kept
    before the work begins. The view must save in one step, at its end."""
    view.long_work = True  # type: ignore[attr-defined]
    return view


def repeatable(view: View) -> View:
    """For a view whose second run changes nothing more, or that must answer every time."""
    view.repeatable = True  # type: ignore[attr-defined]
    return view


def new_key() -> str:
    return uuid.uuid4().hex


def digest_of(request: HttpRequest) -> str:
    """What stands for a form as it was sent; empty for one without a key."""
    key = request.POST.get(KEY, "")
    if not KEY_FORM.fullmatch(key):
        return ""
    seen = hashlib.sha256()
    user = getattr(request.user, "pk", None)
    for word in (key, str(user), request.get_full_path()):
        seen.update(_framed(word.encode()))
    for name in sorted(set(request.POST) - NOT_SAID):
        for value in (name, *request.POST.getlist(name)):
            seen.update(_framed(value.encode("utf-8", "surrogatepass")))
    for name in sorted(request.FILES):
        for upload in request.FILES.getlist(name):
            seen.update(_framed(f"{name} {upload.name} {upload.size}".encode()))
            for chunk in upload.chunks():
                seen.update(chunk)
            upload.seek(0)
    return seen.hexdigest()


def _framed(word: bytes) -> bytes:
    return len(word).to_bytes(8, "big") + word


def is_taken(response: HttpResponseBase) -> bool:
    """Whether this answers a form that was accepted."""
    return response.status_code in {302, 303}


class Sending:
    """Stands last among the middleware: it runs the view itself."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        if request.method != "POST" or hasattr(view, "repeatable"):
            return None
        run = _run_long if hasattr(view, "long_work") else _run
        for _try in range(TRIES):
            try:
                with noting() as taken_over:
                    response = run(request, lambda: view(request, *args, **kwargs))
            except Overtaken:
                for name in request.FILES:
                    for upload in request.FILES.getlist(name):
                        upload.seek(0)
                continue
            if taken_over and is_taken(response):
                fields = ", ".join(dict.fromkeys(taken_over))
                text = _("Kept what another person saved meanwhile: {fields}.")
                messages.info(request, text.format(fields=fields))
            return response
        return overtaken(request)


def _run(request: HttpRequest, work: Callable[[], HttpResponseBase]) -> HttpResponseBase:
    """The whole POST as one step, with its key."""
    digest = digest_of(request)
    with transaction.atomic():
        kept = None
        if digest:
            kept, is_new = SentForm.objects.get_or_create(digest=digest)
            if not is_new:
                return _as_before(request, kept)
        response = work()
        _settle(kept, response)
        if response.status_code >= 500:
            transaction.set_rollback(True)
        return response


def _run_long(request: HttpRequest, work: Callable[[], HttpResponseBase]) -> HttpResponseBase:
    """The key is kept first, so that the same work is not begun twice."""
    digest = digest_of(request)
    if not digest:
        return work()
    kept, is_new = SentForm.objects.get_or_create(digest=digest)
    if not is_new:
        lost = not kept.location and kept.at < timezone.now() - BEGUN
        if not (lost and SentForm.objects.filter(pk=kept.pk, at=kept.at).update(at=timezone.now())):
            return _as_before(request, kept)
    try:
        response = work()
    except BaseException:
        kept.delete()
        raise
    _settle(kept, response)
    return response


def _settle(kept: SentForm | None, response: HttpResponseBase) -> None:
    if kept is None:
        return
    if not is_taken(response):
        kept.delete()
        return
    kept.location = response.headers["Location"]
    kept.save(update_fields=["location"])
    if kept.pk % FORGET_EACH == 0:
        SentForm.objects.filter(at__lt=timezone.now() - KEPT).delete()


def _as_before(request: HttpRequest, kept: SentForm) -> HttpResponse:
    """The answer to a form that was sent before."""
    if kept.location:
        messages.info(request, AGAIN)
        return redirect(kept.location)
    messages.info(request, AT_WORK)
    came_from = request.headers.get("Referer", "")
    own = url_has_allowed_host_and_scheme(came_from, allowed_hosts={request.get_host()})
    return redirect(came_from if own else "home")
