"""Entering readings at the rack: what was typed is kept, odd values are asked about."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from alignment.models import AdjusterPosition, RackVisit, Reading
from alignment.text.question_messages import confirmed_said
from alignment.visits.forms import VisitForm
from shop.models import LogEntry, WorkOrder
from tests.alignment.factories import make_plan, make_visit
from tests.factories import make_line, make_order, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def order() -> WorkOrder:
    return make_order()


@pytest.fixture
def browser(technician: Any, client_of: Callable[[Any], Client]) -> Client:
    return client_of(technician)


def sent(**values: str) -> dict[str, Any]:
    return {
        "stage": "before",
        "toe_unit": "deg",
        "toe_reference": "thrust",
        "entry_key": str(uuid.uuid4()),
        **values,
    }


def enter(browser: Client, order: WorkOrder, **values: Any) -> Any:
    return browser.post(reverse("visit_new", args=[order.pk]), sent(**values))


def value(corner: str, quantity: str) -> float:
    return Reading.objects.get(corner=corner, quantity=quantity).value


def test_what_was_typed_is_kept_beside_what_was_understood(
    browser: Client, order: WorkOrder
) -> None:
    answer = enter(browser, order, camber_LF="2,4 neg", camber_RF="-2°24'", toe_LF="0°08'")
    visit = RackVisit.objects.get()
    assert answer.url == reverse("visit", args=[visit.pk])
    reading = visit.readings.get(corner="LF", quantity="camber")
    assert (reading.typed, reading.unit, reading.value) == ("2,4 neg", "deg", -2.4)
    assert value("RF", "camber") == pytest.approx(-2.4)
    assert value("LF", "toe") == pytest.approx(8 / 60)
    page = browser.get(answer.url).content.decode()
    assert "2,4 neg" in page
    assert "−2.40°" in page


def test_zero_is_a_reading_and_empty_is_not(browser: Client, order: WorkOrder) -> None:
    enter(browser, order, camber_LF="0", camber_RF="", toe_LR="0")
    kept = set(Reading.objects.values_list("corner", "quantity", "value"))
    assert kept == {("LF", "camber", 0.0), ("LR", "toe", 0.0)}


def test_a_visit_and_its_log_entry_are_saved_together(
    browser: Client, order: WorkOrder, technician: Any
) -> None:
    enter(browser, order, camber_LF="-1.5")
    entry = LogEntry.objects.get(order=order)
    assert entry.by == technician
    assert entry.what == "Readings taken: before the work"
    assert "camber front left −1.50°" in entry.detail


def test_toe_in_millimetres_is_kept_as_an_angle_at_its_diameter(
    browser: Client, order: WorkOrder
) -> None:
    enter(browser, order, toe_unit="mm", toe_diameter="600", toe_LF="1.5", toe_RF='1/16"')
    assert value("LF", "toe") == pytest.approx(0.1432, abs=1e-4)
    assert value("RF", "toe") == pytest.approx(0.1516, abs=1e-4)
    assert RackVisit.objects.get().toe_diameter_mm == 600


def test_toe_as_a_length_without_a_diameter_is_refused_at_its_field(
    browser: Client, order: WorkOrder
) -> None:
    answer = enter(browser, order, toe_unit="mm", toe_LF="1.5")
    assert answer.status_code == 422
    assert "needs the diameter" in answer.context["form"].errors["toe_LF"][0]


def test_nothing_typed_is_lost_when_one_field_is_refused(browser: Client, order: WorkOrder) -> None:
    answer = enter(
        browser,
        order,
        camber_LF="minus two",
        camber_RF="-2,4",
        rack_name="the one by the door",
        notes="left tyre was low",
        pos_front_0_name="toe_link_mm",
        pos_front_0_LF="2 flats",
    )
    assert answer.status_code == 422
    page = answer.content.decode()
    for typed in ("minus two", "-2,4", "the one by the door", "left tyre was low", "2 flats"):
        assert typed in page
    assert "Camber, front left" in page
    assert not RackVisit.objects.exists()


def test_what_was_understood_is_shown_beside_the_fields_that_were_fine(
    browser: Client, order: WorkOrder
) -> None:
    page = enter(browser, order, camber_LF="x", camber_RF="-2,4").content.decode()
    assert "−2.40° = −2°24′ top inboard" in page


def test_a_visit_without_a_number_is_refused(browser: Client, order: WorkOrder) -> None:
    answer = enter(browser, order, notes="only looked")
    assert "Enter at least one reading." in answer.content.decode()
    assert not RackVisit.objects.exists()


@pytest.mark.parametrize(
    ("values", "field", "asks"),
    [
        ({"camber_LF": "-25"}, "camber_LF", "beyond ±12°"),
        ({"camber_LF": "12.5"}, "camber_LF", "beyond ±12°"),
        ({"camber_RF": "2.5"}, "camber_RF", "minus missing"),
        ({"toe_LF": "5"}, "toe_LF", "minutes of arc (+0.08°)"),
        ({"toe_LR": "3", "toe_diameter": "600"}, "toe_LR", "millimetres (+0.29°)"),
        ({"camber_LF": "-0.9", "camber_RF": "0.9"}, "camber_LF", "mean the same on both sides"),
        ({"toe_LR": "0.2", "toe_RR": "-0.2"}, "toe_LR", "mean the same on both sides"),
        ({"caster_LF": "65"}, "caster_LF", "unusual"),
        ({"sai_RF": "-13"}, "sai_RF", "unusual"),
        ({"ride_height_LF": "35"}, "ride_height_LF", "unusual"),
        ({"ride_height_LF": "350", "ride_height_RF": "380"}, "ride_height_LF", "differ by 30 mm"),
        ({"wheelbase_LF": "260"}, "wheelbase_LF", "unusual"),
    ],
)
def test_a_suspicious_value_is_asked_about_and_taken_when_ticked(
    browser: Client, order: WorkOrder, values: dict[str, str], field: str, asks: str
) -> None:
    answer = enter(browser, order, **values)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert asks in form.errors[field][0]
    assert 'name="accept"' in answer.content.decode()
    assert not RackVisit.objects.exists()

    ticked = enter(browser, order, **values, accept=[q.key for q in form.questions])
    assert ticked.status_code == 302
    assert asks in " ".join(confirmed_said(RackVisit.objects.get().accepted))
    assert "Confirmed" in LogEntry.objects.get(order=order).detail


def test_a_tick_is_good_for_the_value_it_was_given_for_and_no_other(
    browser: Client, order: WorkOrder
) -> None:
    key = enter(browser, order, camber_LF="-12.5").context["form"].questions[0].key
    answer = enter(browser, order, camber_LF="-21.5", accept=[key])
    assert answer.status_code == 422


def test_a_sign_lost_against_the_plan_is_asked_about_after_the_work_only(
    browser: Client, order: WorkOrder
) -> None:
    make_plan(order, camber_deg=0.8, toe_deg=0.2)
    before = enter(browser, order, camber_LF="-0.8")
    assert before.status_code == 302
    after = enter(browser, order, stage="after", camber_LF="-0.8", toe_LF="-0.2")
    errors = after.context["form"].errors
    assert "Is the sign wrong" in errors["camber_LF"][0]
    assert "Is the sign wrong" in errors["toe_LF"][0]


def test_everyday_readings_are_not_asked_about(browser: Client, order: WorkOrder) -> None:
    make_plan(order)
    answer = enter(
        browser,
        order,
        stage="after",
        camber_LF="-2.45",
        camber_RF="-2.55",
        caster_LF="6.9",
        caster_RF="7.0",
        sai_LF="12.1",
        toe_LF="0.05",
        toe_RF="-0.02",
        ride_height_LF="352",
        ride_height_RF="349",
        wheelbase_LF="2612",
        wheelbase_RF="2608",
    )
    assert answer.status_code == 302


def test_adjuster_positions_are_kept_in_the_units_of_the_hand(
    browser: Client, order: WorkOrder
) -> None:
    enter(
        browser,
        order,
        camber_LF="-1",
        pos_front_0_name="lower_arm_out_mm",
        pos_front_0_LF="2 × 1.5 + 1 × 0.8",
        pos_front_0_RF="2 × 1.5",
        pos_front_1_name="strut clamp",
        pos_front_1_LF="2 marks",
        pos_rear_0_name="toe_link_mm",
        pos_rear_0_LR="1 1/2 turns",
    )
    kept = set(AdjusterPosition.objects.values_list("corner", "adjuster", "value", "unit"))
    assert kept == {
        ("LF", "lower_arm_out_mm", 3.8, "shims"),
        ("RF", "lower_arm_out_mm", 3.0, "shims"),
        ("LF", "strut clamp", 2.0, "marks"),
        ("LR", "toe_link_mm", 1.5, "turns"),
    }


def test_a_position_needs_the_name_of_its_adjuster(browser: Client, order: WorkOrder) -> None:
    answer = enter(browser, order, pos_front_0_name="", pos_front_0_LF="2 marks")
    assert "Enter the adjuster." in answer.context["form"].errors["pos_front_0_name"][0]


def test_the_page_offers_the_adjusters_of_the_orders_parts_and_plan(order: WorkOrder) -> None:
    make_line(order, kind="part", part=make_part(adjuster="top_mount_in_mm", axle="front"))
    make_line(order, kind="part", part=make_part(adjuster="rod:upper front", axle="rear"))
    form = VisitForm(order=order, plans=[make_plan(order)])
    front, rear = ([row.name.value() for row in rows] for _, rows in form.position_groups)
    assert front == ["top_mount_in_mm", "lower_arm_out_mm", "toe_link_mm", ""]
    assert rear == ["rod:upper front", "toe_link_mm", ""]


def test_the_rack_of_yesterday_is_offered_but_not_the_car_of_yesterday(order: WorkOrder) -> None:
    make_visit(rack_name="North rack", accuracy_deg=0.03, tyre_pressure="2.3", fuel="full")
    form = VisitForm(order=order)
    assert form["rack_name"].value() == "North rack"
    assert form["accuracy"].value() == "0.03"
    assert not form["tyre_pressure"].value()
    assert not form["fuel"].value()


def test_a_form_sent_twice_is_one_visit(browser: Client, order: WorkOrder) -> None:
    key = str(uuid.uuid4())
    enter(browser, order, camber_LF="-1.5", entry_key=key)
    enter(browser, order, camber_LF="-1.6", entry_key=key)
    assert RackVisit.objects.count() == 1
    assert value("LF", "camber") == -1.6


def test_a_form_meant_for_one_order_does_not_touch_anothers_visit(
    browser: Client, order: WorkOrder
) -> None:
    other = make_visit()
    enter(browser, order, camber_LF="-1.5", entry_key=str(other.entry_key))
    assert other.readings.filter(quantity="caster").exists()
    assert RackVisit.objects.filter(order=order).count() == 1


def test_a_form_that_lost_its_version_overwrites_nothing(browser: Client) -> None:
    visit = make_visit(numbers={("LF", "camber"): "-1.0"})
    answer = browser.post(reverse("visit_edit", args=[visit.pk]), sent(camber_LF="-1.2"))
    assert answer.status_code == 422
    assert value("LF", "camber") == -1.0


def test_a_closed_order_takes_no_new_readings(browser: Client) -> None:
    closed = make_order(state="cancelled")
    answer = enter(browser, closed, camber_LF="-1.5")
    assert "closed" in answer.content.decode()
    assert not RackVisit.objects.exists()


def test_a_writer_may_look_but_not_enter(
    writer: Any, client_of: Callable[[Any], Client], order: WorkOrder
) -> None:
    browser = client_of(writer)
    assert enter(browser, order, camber_LF="-1").status_code == 403
    assert browser.get(reverse("visit", args=[make_visit(order).pk])).status_code == 200


def test_a_field_is_read_back_as_it_changes(browser: Client) -> None:
    def ask(**query: str) -> str:
        return browser.get(reverse("typed_read"), query).content.decode()

    assert "+0.14° = +0°09′ toe-in, +1.5 mm at 600 mm" in ask(
        kind="toe", field="toe_LF", toe_LF="1.5", toe_unit="mm", toe_diameter="600"
    )
    assert "wrong-text" in ask(kind="camber", field="camber_LF", camber_LF="1 3")
    assert "352.0 mm" in ask(kind="length", field="ride_height_LF", ride_height_LF="352")
    assert ask(kind="camber", field="camber_LF").strip() == ""
    assert "&lt;b&gt;" in ask(kind="camber", field="camber_LF", camber_LF="<b>")


def test_a_field_that_is_too_long_is_refused_and_never_cut(browser: Client) -> None:
    def ask(**query: str) -> str:
        return browser.get(reverse("typed_read"), query).content.decode()

    long = f"-1.5{'0' * 80}7"
    assert "Too long: at most 80 characters." in ask(
        kind="camber", field="camber_LF", camber_LF=long
    )
    at_a_diameter = {"field": "toe_LF", "toe_LF": "1.5", "toe_unit": "mm", "toe_diameter": long}
    assert "Too long" in ask(kind="toe", **at_a_diameter)
