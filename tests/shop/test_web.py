"""Pages and parts of pages, drafts that were saved, and the visitor's address."""

from __future__ import annotations

import pytest
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.test import Client, RequestFactory
from django.urls import reverse
from django_htmx.middleware import HtmxMiddleware

from shop.site.middleware import DRAFT_COOKIE, DraftsSaved
from shop.site.view_helpers import client_address, has_partial, is_fragment


def asked(**headers: str) -> HttpRequest:
    request = RequestFactory().get("/", headers=headers)
    HtmxMiddleware(lambda _: HttpResponse())(request)
    return request


def test_only_htmx_itself_gets_a_part() -> None:
    assert is_fragment(asked(**{"HX-Request": "true"}))
    assert not is_fragment(asked())
    assert not is_fragment(asked(**{"HX-Request": "true", "HX-Boosted": "true"}))
    assert not is_fragment(asked(**{"HX-Request": "true", "HX-History-Restore-Request": "true"}))


def test_a_template_without_parts_is_sent_whole() -> None:
    assert not has_partial("accounts/login.html", "main")


def saved(response: HttpResponse, key: str) -> str | None:
    request = RequestFactory().post("/", {"_keep": key})
    cookie = DraftsSaved(lambda _: response)(request).cookies.get(DRAFT_COOKIE)
    return cookie.value if cookie else None


def test_a_redirect_after_a_form_names_the_draft_that_was_saved() -> None:
    assert saved(HttpResponseRedirect("/"), "reading@/orders/1/") == "reading@/orders/1/"


def test_a_refused_form_keeps_its_draft() -> None:
    assert saved(HttpResponse(status=200), "reading@/orders/1/") is None


def test_a_draft_name_cannot_carry_anything_else() -> None:
    assert saved(HttpResponseRedirect("/"), "a;b\r\nc") is None


def test_only_our_own_proxies_are_believed(settings) -> None:
    request = RequestFactory().get(
        "/", headers={"X-Forwarded-For": "1.1.1.1, 2.2.2.2"}, REMOTE_ADDR="9.9.9.9"
    )
    settings.PROXY_COUNT = 0
    assert client_address(request) == "9.9.9.9"
    settings.PROXY_COUNT = 1
    assert client_address(request) == "2.2.2.2"
    settings.PROXY_COUNT = 3
    assert client_address(request) == "9.9.9.9"


@pytest.mark.django_db
def test_pages_are_compressed_where_a_browser_takes_it(client: Client) -> None:
    plain = client.get(reverse("login"))
    packed = client.get(reverse("login"), headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["Vary"]
    assert len(packed.content) < len(plain.content) / 2
