"""The spec sheet's section of readings, read back out of a PDF."""

from __future__ import annotations

import io

import pytest
from reportlab.platypus import SimpleDocTemplate

from alignment.models import AdjusterPosition
from alignment.visits.sheet import readings_section
from shop.models import WorkOrder
from shop.paper.pdf_styles import Paper
from tests.alignment.factories import make_plan, make_visit
from tests.factories import make_order
from tests.pdf import text_of_pdf

pytestmark = pytest.mark.django_db


def printed(order: WorkOrder) -> str:
    paper = io.BytesIO()
    SimpleDocTemplate(paper).build(readings_section(order, Paper()))
    return " ".join(text_of_pdf(paper.getvalue()).split())


def test_the_section_shows_before_after_target_and_what_is_off() -> None:
    order = make_order()
    make_plan(order)
    make_visit(order, rack_name="North & West", steering_ahead=True)
    after = make_visit(
        order,
        {("LF", "camber"): "-2.0", ("RF", "camber"): "-2.35"},
        stage="after",
        accuracy_deg=0.02,
        tyre_pressure="2.4 bar <cold>",
    )
    AdjusterPosition.objects.create(
        visit=after,
        corner="LF",
        adjuster="lower_arm_out_mm",
        typed="2 × 1.5",
        value=3,
        unit="shims",
    )
    text = printed(order)
    for expected in (
        "camber −2.40° by the lower arm",
        "−0.75",
        "−2.00",
        "+0.40",
        "0.30 out",
        "North & West",
        "steering wheel straight ahead and held",
        "2.4 bar <cold>",
        "2 × 1.5",
        "Lower arm outward",
        "good for ±0.02°",
    ):
        assert expected in text


def test_an_order_without_settings_or_readings_has_no_section() -> None:
    assert readings_section(make_order(), {}) == []
