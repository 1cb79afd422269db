"""Odd visits: twice the same, older than the parts, sides changed over, units mixed up."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from alignment.geometry.caster_sweep import CasterSweep
from alignment.models import RackVisit
from shop.models import InstalledPart, WorkOrder
from tests.alignment.factories import make_visit
from tests.factories import make_order

pytestmark = pytest.mark.django_db

BEFORE = {
    ("LF", "camber"): "-0.3",
    ("RF", "camber"): "-1.1",
    ("LF", "caster"): "5.2",
    ("RF", "caster"): "5.9",
    ("LF", "sai"): "12.1",
    ("RF", "sai"): "12.9",
}


@pytest.fixture
def order() -> WorkOrder:
    return make_order()


@pytest.fixture
def browser(technician: Any, client_of: Callable[[Any], Client]) -> Client:
    return client_of(technician)


def enter(browser: Client, order: WorkOrder, **values: Any) -> Any:
    sent = {"stage": "after", "toe_unit": "deg", "toe_reference": "thrust"}
    sent["entry_key"] = str(uuid.uuid4())
    return browser.post(reverse("visit_new", args=[order.pk]), {**sent, **values})


def typed(at: dt.datetime) -> str:
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")


def asked(answer: Any, field: str) -> str:
    assert answer.status_code == 422
    return str(answer.context["form"].errors[field][0])


def ticked(answer: Any) -> list[str]:
    return [question.key for question in answer.context["form"].questions]


def test_a_second_visit_of_one_stage_within_the_hour_is_questioned(
    browser: Client, order: WorkOrder
) -> None:
    make_visit(order, {("LF", "camber"): "-1.0"}, stage="after")
    answer = enter(browser, order, camber_LF="-1.2")
    assert "Is this another visit" in asked(answer, "stage")
    assert enter(browser, order, camber_LF="-1.2", accept=ticked(answer)).status_code == 302
    assert RackVisit.objects.count() == 2


def test_the_very_same_readings_are_questioned_however_long_ago(
    browser: Client, order: WorkOrder
) -> None:
    ago = timezone.now() - dt.timedelta(days=200)
    make_visit(order, {("LF", "camber"): "-1.0", ("RF", "camber"): "-0.5"}, at=ago)
    answer = enter(browser, order, camber_LF="-1.0", camber_RF="-0.50")
    assert "exactly these readings" in asked(answer, "stage")


def test_readings_after_the_work_that_are_older_than_a_part_are_questioned(
    browser: Client, order: WorkOrder, technician: Any
) -> None:
    now = timezone.now()
    InstalledPart.objects.create(order=order, description="Toe link", by=technician, at=now)
    earlier = typed(now - dt.timedelta(hours=3))
    answer = enter(browser, order, camber_LF="-1.0", at=earlier)
    assert "Toe link was fitted" in asked(answer, "at")
    assert enter(browser, order, camber_LF="-1.0").status_code == 302


def test_readings_older_than_the_order_are_questioned(browser: Client, order: WorkOrder) -> None:
    answer = enter(browser, order, camber_LF="-1.0", at="1999-01-01T10:00")
    assert "Is the date correct?" in asked(answer, "at")
    assert enter(
        browser, order, camber_LF="-1.0", at="1999-01-01T10:00", accept=ticked(answer)
    ).url.startswith("/readings/")


def test_a_date_that_is_none_says_how_to_type_it(browser: Client, order: WorkOrder) -> None:
    answer = enter(browser, order, camber_LF="-1.0", at="yesterday")
    assert "2026-03-01 09:30" in asked(answer, "at")
    assert "yesterday" in answer.content.decode()


def test_readings_before_the_work_with_a_part_already_on_are_questioned(
    browser: Client, order: WorkOrder, technician: Any
) -> None:
    at = timezone.now() - dt.timedelta(hours=3)
    InstalledPart.objects.create(order=order, description="Toe link", by=technician, at=at)
    answer = enter(browser, order, stage="before", camber_LF="-1.0")
    assert "before these readings" in asked(answer, "at")


def test_a_time_still_to_come_is_refused(browser: Client, order: WorkOrder) -> None:
    answer = enter(browser, order, camber_LF="-1", at=typed(timezone.now() + dt.timedelta(days=2)))
    assert "in the future" in asked(answer, "at")


def test_left_and_right_changed_over_are_questioned_against_the_readings_before(
    browser: Client, order: WorkOrder
) -> None:
    make_visit(order, BEFORE, at=timezone.now() - dt.timedelta(days=1))
    swapped = {
        f"{quantity}_{'RF' if corner == 'LF' else 'LF'}": text
        for (corner, quantity), text in BEFORE.items()
    }
    answer = enter(browser, order, **{**swapped, "camber_LF": "-1.15"})
    assert "look swapped" in asked(answer, "camber_LF")


def test_sides_changed_over_after_camber_was_set_are_questioned_too(
    browser: Client, order: WorkOrder
) -> None:
    make_visit(order, BEFORE, at=timezone.now() - dt.timedelta(days=1))
    swapped = {"caster_LF": "5.9", "caster_RF": "5.2", "sai_LF": "12.9", "sai_RF": "12.1"}
    answer = enter(browser, order, camber_LF="-2.4", camber_RF="-2.4", **swapped)
    assert "look swapped" in asked(answer, "camber_LF")


def test_a_camber_of_the_other_sign_than_before_is_questioned(
    browser: Client, order: WorkOrder
) -> None:
    numbers = {("LF", "camber"): "-0.8", ("RF", "camber"): "-0.9"}
    make_visit(order, numbers, at=timezone.now() - dt.timedelta(days=1))
    answer = enter(browser, order, camber_LF="0.75", camber_RF="0.9")
    for field in ("camber_LF", "camber_RF"):
        assert "Is the sign wrong?" in asked(answer, field)
    assert enter(browser, order, camber_LF="-0.75", camber_RF="-0.9").status_code == 302


def test_a_car_that_was_set_alike_on_both_sides_is_not_taken_for_changed_over(
    browser: Client, order: WorkOrder
) -> None:
    make_visit(order, BEFORE, at=timezone.now() - dt.timedelta(days=1))
    answer = enter(browser, order, camber_LF="-2.0", camber_RF="-2.0", caster_LF="5.4")
    assert answer.status_code == 302


@pytest.mark.parametrize(
    ("values", "field", "asks"),
    [
        ({"camber_LF": "25"}, "camber_LF", "Is the unit wrong or a decimal point missing?"),
        ({"camber_LF": "-45"}, "camber_LF", "In minutes of arc it would be −0.75°"),
        ({"camber_LF": "-1.30'"}, "camber_LF", "could be 1°30'"),
        ({"camber_LF": "1.5"}, "camber_LF", "Is the minus missing?"),
        ({"toe_LF": "1.2"}, "toe_LF", "plausible in minutes of arc (+0.02°)"),
        ({"toe_LF": "1.2", "toe_diameter": "600"}, "toe_LF", "millimetres (+0.11°)"),
        ({"toe_LF": "0.10", "toe_unit": "min"}, "toe_LF", "plausible in degrees (+0.10°)"),
        (
            {"toe_LF": "0.06", "toe_unit": "mm", "toe_diameter": "600"},
            "toe_LF",
            "plausible in inches (+0.15°) or degrees (+0.06°)",
        ),
        (
            {"toe_LF": "16", "toe_unit": "mm", "toe_diameter": "600"},
            "toe_LF",
            "plausible in minutes of arc (+0.27°)",
        ),
        ({"toe_LF": "1.5 in"}, "toe_LF", "could mean inches or toe-in"),
        ({"caster_LF": "55"}, "caster_LF", "unusual"),
        ({"ride_height_LF": "35.2"}, "ride_height_LF", "plausible in centimetres"),
        ({"ride_height_LF": "13.9"}, "ride_height_LF", "plausible in inches"),
        ({"track_LF": "152"}, "track_LF", "plausible in centimetres"),
        ({"pressure_LF": "33"}, "pressure_LF", "Was it 33 psi?"),
        ({"pressure_LF": "240"}, "pressure_LF", "240 kPa"),
        ({"pressure_LF": "15"}, "pressure_LF", "unusual"),
        ({"toe_total_LF": "3", "toe_diameter": "600"}, "toe_total_LF", "is high"),
        (
            {"toe_total_LF": "0.10", "toe_LF": "0.10", "toe_RF": "0.10"},
            "toe_total_LF",
            "one per wheel and the other a total",
        ),
        ({"mileage": "many"}, "mileage", "was not understood"),
        ({"mileage": "61400.5"}, "mileage", "was not understood"),
        ({"mileage": "61,4"}, "mileage", "was not understood"),
        ({"toe_diameter": "60", "toe_LF": "1 mm"}, "toe_diameter", "Was it 60 cm?"),
        ({"toe_diameter": "-600", "toe_LF": "1 mm"}, "toe_diameter", "must be above zero"),
        (
            {"toe_diameter": '6"', "toe_place": "rim", "toe_LF": "1 mm"},
            "toe_diameter",
            "between 250 and 680 mm",
        ),
        ({"toe_diameter": "17", "toe_LF": "1 mm"}, "toe_diameter", "could be inches"),
        ({"temperature": "70"}, "temperature", "64 °F"),
        ({"steering_ratio": "155"}, "steering_ratio", "between 4 and 40"),
    ],
)
def test_what_is_plausible_only_in_another_unit_is_questioned_at_its_field(
    browser: Client, order: WorkOrder, values: dict[str, str], field: str, asks: str
) -> None:
    assert asks in asked(enter(browser, order, **values), field)


def test_a_mileage_that_runs_backwards_is_questioned(browser: Client, order: WorkOrder) -> None:
    make_visit(order, at=timezone.now() - dt.timedelta(days=30), mileage_km=61_400)
    answer = enter(browser, order, camber_LF="-1.0", mileage="59 000 km")
    assert "had 61\u202f400 km" in asked(answer, "mileage")


def test_the_conditions_of_a_visit_are_kept(browser: Client, order: WorkOrder) -> None:
    answer = enter(
        browser,
        order,
        camber_LF="-1.0",
        pressure_LF="35 psi",
        pressure_RF="2,4",
        toe_total_LF="3 mm",
        toe_place="rim",
        toe_diameter='17"',
        mileage="61.400 km",
        temperature="64 °F",
        steering_ratio="15.5:1",
        ballast="75 kg in the driver's seat",
        level="on",
    )
    assert answer.status_code == 302
    visit = RackVisit.objects.get()
    assert (visit.mileage_km, visit.steering_ratio, visit.level) == (61_400, 15.5, True)
    assert visit.toe_diameter_mm == pytest.approx(471.2)
    assert visit.temperature_c == pytest.approx(17.78, abs=0.01)
    kept = {(r.corner, r.quantity): (r.typed, r.unit) for r in visit.readings.all()}
    assert kept["LF", "pressure"] == ("35 psi", "psi")
    assert kept["LF", "toe_total"] == ("3 mm", "mm")
    page = browser.get(visit.get_absolute_url()).content.decode()
    assert "17&quot; → 471.2 mm, the rim" in page
    for address in (reverse("visit_edit", args=[visit.pk]), reverse("visit_new", args=[order.pk])):
        assert browser.get(address).context["form"]["toe_diameter"].value() == '17"'
    for said in ("61\u202f400 km", "75 kg in the driver&#x27;s seat", "the rim’s edge", "18 °C"):
        assert said.replace("’", "&#x27;") in page


def test_a_sweep_gives_the_caster_where_none_was_typed(browser: Client, order: WorkOrder) -> None:
    # Caster 5°, inclination 12°, static camber −1.5°: cambers at 20° either way (computed).
    sweep = {
        "sai_LF": "12",
        "sweep_LF_steer_out": "20",
        "sweep_LF_camber_out": "+0.9463",
        "sweep_LF_steer_in": "20",
        "sweep_LF_camber_in": "-2.4725",
    }
    assert enter(browser, order, **sweep).status_code == 302
    visit = RackVisit.objects.get()
    reading = visit.readings.get(quantity="caster")
    assert reading.value == pytest.approx(5.0, abs=5e-4)
    assert reading.unit == "sweep"
    form = browser.get(reverse("visit_edit", args=[visit.pk])).context["form"]
    assert form["sweep_LF_camber_in"].value() == "-2.4725"
    assert not form["caster_LF"].value()


@pytest.mark.parametrize(
    ("changed", "field", "asks"),
    [
        ({"sweep_LF_camber_in": ""}, "sweep_LF_camber_in", "all four"),
        ({"sweep_LF_steer_in": "-20"}, "sweep_LF_steer_in", "without a sign"),
        ({"sweep_LF_steer_in": "1", "sweep_LF_steer_out": "1"}, "sweep_LF_steer_out", "narrow"),
        ({"caster_LF": "7.5"}, "caster_LF", "the sweep gives"),
    ],
)
def test_a_sweep_that_does_not_tell_is_refused_at_its_field(
    browser: Client, order: WorkOrder, changed: dict[str, str], field: str, asks: str
) -> None:
    sweep = {
        "sai_LF": "12",
        "sweep_LF_steer_out": "20",
        "sweep_LF_camber_out": "0.95",
        "sweep_LF_steer_in": "18",
        "sweep_LF_camber_in": "-2.3",
    }
    assert asks in asked(enter(browser, order, **{**sweep, **changed}), field)


def test_a_typed_caster_is_not_doubted_by_a_sweep_that_does_not_tell_it_so_well(
    browser: Client, order: WorkOrder
) -> None:
    """8° out and 22° in without inclination: half a degree of caster either way, and more."""
    sweep = {
        "caster_LF": "6.9",
        "sweep_LF_steer_out": "8",
        "sweep_LF_camber_out": "0.05",
        "sweep_LF_steer_in": "22",
        "sweep_LF_camber_in": "-2.3",
    }
    swept = CasterSweep(0.05, -2.3, 8.0, 22.0)
    off = 6.9 - swept.caster_deg
    assert 0.5 < abs(off) < 2 * swept.sigma_deg(0.0)
    assert enter(browser, order, **sweep).status_code == 302


def test_a_sweep_is_read_back_when_all_four_numbers_are_there(browser: Client) -> None:
    query = {
        "kind": "sweep_LF",
        "field": "sweep_LF_camber_in",
        "sweep_LF_steer_out": "20",
        "sweep_LF_camber_out": "1.0269",
        "sweep_LF_steer_in": "20",
        "sai_LF": "",
    }
    assert browser.get(reverse("typed_read"), query).content.decode().strip() == ""
    query["sweep_LF_camber_in"] = "-1.0269"
    said = browser.get(reverse("typed_read"), query).content.decode()
    assert "caster +3.00°, ±0.10° by turn plates and an inclination not entered" in said


@pytest.mark.parametrize(
    ("given", "degrees"),
    [
        ({"camber_LF": "-1.5"}, -1.5),
        ({"camber_LF": "-1,5"}, -1.5),
        ({"camber_LF": "1.5 neg"}, -1.5),
        ({"camber_LF": "-1°30'"}, -1.5),
        ({"camber_LF": "-1 30"}, -1.5),
        ({"camber_LF": "1 30 neg"}, -1.5),
        ({"camber_LF": "-0°45'"}, -0.75),
        ({"camber_LF": "-0 45"}, -0.75),
        # asin(x / 600), and 1 1/32 in at 28 in over both wheels.
        ({"toe_LF": "1.5 mm", "toe_diameter": "600"}, 0.14324),
        ({"toe_LF": "1,5", "toe_unit": "mm", "toe_diameter": "600"}, 0.14324),
        ({"toe_LF": '1/16"', "toe_diameter": "600"}, 0.15160),
        ({"toe_LF": "1/16 in", "toe_diameter": "600 mm"}, 0.15160),
        ({"toe_LF": "3/32", "toe_unit": "in", "toe_diameter": '28"'}, 0.19183),
        ({"toe_LF": '1/16" out', "toe_diameter": "600"}, -0.15160),
        ({"toe_LF": "1.5 mm", "toe_place": "rim", "toe_diameter": '17"'}, 0.18239),
        ({"toe_LF": "1.5 mm", "toe_place": "tyre", "toe_diameter": "P225/45R17"}, 0.13556),
        ({"toe_LF": "0°06'"}, 0.1),
        ({"toe_LF": "6", "toe_unit": "min"}, 0.1),
        ({"toe_LF": "0 06"}, 0.1),
        # Common practice, no source: 1/16 in of total toe is about 0.13° on a 28 in tyre.
        ({"toe_total_LF": '1/16"', "toe_diameter": '28"'}, 0.12789),
        ({"toe_total_LF": "3 mm", "toe_diameter": "600"}, 0.28648),
    ],
)
def test_every_usual_way_of_typing_is_taken_through_the_page(
    browser: Client, order: WorkOrder, given: dict[str, str], degrees: float
) -> None:
    assert enter(browser, order, **given).status_code == 302
    reading = RackVisit.objects.get().readings.get()
    assert reading.value == pytest.approx(degrees, abs=2e-5)
    assert reading.typed == next(iter(given.values()))


def test_an_inch_and_a_bit_of_toe_is_understood_and_asked_about(
    browser: Client, order: WorkOrder
) -> None:
    given = {"toe_LF": "1 1/32 in", "toe_diameter": '28"'}
    answer = enter(browser, order, **given)
    assert "Toe of +2.11°, front left, is high. Correct?" in asked(answer, "toe_LF")
    assert enter(browser, order, **given, accept=ticked(answer)).status_code == 302
    assert RackVisit.objects.get().readings.get().typed == "1 1/32 in"


def test_what_was_confirmed_is_told_in_the_language_of_whoever_looks(
    browser: Client, order: WorkOrder, technician: Any
) -> None:
    answer = enter(browser, order, camber_LF="20", caster_LF="20.5")
    enter(browser, order, camber_LF="20", caster_LF="20.5", accept=ticked(answer))
    page = reverse("visit", args=[RackVisit.objects.get().pk])
    assert "Caster, front left: +20.50° is unusual." in browser.get(page).content.decode()
    technician.language = "de"
    technician.save()
    german = browser.get(page).content.decode()
    assert "+20,50°" in german
    assert "is unusual" not in german
