"""Two people at one form: neither loses what they did, at any page that edits."""

from __future__ import annotations

import html
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Line
from tests import factories
from tests.editing import Change, changes, forms_of, is_taken, on_record, opened, taken_back, url_of
from tests.routes import TABLE, names

pytestmark = [pytest.mark.database, pytest.mark.django_db]

#: Pages where a person changes what is on record.
EDITS = {
    "account",
    "bay_edit",
    "booking_move",
    "opening_hours",
    "car_model_edit",
    "class_edit",
    "customer_edit",
    "deposit_edit",
    "file_edit",
    "gaps",
    "guide_edit",
    "guide_row_edit",
    "import_layout",
    "law",
    "mail_text",
    "order_edit",
    "order_lines",
    "order_mounting",
    "order_notes",
    "order_parts",
    "order_wheels",
    "package_edit",
    "part_edit",
    "plan_edit",
    "shop_settings",
    "staff_edit",
    "supplier_edit",
    "survey_edit",
    "target_edit",
    "travel_sheet",
    "tyre_edit",
    "use_edit",
    "vehicle_edit",
    "visit_edit",
    "wheel_edit",
}
#: Routes that take a POST and begin from nothing: what they make stands beside what there is.
MAKE = {
    "bay_new",
    "booking_new",
    "car_model_new",
    "class_new",
    "clearance_run",
    "comeback_new",
    "customer_ask",
    "customer_authorise",
    "corner_files",
    "customer_new",
    "deposit_new",
    "guide_new",
    "guide_revise",
    "guide_row_new",
    "import_layout_new",
    "installed_new",
    "joint_fit",
    "mounting_run",
    "mail_again",
    "mail_try",
    "order_files",
    "order_mail",
    "order_copy",
    "order_new",
    "order_options",
    "package_new",
    "part_new",
    "price_list",
    "quote_send",
    "quote_sign",
    "readings_import",
    "road_test",
    "staff_new",
    "supplier_new",
    "survey_copy",
    "survey_import",
    "survey_measure",
    "survey_mirror",
    "target_new",
    "torque_sign",
    "tryout_options",
    "tyre_import",
    "tyre_measure",
    "tyre_new",
    "vehicle_files",
    "vehicle_new",
    "walk_in",
    "visit_new",
    "wheel_import",
    "wheel_measure",
    "wheel_new",
}
#: Routes that take one step, which the service refuses where another person took it before.
STEP = {
    "adjustments_take",
    "arrival_undo",
    "booking_cancel",
    "booking_no_show",
    "feed_end",
    "feed_new",
    "feed_renew",
    "customer_choose",
    "customer_decline",
    "customer_language",
    "customer_merge",
    "customer_reply",
    "dry_fit",
    "file_remove",
    "gate_override",
    "guide_rely",
    "hand_over",
    "law_take",
    "lines_from_plan",
    "login",
    "logout",
    "measurement_remove",
    "mail_returned",
    "mail_withdraw",
    "not_fitted",
    "order_move",
    "order_tryout",
    "order_wait",
    "part_order_undo",
    "parts_arrived",
    "parts_order",
    "password",
    "password_new",
    "password_reset",
    "session_continue",
    "session_withdraw",
    "target_take",
    "first_steps_hide",
    "news_all_seen",
    "news_open",
    "task_cancel",
    "torque_loosen",
    "vehicle_merge",
    "version_withdraw",
    "wheel_measurement_remove",
}


def test_every_route_that_takes_a_form_is_known_by_what_it_does(
    manager: Any, client_of: Callable[[Any], Client]
) -> None:
    known = EDITS | MAKE | STEP
    assert sorted(known - set(names())) == [], "these are gone"
    unknown, idle = [], []
    for name in names():
        with taken_back():
            answer = client_of(manager).post(reverse(name, kwargs=TABLE[name].parts()))
        if answer.status_code != 405 and name not in known:
            unknown.append(name)
        if answer.status_code == 405 and name in known:
            idle.append(name)
    assert unknown == [], "say in this file whether these edit, make or take a step"
    assert idle == [], "these take no form"


@pytest.fixture
def two(manager: Any, client_of: Callable[[Any], Client]) -> tuple[Client, Client]:
    return client_of(manager), client_of(manager)


def _sent(browser: Client, url: str, forms: Any, change: Change, which: int) -> Any:
    values = change.kept[which][0]
    return browser.post(url, forms[change.form].data(**{change.field: values}))


def _shows(response: Any, values: list[str]) -> bool:
    page = html.unescape(response.content.decode())
    return all(value in page for value in values)


@pytest.mark.parametrize("name", sorted(EDITS))
def test_nothing_is_lost_between_two_sessions(name: str, two: tuple[Client, Client]) -> None:
    url = url_of(name)
    one, other = two
    found = list(changes(one, url, wanted=2))
    assert found, "no field of this page could be changed: give it rows in tests/editing.py"
    by_form: dict[int, list[Change]] = {}
    for change in found:
        by_form.setdefault(change.form, []).append(change)
    for of_form in by_form.values():
        if len(of_form) > 1:
            with taken_back():
                _different_fields(url, one, other, *of_form[:2])
        for change in of_form:
            if len(change.kept) > 1:
                with taken_back():
                    _same_field(url, one, other, change)


