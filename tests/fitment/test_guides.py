"""Fitment tables: their revisions, an order held against them, and who relied on which."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from common.verdicts import Outcome
from fitment.clearance.services import check_run
from fitment.job.state import check_state
from fitment.models import Guide, GuideReliance, GuideRow
from fitment.mounting.guide_records import (
    guide_forget,
    guide_rely,
    guide_revise,
    reliances_on_older,
)
from fitment.mounting.guides import guides_held
from shop.models import WorkOrder
from shop.site.refusals import Refused
from tests.factories import make_car_model, make_line, make_part, make_quote
from tests.fitment.factories import make_ready_order, make_rubbing_order, make_surveyed_car_model

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def make_guide(car_model: Any, **row: Any) -> GuideRow:
    """A table of one row that suits the rubbing order of the factories."""
    guide = Guide.objects.create(
        car_model=car_model,
        maker="Test maker",
        title="Test table",
        source="a list",
        revision="1",
        dated=dt.date(2026, 1, 5),
    )
    values = {
        "axle": "front",
        "wheel_width_in": 9,
        "wheel_diameter_in": 18,
        "tyre_size": "265/35R18",
        "spacer_max_mm": 5,
        "camber_deg": -2.4,
    }
    return GuideRow.objects.create(guide=guide, **(values | row))


def newer(guide: Guide) -> Guide:
    return guide_revise(
        guide=guide,
        values={"revision": "2", "dated": dt.date(2026, 6, 1), "source": "a list", "notes": ""},
    )


def held(order: WorkOrder) -> Any:
    (guide,), _ = guides_held(order, check_state(order))
    return guide


def test_a_table_that_says_yes_where_geometry_says_no_is_contradicted() -> None:
    order = make_rubbing_order()
    make_guide(order.vehicle.car_model)
    check_run(order=order, by=None)
    (one,) = held(order).rows
    assert one.said == "promised"
    assert {condition.outcome for condition in one.conditions} == {Outcome.PASSES}
    assert "The table says that it fits; the geometry of this car does not." in one.disagreement
    assert "arch lip" in one.disagreement


def test_a_table_that_says_no_where_geometry_says_yes_is_contradicted_too() -> None:
    order = make_ready_order()
    make_guide(order.vehicle.car_model, tyre_size="235/40R18", camber_by="lower_arm")
    check_run(order=order, by=None)
    (one,) = held(order).rows
    assert one.said == "not promised"
    assert "by the geometry of this car it clears" in one.disagreement


def test_without_a_clearance_check_nothing_is_contradicted() -> None:
    order = make_rubbing_order()
    make_guide(order.vehicle.car_model)
    (one,) = held(order).rows
    assert one.said == "promised"
    assert one.disagreement == ""


def test_camber_that_follows_from_adjusters_is_taken_from_the_clearance_check() -> None:
    order = make_rubbing_order()
    order.planned_settings.update(camber_deg=None, camber_by="", adjusters={"lower_arm_out_mm": 14})
    make_guide(order.vehicle.car_model)
    (before,) = held(order).rows
    check_run(order=order, by=None)
    (after,) = held(order).rows
    assert before.said == "open"
    camber = next(one for one in after.conditions if one.what == "Camber")
    assert camber.outcome in (Outcome.PASSES, Outcome.FAILS)


def test_required_parts_may_be_on_the_order_or_on_the_car() -> None:
    order = make_rubbing_order()
    make_guide(order.vehicle.car_model, parts="SH-1, TM-2")
    part = make_part(number="SH-1")
    make_line(order, kind="part", part=part)
    (one,) = held(order).rows
    found = {c.asked: c.outcome for c in one.conditions if c.what == "Part"}
    assert found == {"SH-1": Outcome.PASSES, "TM-2": Outcome.FAILS}


def test_a_table_about_other_sizes_says_which() -> None:
    order = make_ready_order()
    make_guide(order.vehicle.car_model)
    guide = held(order)
    assert guide.rows == ()
    assert guide.others == ("Front, 9×18, 265/35R18",)


def test_tables_of_other_car_models_say_nothing() -> None:
    order = make_rubbing_order()
    make_guide(make_surveyed_car_model())
    assert guides_held(order, check_state(order)) == ([], [])


# Revisions


def test_a_newer_revision_flags_the_open_order_that_relied_on_the_older(writer: Any) -> None:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model)
    guide_rely(order=order, row=row, by=writer)
    assert not reliances_on_older().exists()
    revised = newer(row.guide)
    assert [one.order for one in reliances_on_older()] == [order]
    assert order.log.filter(what="A newer revision of a table is on record").exists()
    guides, outdated = guides_held(order, check_state(order))
    assert [one.guide for one in guides] == [revised]
    assert [one.row for one in outdated] == [row]
    assert list(revised.rows.values_list("tyre_size", "camber_deg")) == [("265/35R18", -2.4)]


def test_a_closed_order_is_not_flagged(writer: Any) -> None:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model)
    guide_rely(order=order, row=row, by=writer)
    WorkOrder.objects.filter(pk=order.pk).update(state="handed_over")
    newer(row.guide)
    assert not reliances_on_older().exists()


def test_a_table_is_replaced_once() -> None:
    row = make_guide(make_car_model())
    newer(row.guide)
    with pytest.raises(Refused, match="already"):
        newer(row.guide)


def test_a_row_of_an_older_revision_or_another_car_is_not_relied_on(writer: Any) -> None:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model)
    newer(row.guide)
    row = GuideRow.objects.get(pk=row.pk)
    with pytest.raises(Refused, match="newer revision"):
        guide_rely(order=order, row=row, by=writer)
    with pytest.raises(Refused, match="another car model"):
        guide_rely(order=order, row=make_guide(make_car_model()), by=writer)


def test_relying_twice_is_relying_once_and_can_be_taken_back(writer: Any) -> None:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model)
    for _ in range(2):
        guide_rely(order=order, row=row, by=writer)
    assert GuideReliance.objects.count() == 1
    guide_forget(order=order, row=row, by=writer)
    assert not GuideReliance.objects.exists()
    assert order.log.filter(what__startswith="No longer relies").exists()


# Pages


def test_a_table_is_written_down_row_by_row(client_of: Browsers, writer: Any) -> None:
    browser, car_model = client_of(writer), make_car_model()
    head = {
        "car_model": car_model.pk,
        "maker": "A maker",
        "title": "A table",
        "source": "its list",
        "revision": "3",
        "dated": "2026-05-04",
    }
    assert browser.post(reverse("guide_new"), head).status_code == 302
    guide = Guide.objects.get()
    row = {
        "axle": "front",
        "wheel_width_in": "9,5",
        "wheel_diameter_in": "18",
        "tyre_size": "265/35R18",
        "camber_deg": "−2,4",
        "camber_by": "top_mount",
    }
    assert browser.post(reverse("guide_row_new", args=[guide.pk]), row).status_code == 302
    text = browser.get(guide.get_absolute_url()).content.decode()
    assert "Front, 9.5×18, 265/35R18" in text
    assert "camber −2.40° or more negative; by the top mount" in text
    assert "A table" in browser.get(reverse("guide_list")).content.decode()


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ({"axle": "front"}, "which wheel or which tyre"),
        ({"axle": "front", "wheel_width_in": "9"}, "width and diameter"),
        ({"axle": "front", "tyre_size": "wide"}, "is not a size"),
        (
            {"axle": "front", "tyre_size": "265/35R18", "adjuster": "toe_link_mm"},
            "the range that the table gives",
        ),
        (
            {
                "axle": "rear",
                "tyre_size": "265/35R18",
                "offset_min_mm": "50",
                "offset_max_mm": "40",
            },
            "below the other end",
        ),
    ],
)
def test_a_row_that_makes_no_sense_is_refused(
    client_of: Browsers, writer: Any, row: dict[str, str], why: str
) -> None:
    guide = make_guide(make_car_model()).guide
    answer = client_of(writer).post(reverse("guide_row_new", args=[guide.pk]), row)
    assert why in answer.content.decode()
    assert guide.rows.count() == 1


def test_the_order_page_shows_table_and_geometry_at_odds_and_takes_the_reliance(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = make_rubbing_order(), client_of(writer)
    row = make_guide(order.vehicle.car_model)
    check_run(order=order, by=writer)
    text = browser.get(order.get_absolute_url()).content.decode()
    assert "Table and geometry disagree." in text
    browser.post(reverse("guide_rely", args=[order.pk, row.pk]))
    tables = reverse("order_guides", args=[order.pk])
    assert tables in text
    assert "This order relies on the row." in browser.get(tables).content.decode()
    sent = {"revision": "2", "dated": "2026-08-01", "source": "a list"}
    browser.post(reverse("guide_revise", args=[row.guide_id]), sent)
    text = browser.get(order.get_absolute_url()).content.decode()
    assert "This order relied on revision 1" in text
    assert "This order relied on revision 1" in browser.get(tables).content.decode()
    text = browser.get(reverse("guide_list")).content.decode()
    assert "relied on an older revision" in text
    assert order.number in text


def test_the_list_names_the_quote_that_was_sent_on_an_older_revision(
    client_of: Browsers, writer: Any
) -> None:
    order, browser = make_rubbing_order(), client_of(writer)
    make_line(order)
    row = make_guide(order.vehicle.car_model)
    guide_rely(order=order, row=row, by=writer)
    quote = make_quote(order, sent_by=writer)
    newer(row.guide)
    assert f">{quote.number}</a>" in browser.get(reverse("guide_list")).content.decode()
    tables = reverse("order_guides", args=[order.pk])
    assert f">{quote.number}</a> still holds" in browser.get(tables).content.decode()


def test_the_car_model_page_lists_its_current_tables(client_of: Browsers, writer: Any) -> None:
    row = make_guide(make_car_model())
    revised = newer(row.guide)
    text = client_of(writer).get(row.guide.car_model.get_absolute_url()).content.decode()
    assert revised.get_absolute_url() in text
    assert row.guide.get_absolute_url() not in text
    assert "Front left" in text


def test_a_revision_is_new_and_not_older(client_of: Browsers, writer: Any) -> None:
    guide = make_guide(make_car_model()).guide
    sent = {"revision": "1", "dated": "2025-08-01", "source": "a list"}
    text = client_of(writer).post(reverse("guide_revise", args=[guide.pk]), sent).content.decode()
    assert "on record already" in text
    assert "before the revision that it replaces" in text


def test_a_row_that_was_relied_on_stays_as_it_is(client_of: Browsers, writer: Any) -> None:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model)
    guide_rely(order=order, row=row, by=writer)
    url = reverse("guide_row_edit", args=[row.pk])
    browser = client_of(writer)
    sent = {"axle": "front", "tyre_size": "265/35R18", "camber_deg": "-3"}
    for values in ({"remove": "1"}, sent):
        text = browser.post(url, values, follow=True).content.decode()
        assert "it stays with its revision" in text
    row.refresh_from_db()
    assert row.camber_deg == -2.4
    guide_forget(order=order, row=row, by=writer)
    browser.post(url, {"remove": "1"})
    assert not GuideRow.objects.filter(pk=row.pk).exists()


def test_an_older_revision_stays_as_it_was(client_of: Browsers, writer: Any) -> None:
    row = make_guide(make_car_model())
    newer(row.guide)
    browser = client_of(writer)
    for name, pk in (
        ("guide_row_edit", row.pk),
        ("guide_row_new", row.guide_id),
        ("guide_edit", row.guide_id),
    ):
        text = browser.get(reverse(name, args=[pk]), follow=True).content.decode()
        assert "was replaced" in text, name


def test_a_newer_revision_shows_what_the_older_one_asked(client_of: Browsers, writer: Any) -> None:
    row = make_guide(make_car_model())
    revised = newer(row.guide)
    browser = client_of(writer)
    assert "the same" in browser.get(revised.get_absolute_url()).content.decode()
    revised.rows.update(camber_deg=-3.0)
    text = browser.get(revised.get_absolute_url()).content.decode()
    assert "camber −3.00° or more negative" in text
    assert "camber −2.40° or more negative" in text
    assert "Revision 1 asked" in text


def test_a_row_that_the_job_does_not_meet_is_no_support(client_of: Browsers, writer: Any) -> None:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model, camber_deg=-3.5)
    browser = client_of(writer)
    tables = browser.get(reverse("order_guides", args=[order.pk])).content.decode()
    assert row.words in tables
    assert "Rely on this row" not in tables
    with pytest.raises(Refused, match="does not meet"):
        guide_rely(order=order, row=row, by=writer)
    other = make_guide(order.vehicle.car_model, tyre_size="225/40R18")
    with pytest.raises(Refused, match="other wheels or tyres"):
        guide_rely(order=order, row=other, by=writer)


def test_a_flag_is_taken_down_by_the_one_who_looked(client_of: Browsers, writer: Any) -> None:
    order, browser = make_rubbing_order(), client_of(writer)
    row = make_guide(order.vehicle.car_model)
    guide_rely(order=order, row=row, by=writer)
    newer(row.guide)
    tables = reverse("order_guides", args=[order.pk])
    assert "stop using revision 1" in browser.get(tables).content.decode()
    browser.post(reverse("guide_rely", args=[order.pk, row.pk]), {"forget": "1"})
    text = browser.get(order.get_absolute_url()).content.decode()
    assert "This order relied on revision 1" not in text
    assert order.log.filter(what="No longer relies on a fitment table").exists()
