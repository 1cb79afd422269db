"""Pages for when something goes wrong: in the look, with what was kept and what to do."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory

from shop.site import error_views
from shop.site.middleware import ContentPolicy, OwnNotFound

pytestmark = pytest.mark.django_db
WORDS = ["What happened", "What was kept", "What to do"]


def asked(user: Any = None) -> HttpRequest:
    request = RequestFactory().get("/")
    if user is not None:
        request.user = user
    return request


@pytest.mark.parametrize(
    ("view", "status"),
    [
        (error_views.bad_request, 400),
        (error_views.forbidden, 403),
        (error_views.csrf_failed, 403),
        (error_views.not_found, 404),
        (error_views.locked_out, 429),
        (error_views.broken, 500),
    ],
)
def test_each_says_what_happened_what_was_kept_and_what_to_do(
    view: Callable[[HttpRequest], HttpResponse], status: int
) -> None:
    response = view(asked())
    page = response.content.decode()
    assert response.status_code == status
    assert [word for word in WORDS if word not in page] == []
    assert 'lang="en-GB"' in page


def test_a_missing_page_keeps_its_look_in_debug_too(settings: Any, stranger: Client) -> None:
    settings.DEBUG = True
    response = stranger.get("/no/such/page/")
    assert response.status_code == 404
    assert "Page not found" in response.content.decode()


def test_a_missing_file_that_is_no_page_is_left_alone(settings: Any) -> None:
    settings.DEBUG = True
    plain = HttpResponse("none", status=404, content_type="text/plain")
    assert OwnNotFound(lambda _: plain)(asked()) is plain


def test_the_policy_is_off_only_on_the_developers_own_page(settings: Any) -> None:
    policy = ContentPolicy(lambda _: HttpResponse(status=500))
    settings.DEBUG = True
    assert "Content-Security-Policy" not in policy(asked())
    settings.DEBUG = False
    assert "Content-Security-Policy" in policy(asked())


def test_a_form_without_its_mark_is_refused_in_words(writer: Any) -> None:
    browser = Client(enforce_csrf_checks=True)
    response = browser.post("/accounts/login/", {"username": "wanda", "password": "x"})
    assert response.status_code == 403
    assert "Form expired" in response.content.decode()
