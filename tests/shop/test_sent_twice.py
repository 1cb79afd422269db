"""The same form sent twice is one: the second changes nothing and leads where the first did."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from fitment.clearance import views as clearance_views
from fitment.models import ClearanceCheck
from shop.models import Comeback, Customer, SentForm
from shop.models.versioned import Overtaken
from shop.site import joining
from shop.site.sending import AT_WORK, BEGUN, KEPT, KEY, TRIES, new_key
from tests.editing import changes, is_taken, opened, url_of
from tests.factories import make_customer, make_order
from tests.filled_forms import ELSEWHERE, FILLED, Filled
from tests.fitment.factories import make_ready_order
from tests.nights import day_and_night
from tests.page_forms import forms_of
from tests.photographs import photograph
from tests.shop.test_lost_updates import EDITS, MAKE, STEP

pytestmark = [pytest.mark.database, pytest.mark.django_db]

#: Tables in which sending a form leaves a trace that is no record.
TRACES = {"Session", "SentForm"}


def rows() -> dict[str, int]:
    """How many rows each table has."""
    return {
        model.__name__: model._default_manager.count()
        for model in apps.get_models()
        if model.__name__ not in TRACES
    }


def data_of(browser: Client, filled: Filled) -> dict[str, Any]:
    """What the browser sends: the page's own form, filled in."""
    if filled.page == "-":  # a button somewhere on a page, without fields
        return {KEY: new_key(), **filled.data}
    page = browser.get(filled.page or filled.url)
    forms = forms_of(page, filled.url.partition("?")[0])
    assert forms, "the page has no form for this address"
    assert forms[0].control(KEY), "the form carries no key"
    return {**forms[0].data(), **filled.data}


def send(browser: Client, filled: Filled, data: dict[str, Any]) -> Any:
    for value in data.values():
        if hasattr(value, "seek"):
            value.seek(0)
    return browser.post(filled.url, data)


def test_every_route_that_takes_a_form_is_sent_twice() -> None:
    told = set(FILLED) | set(ELSEWHERE)
    assert sorted((MAKE | STEP) - told) == [], "fill these in in tests/filled_forms.py"
    assert sorted(told - MAKE - STEP) == []


