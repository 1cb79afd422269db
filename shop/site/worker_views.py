"""The service worker of the pages, served from the root so that it sees all of them."""

from __future__ import annotations

from pathlib import Path

from django.contrib.staticfiles import finders
from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

FILE = "worker.js"


@require_safe
@never_cache
def worker(request: HttpRequest) -> HttpResponse:
    """The same file for all: it holds nothing of the shop's."""
    found = finders.find(FILE)
    if not isinstance(found, str):
        raise Http404
    return HttpResponse(Path(found).read_bytes(), content_type="text/javascript; charset=utf-8")
