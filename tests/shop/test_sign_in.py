"""Signing in: the throttle, the redirect, and what a page's headers say."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.conftest import PASSWORD


def sign_in(client: Client, name: str, password: str, **more: Any) -> Any:
    return client.post(reverse("login"), {"username": name, "password": password, **more})


def test_the_right_password_opens_the_door(stranger: Client, writer: Any) -> None:
    response = sign_in(stranger, "wanda", PASSWORD)
    assert response.status_code == 302
    assert response.url == "/"


def test_a_wrong_password_is_refused_without_telling_which_half_was_wrong(
    stranger: Client, writer: Any
) -> None:
    known = sign_in(stranger, "wanda", "wrong")
    unknown = sign_in(stranger, "nobody", "wrong")
    words = "Wrong user name or password"
    assert words in known.content.decode()
    assert words in unknown.content.decode()


def test_five_wrong_passwords_close_the_door_for_that_name_only(
    stranger: Client, writer: Any, manager: Any
) -> None:
    for _ in range(4):
        assert sign_in(stranger, "wanda", "wrong").status_code == 200
    assert sign_in(stranger, "wanda", "wrong").status_code == 429
    closed = sign_in(stranger, "wanda", PASSWORD)
    assert closed.status_code == 429
    assert "Too many wrong passwords" in closed.content.decode()
    assert closed["Retry-After"] == "900"
    assert sign_in(stranger, "mirela", PASSWORD).status_code == 302


def test_the_way_back_never_leads_to_another_site(stranger: Client, writer: Any) -> None:
    response = sign_in(stranger, "wanda", PASSWORD, next="https://elsewhere.example/")
    assert response.url == "/"


def test_signing_out_needs_a_post(client_of: Any, writer: Any) -> None:
    browser = client_of(writer)
    assert browser.get(reverse("logout")).status_code == 405
    assert browser.post(reverse("logout")).status_code == 302
    assert "_auth_user_id" not in browser.session


@pytest.mark.django_db
def test_every_page_says_what_it_may_load(stranger: Client) -> None:
    for url in (reverse("login"), "/no/such/page/", reverse("healthz")):
        policy = stranger.get(url)["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy


@pytest.mark.django_db
def test_the_sign_in_page_holds_no_inline_code(stranger: Client) -> None:
    page = stranger.get(reverse("login")).content.decode()
    assert " style=" not in page
    assert " onclick=" not in page
    assert "<script>" not in page


@pytest.mark.django_db
def test_health_answers_machines(stranger: Client) -> None:
    assert stranger.get(reverse("healthz")).content == b"ok\n"