@pytest.mark.parametrize("name", sorted(FILLED))
def test_the_second_send_makes_nothing(
    name: str, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    browser, filled = client_of(manager), FILLED[name]()
    data = data_of(browser, filled)
    before = rows()
    first = send(browser, filled, data)
    assert is_taken(first), _why(first)
    made = rows()
    if filled.makes:
        assert made != before, "the first send made nothing"
    second = send(browser, filled, data)
    assert is_taken(second)
    assert second.headers["Location"] == first.headers["Location"]
    assert rows() == made


@pytest.mark.parametrize("name", day_and_night(sorted(EDITS)[::5], sorted(EDITS)))
def test_a_change_sent_twice_is_one(
    name: str, manager: Any, client_of: Callable[[Any], Client]
) -> None:
    browser, url = client_of(manager), url_of(name)
    change = next(changes(browser, url, wanted=1))
    form = opened(browser, url)[change.form]
    assert form.control(KEY), "the form carries no key"
    data = form.data(**{change.field: change.kept[0][0]})
    first = browser.post(url, data)
    assert is_taken(first)
    made = rows()
    second = browser.post(url, data)
    assert is_taken(second)
    assert second.headers["Location"] == first.headers["Location"]
    assert rows() == made


def _why(response: Any) -> str:
    form = response.context and response.context.get("form")
    return f"{response.status_code}: {getattr(form, 'errors', '')}"


@pytest.fixture
def browser(manager: Any, client_of: Callable[[Any], Client]) -> Client:
    return client_of(manager)


def customer_form(name: str, key: str) -> dict[str, str]:
    return {"name": name, "language": "en-gb", "units": "mm", "angles": "decimal", KEY: key}


def test_the_second_send_says_what_it_is(browser: Client) -> None:
    data = customer_form("Nadir Quell", new_key())
    browser.post(reverse("customer_new"), data)
    answer = browser.post(reverse("customer_new"), data, follow=True)
    assert [str(one) for one in answer.context["messages"]] == [
        "This form had already been sent. This is its result."
    ]


def test_a_refused_form_is_sent_again_under_its_key(browser: Client) -> None:
    key = new_key()
    assert browser.post(reverse("customer_new"), customer_form("", key)).status_code == 200
    assert not SentForm.objects.exists()
    assert browser.post(reverse("customer_new"), customer_form("Nadir", key)).status_code == 302
    assert Customer.objects.count() == 1


def test_other_words_under_the_same_key_are_another_form(browser: Client) -> None:
    key = new_key()
    for name in ("Nadir", "Ottilie", "Nadir"):
        assert browser.post(reverse("customer_new"), customer_form(name, key)).status_code == 302
    assert sorted(Customer.objects.values_list("name", flat=True)) == ["Nadir", "Ottilie"]


def test_a_key_is_its_owners(
    browser: Client, writer: Any, client_of: Callable[[Any], Client]
) -> None:
    data = customer_form("Nadir", new_key())
    for one in (browser, client_of(writer)):
        assert one.post(reverse("customer_new"), data).status_code == 302
    assert Customer.objects.count() == 2


def test_a_form_without_a_key_is_taken_as_often_as_it_comes(browser: Client) -> None:
    for _ in range(2):
        browser.post(reverse("customer_new"), customer_form("Nadir", ""))
    assert Customer.objects.count() == 2
    assert not SentForm.objects.exists()


def test_a_crash_leaves_neither_the_key_nor_what_was_made(
    browser: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    browser.raise_request_exception = False
    customer = make_customer(name="Nadir")
    url = reverse("customer_edit", args=[customer.pk])
    data = customer_form("Ottilie", new_key())

    def broken(self: Customer) -> str:
        raise RuntimeError("after the save")

    with monkeypatch.context() as patch:
        patch.setattr(Customer, "get_absolute_url", broken)
        assert browser.post(url, data).status_code == 500
    assert Customer.objects.get().name == "Nadir"
    assert browser.post(url, data).status_code == 302
    assert Customer.objects.get().name == "Ottilie"


def test_old_keys_are_forgotten(browser: Client) -> None:
    old = timezone.now() - KEPT - BEGUN
    SentForm.objects.create(digest="a" * 64, at=old, location="/")
    for count in range(64):
        browser.post(reverse("customer_new"), customer_form(f"Nadir {count}", new_key()))
    assert not SentForm.objects.filter(at=old).exists()


PNG = photograph("PNG")


def test_a_comeback_with_its_photograph_is_one(browser: Client) -> None:
    order = make_order(state="handed_over")
    data = {"corner": "LF", "place": "arch lip", "happens": "dip", KEY: new_key()}
    url = reverse("comeback_new", args=[order.pk])
    answers = [
        browser.post(url, {**data, "photo": SimpleUploadedFile("a.png", PNG)}) for _ in range(2)
    ]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert answers[0].url == answers[1].url
    assert Comeback.objects.count() == 1
    other = browser.post(url, {**data, "photo": SimpleUploadedFile("a.png", PNG + b"1")})
    assert other.url != answers[0].url, "another photograph is another form"


def test_work_that_goes_on_is_not_begun_twice(
    browser: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = make_ready_order()
    url, data = reverse("clearance_run", args=[order.pk]), {KEY: new_key()}
    run, meanwhile = clearance_views.check_run, []

    def pressed_again_meanwhile(**about: Any) -> Any:
        meanwhile.append(browser.post(url, data, follow=True))
        return run(**about)

    monkeypatch.setattr(clearance_views, "check_run", pressed_again_meanwhile)
    assert browser.post(url, data).url == reverse("clearance", args=[order.pk])
    (second,) = meanwhile
    assert [str(one) for one in second.context["messages"]] == [str(AT_WORK)]
    assert browser.post(url, data).url == reverse("clearance", args=[order.pk])
    assert ClearanceCheck.objects.count() == 1


def test_work_that_broke_off_can_be_begun_again(
    browser: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    browser.raise_request_exception = False
    url, data = reverse("clearance_run", args=[make_ready_order().pk]), {KEY: new_key()}
    with monkeypatch.context() as patch:
        patch.setattr(clearance_views, "check_run", None)  # calling it is a TypeError
        assert browser.post(url, data).status_code == 500
    assert not SentForm.objects.exists()
    # A worker that was killed leaves the key behind: after some minutes it counts no more.
    browser.post(url, data)
    SentForm.objects.update(location="", at=timezone.now() - BEGUN * 2)
    browser.post(url, data)
    assert ClearanceCheck.objects.count() == 2


def test_a_save_that_is_overtaken_again_and_again_is_a_page_of_its_own(
    browser: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    customer, tries = make_customer(name="Nadir"), []

    def always_overtaken(row: Any) -> None:
        tries.append(row)
        raise Overtaken

    monkeypatch.setattr(joining, "claim", always_overtaken)
    url = reverse("customer_edit", args=[customer.pk])
    answer = browser.post(url, customer_form("Ottilie", new_key()))
    assert answer.status_code == 409
    assert "Nothing was saved." in answer.content.decode()
    assert len(tries) == TRIES
    assert Customer.objects.get().name == "Nadir"
    assert not SentForm.objects.exists()
