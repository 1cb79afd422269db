"""A corrected record keeps the old figure beside the new: who, when and why."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from shop.models import RecordCorrection
from shop.people.car_model_forms import CarModelForm
from tests.factories import make_car_model, make_user

pytestmark = pytest.mark.django_db


def sent(form: Any, **changed: Any) -> dict[str, Any]:
    values = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in values.items() if value not in (None, False)} | changed


def test_a_car_models_hub_is_corrected_with_a_reason_alone(writer: Any, client_of: Any) -> None:
    car_model = make_car_model(bolt_count=5, bolt_circle_mm=100)
    url = reverse("car_model_edit", args=[car_model.pk])
    browser = client_of(writer)
    form = browser.get(url).context["form"]
    refused = browser.post(url, sent(form, bolt_circle_mm="116"))
    assert "why" in refused.context["form"].errors
    car_model.refresh_from_db()
    assert car_model.bolt_circle_mm == 100
    assert browser.post(url, sent(form, bolt_circle_mm="116", why="Gauge")).status_code == 302
    kept = RecordCorrection.objects.of(car_model).get()
    assert (kept.field, kept.old, kept.new) == ("bolt_circle_mm", "100.00", "116")
    assert (kept.why, kept.by) == ("Gauge", writer)
    page = browser.get(car_model.get_absolute_url()).content.decode()
    assert "<del>100.00</del> 116" in page
    assert "Gauge" in page


def test_what_was_empty_is_filled_in_without_a_reason(writer: Any, client_of: Any) -> None:
    car_model = make_car_model(speed_symbol="", load_index_front=None)
    url = reverse("car_model_edit", args=[car_model.pk])
    browser = client_of(writer)
    form = browser.get(url).context["form"]
    answer = browser.post(url, sent(form, speed_symbol="W", load_index_front="91"))
    assert answer.status_code == 302
    assert not RecordCorrection.objects.exists()


def test_the_same_figure_written_otherwise_is_no_correction() -> None:
    car_model = make_car_model(bolt_count=5, bolt_circle_mm=112)
    form = CarModelForm(instance=car_model)
    again = CarModelForm(sent(form, bolt_circle_mm="112,0"), instance=car_model, by=make_user())
    assert again.is_valid(), again.errors
    assert again.corrections == []


def test_no_correction_is_kept_without_a_reason_or_a_name() -> None:
    for values in ({"why": "", "by": make_user()}, {"why": "So", "by": None}):
        with pytest.raises(IntegrityError), transaction.atomic():
            RecordCorrection.objects.create(
                record="shop.carmodel", record_pk=1, field="thread", label="Thread", **values
            )