def _different_fields(url: str, one: Client, other: Client, mine: Change, theirs: Change) -> None:
    """Both are kept, or the second is shown what the first saved and nothing is overwritten."""
    before, late = opened(one, url), opened(other, url)
    assert is_taken(_sent(one, url, before, mine, 0))
    answer = _sent(other, url, late, theirs, 0)
    first = mine.kept[0][1]
    assert on_record(one, url, mine.form, mine.field) == first, f"{mine.field} went back"
    if is_taken(answer):
        assert on_record(one, url, theirs.form, theirs.field) == theirs.kept[0][1]
    else:
        assert _shows(answer, first), f"what stands in {mine.field} is not shown"


def _same_field(url: str, one: Client, other: Client, change: Change) -> None:
    """The second is shown both and asked; sent again, it is saved."""
    before, late = opened(one, url), opened(other, url)
    (_, first), (second_sent, second) = change.kept[:2]
    assert is_taken(_sent(one, url, before, change, 0))
    answer = _sent(other, url, late, change, 1)
    assert not is_taken(answer), f"{change.field} of the first was overwritten unasked"
    assert on_record(one, url, change.form, change.field) == first
    again = forms_of(answer, url)[change.form]
    held = again.control(change.field)
    assert held is not None
    assert held.values == second_sent, "what was typed is gone"
    assert _shows(answer, [] if held.options else first), "what stands is not shown"
    assert is_taken(other.post(url, again.data())), "asked twice"
    assert on_record(one, url, change.form, change.field) == second


# Rows of a page: lines of an order, rules of a class


@pytest.fixture
def lines() -> tuple[str, list[Line]]:
    factories.make_shop()
    order = factories.make_order()
    made = [factories.make_line(order, description=words) for words in ("Strut", "Arm", "Toe")]
    return reverse("order_lines", args=[order.pk]), made


def _rows(answer: Any, url: str) -> Any:
    return forms_of(answer, url)[0]


def _descriptions() -> list[str]:
    return list(Line.objects.values_list("description", flat=True))


def test_lines_added_changed_and_removed_by_two_people_are_joined(
    two: tuple[Client, Client], lines: tuple[str, list[Line]]
) -> None:
    url, _made = lines
    one, other = two
    late = _rows(other.get(url), url)
    form = _rows(one.get(url), url)
    new = {"lines-3-kind": ["part"], "lines-3-unit_price": ["4"]}
    sent = form.data(**{"lines-1-DELETE": ["on"], "lines-3-description": ["Bush"], **new})
    assert is_taken(one.post(url, sent))
    assert is_taken(other.post(url, late.data(**{"lines-2-description": ["Toe link"]})))
    assert sorted(_descriptions()) == ["Bush", "Strut", "Toe link"]


def test_a_line_changed_here_and_removed_there_comes_back_once_as_a_question(
    two: tuple[Client, Client], lines: tuple[str, list[Line]]
) -> None:
    url, _made = lines
    one, other = two
    late = _rows(other.get(url), url)
    assert is_taken(one.post(url, _rows(one.get(url), url).data(**{"lines-1-DELETE": ["on"]})))
    answer = other.post(url, late.data(**{"lines-1-description": ["Lower arm"]}))
    assert not is_taken(answer)
    assert "It is shown again as a new row" in answer.content.decode()
    assert _descriptions() == ["Strut", "Toe"]
    assert is_taken(other.post(url, _rows(answer, url).data()))
    assert sorted(_descriptions()) == ["Lower arm", "Strut", "Toe"]


def test_a_line_removed_here_and_changed_there_is_asked_about_once(
    two: tuple[Client, Client], lines: tuple[str, list[Line]]
) -> None:
    url, _made = lines
    one, other = two
    late = _rows(other.get(url), url)
    changed = _rows(one.get(url), url).data(**{"lines-1-description": ["Lower arm"]})
    assert is_taken(one.post(url, changed))
    answer = other.post(url, late.data(**{"lines-1-DELETE": ["on"]}))
    assert not is_taken(answer)
    assert "Lower arm" in answer.content.decode()
    assert _descriptions() == ["Strut", "Lower arm", "Toe"]
    assert is_taken(other.post(url, _rows(answer, url).data()))
    assert _descriptions() == ["Strut", "Toe"]


def test_what_an_order_waits_for_is_asked_where_another_person_said_it(
    two: tuple[Client, Client],
) -> None:
    url = reverse("order_wait", args=[factories.make_order(waiting_for="").pk])
    one, other = two
    late, form = _rows(other.get(url), url), _rows(one.get(url), url)
    assert is_taken(one.post(url, form.data(waiting_for=["customer"])))
    answer = other.post(url, late.data(waiting_for=["parts"]))
    assert not is_taken(answer)
    assert "Another person changed this to" in answer.content.decode()
    assert is_taken(other.post(url, _rows(answer, url).data()))


NOT_EDITS = sorted(set(TABLE) - EDITS - {"login", "logout"})


@pytest.mark.nightly
@pytest.mark.parametrize("name", NOT_EDITS)
def test_no_other_page_edits(name: str, two: tuple[Client, Client]) -> None:
    """A form that keeps what it shows belongs to EDITS, where it is tried with two sessions."""
    url = url_of(name)
    assert [change.field for change in changes(two[0], url, wanted=1)] == []
