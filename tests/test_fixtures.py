"""What all tests rely on: starting rows, folders of their own, rows that last for a module."""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection

from fitment.models import UseProfile
from shop.models import Customer


@pytest.mark.django_db(transaction=True)
def test_the_starting_rows_come_back_when_a_test_has_emptied_the_site() -> None:
    names = set(UseProfile.objects.values_list("name", flat=True))
    assert "street" in names
    UseProfile.objects.all().delete()
    call_command("flush", interactive=False, verbosity=0)
    assert set(UseProfile.objects.values_list("name", flat=True)) == names


def test_uploads_do_not_go_where_a_site_on_this_machine_has_its_own() -> None:
    assert settings.VAR_DIR not in settings.MEDIA_ROOT.parents


@pytest.fixture(scope="module")
def customer(lasting: Any) -> Customer:
    with lasting():
        return Customer.objects.create(name="Ilka Brandvold")


@pytest.mark.django_db
@pytest.mark.parametrize("turn", ["first", "second"])
def test_rows_that_last_are_found_as_they_were_made(customer: Customer, turn: str) -> None:
    assert connection.in_atomic_block
    assert Customer.objects.get(pk=customer.pk).name == "Ilka Brandvold"
    Customer.objects.filter(pk=customer.pk).update(name=turn)
    Customer.objects.create(name=turn)
    assert Customer.objects.count() == 2
