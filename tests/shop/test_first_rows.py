"""Lists that show their first rows say how many more there are."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from shop.models import LogEntry, User
from shop.order_page.page import LOG_SHOWN
from shop.values.first_rows import first_rows
from tests.factories import make_order


def test_what_is_left_out_is_counted() -> None:
    assert list(first_rows([1, 2, 3], 2)) == [1, 2]
    assert first_rows([1, 2, 3], 2).more == 1
    assert first_rows([1, 2], 2).more == 0
    assert not first_rows([], 2)


@pytest.mark.django_db
def test_counting_asks_only_where_something_is_left_out(django_assert_num_queries: Any) -> None:
    for name in ("a", "b", "c"):
        User.objects.create_user(username=name, role="writer")
    with django_assert_num_queries(1):
        assert first_rows(User.objects.order_by("pk"), 3).more == 0
    with django_assert_num_queries(2):
        assert first_rows(User.objects.order_by("pk"), 1).more == 2


@pytest.mark.django_db
def test_the_log_of_an_order_says_what_it_leaves_out(writer: Any, client_of: Any) -> None:
    order = make_order()
    LogEntry.objects.bulk_create(
        LogEntry(order=order, who="W", what=f"entry {n}") for n in range(LOG_SHOWN + 4)
    )
    page = client_of(writer).get(reverse("order", args=[order.pk])).content.decode()
    assert "4 more entries" in page
    assert reverse("order_log", args=[order.pk]) in page
