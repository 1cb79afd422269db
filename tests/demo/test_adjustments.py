"""Adjustments of the demonstration: two ways to set camber, a new link, what is out of reach."""

from __future__ import annotations

from typing import Any

import pytest

from alignment.adjustments.page import CornerPage, adjustments_page
from tests.alignment.adjustments_orders import text_of
from tests.alignment.factories import make_visit

pytestmark = [pytest.mark.database, pytest.mark.django_db]


def test_the_demo_shows_clearance_by_camber_method_a_links_length_and_what_would_help(
    stage: dict[str, Any], client_of: Any
) -> None:
    client = client_of(stage["users"]["technician"])

    kerb = stage["orders"]["on_lift"]
    left = corner_of(adjustments_page(kerb), "LF")
    assert left.first is not None
    assert left.first.clearance is not None
    assert left.others
    for other in left.others:
        assert other.clearance is not None
        assert (
            other.clearance.clearance_mm < left.first.clearance.clearance_mm + 0.1
        )  # as it is printed
    said = text_of(client, kerb)
    assert "Preferred: " in said
    assert "mm at the tightest spot" in said
    assert left.link_start_mm is not None
    assert f"start from {left.link_start_mm:.1f} mm" in said.replace("\u202f", " ")

    behind = stage["orders"]["camber_behind"]
    numbers = {("LR", "camber"): "-1.32", ("RR", "camber"): "-1.28"}
    toes = {("LR", "toe"): "0.17", ("RR", "toe"): "0.06"}
    make_visit(behind, {**numbers, **toes})
    said = text_of(client, behind)
    assert "Camber −2.25° is out of reach" in said
    assert "A rod “upper rear” of adjustable length" in said
    assert "The one fitted reaches −4.0 to +4.0 mm" in said
    # Toe comes first: the upper arms at their ends are what keeps the camber from its target.
    rear = corner_of(adjustments_page(behind), "RR")
    assert rear.first is not None
    assert not any(row.is_out for row in rear.first.rows if row.name == "Toe")
    assert any(row.is_out for row in rear.first.rows if row.name == "Camber")


def corner_of(pages: list[CornerPage], corner: str) -> CornerPage:
    return next(page for page in pages if page.adjustments.corner == corner)
