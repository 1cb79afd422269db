"""Gaps read on this very car: expected before they are read, and taken into the check."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.urls import reverse

from fitment.clearance.present_car import Expected
from fitment.clearance.services import check_run
from fitment.engine import checkfile
from fitment.fields.numbers import NumberField
from fitment.job.state import check_state
from fitment.models import CornerSurvey, GapRead, PresentCorner, UseProfile
from shop.models import LogEntry
from tests.factories import make_customer, make_order, make_shop
from tests.fitment.factories import make_ready_order, make_tyre, make_wheel

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def stand(order: Any, by: Any, **values: Any) -> PresentCorner:
    wheel = make_wheel(name="Old wheel", width_in=8, offset_mm=45)
    tyre = make_tyre(
        name="Old tyre",
        size="225/40R18",
        section_width_mm=230,
        measuring_rim_in=8,
        overall_diameter_mm=637,
    )
    values = {"toe_deg": 0.05} | values
    return PresentCorner.objects.create(
        order=order, corner="LF", wheel=wheel, tyre=tyre, by=by, **values
    )


def expected_of(stands: PresentCorner) -> Expected:
    survey = CornerSurvey.objects.current(stands.order.vehicle.car_model, "LF")
    assert survey is not None
    return Expected(survey, stands)


def url(order: Any, corner: str = "LF") -> str:
    return reverse("gaps", args=[order.pk, corner])


def test_the_model_says_what_to_expect_before_anything_is_read(
    client_of: Browsers, technician: Any
) -> None:
    order, browser = make_ready_order(), client_of(technician)
    wheel, tyre = make_wheel(width_in=8, offset_mm=45), make_tyre()
    assert "How it stands" in browser.get(url(order)).content.decode()
    sent = {"act": "present", "wheel": wheel.pk, "tyre": tyre.pk, "toe_deg": "0,05"}
    answer = browser.post(url(order), sent, follow=True)
    stands = PresentCorner.objects.get(order=order)
    gap = expected_of(stands).gap_mm("arch lip", 0.0, 0.0)
    text = answer.content.decode()
    assert f"+{gap:.1f}" in text
    assert "at ride height with 33° of steering inward" in text
    assert "at ride height with 37° of steering outward" in text
    assert not GapRead.objects.exists()


def test_gaps_are_kept_as_typed_beside_what_was_expected(
    client_of: Browsers, technician: Any
) -> None:
    order = make_ready_order()
    stands = stand(order, technician)
    gap = expected_of(stands).gap_mm("arch lip", 0.0, 0.0) or 0.0
    sent = {
        "act": "gaps",
        "gap_0": f"{gap + 2:.1f}".replace(".", ","),
        "place_more0": "inner panel",
        "travel_more0": "20",
        "gap_more0": "30",
        "sigma_more0": "2",
    }
    answer = client_of(technician).post(url(order), sent, follow=True)
    assert "takes them in when it is run again" in answer.content.decode()
    first, second = GapRead.objects.order_by("pk")
    assert first.place == "arch lip"
    assert first.typed == f"{gap + 2:.1f}".replace(".", ",")
    assert first.off_mm == pytest.approx(2.0, abs=0.06)
    assert (second.place, second.travel_mm, second.sigma_mm) == ("inner panel", 20.0, 2.0)
    assert "expected" in LogEntry.objects.get(order=order, what="Gaps read on this car").detail
    text = client_of(technician).get(url(order)).content.decode()
    assert "+2.0" in text
    assert "20 mm into bump" in text


def test_a_gap_makes_the_check_stale_and_shifts_its_clearance(technician: Any) -> None:
    order = make_ready_order()
    before = checkfile.answer_load(check_run(order=order, by=technician).answer).corners["LF"]
    stands = stand(order, technician)
    assert not check_state(order).is_stale  # a wheel on the car alone decides nothing
    gap = expected_of(stands).gap_mm("arch lip", 30.0, 0.0) or 0.0
    GapRead.objects.create(
        present=stands, place="arch lip", gap_mm=gap + 1.5, typed="x", travel_mm=30.0
    )
    assert check_state(order).is_stale
    check = check_run(order=order, by=technician)
    after = checkfile.answer_load(check.answer).corners["LF"]
    shift = after.places[0].shift_mm
    assert 0.5 * 1.5 < shift < 0.8 * 1.5, "weighed against what is known of survey and cars"
    assert after.places[0].clearance_mm == pytest.approx(
        before.places[0].clearance_mm + shift, abs=0.05
    )
    assert "other-outline" in str(check.scenes["LF"])  # the wheel that is on the car, dashed


def test_the_clearance_page_says_what_this_car_added(client_of: Browsers, technician: Any) -> None:
    order = make_ready_order()
    stands = stand(order, technician)
    gap = expected_of(stands).gap_mm("arch lip", 0.0, 0.0) or 0.0
    GapRead.objects.create(present=stands, place="arch lip", gap_mm=gap + 1.5, typed="x")
    check = check_run(order=order, by=technician)
    shift = checkfile.answer_load(check.answer).corners["LF"].places[0].shift_mm
    text = client_of(technician).get(reverse("clearance", args=[order.pk])).content.decode()
    assert f"this car’s gap added {shift:+.1f}" in text


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"gap_0": "about 5"}, "is not a number"),
        ({"gap_0": "-3"}, "greater than or equal to 0"),
        ({"gap_more0": "5"}, "Spot and gap belong together"),
        ({"place_more0": "arch lip"}, "Spot and gap belong together"),
        ({"gap_0": "5", "place_more0": "arch lip", "gap_more0": "6"}, "on the list already"),
    ],
)
def test_a_gap_that_makes_no_sense_is_refused_and_nothing_is_kept(
    client_of: Browsers, technician: Any, sent: dict[str, str], said: str
) -> None:
    order = make_ready_order()
    stand(order, technician)
    answer = client_of(technician).post(url(order), {"act": "gaps"} | sent)
    assert said in answer.content.decode()
    assert not GapRead.objects.exists()


def test_a_gap_far_from_what_is_expected_is_asked_about(
    client_of: Browsers, technician: Any
) -> None:
    order = make_ready_order()
    stand(order, technician)
    sent = {"act": "gaps", "gap_0": "120"}
    answer = client_of(technician).post(url(order), sent, follow=True)
    assert "Is it the same spot, wheel and height?" in answer.content.decode()


def test_camber_without_what_made_it_is_refused(client_of: Browsers, technician: Any) -> None:
    order = make_ready_order()
    sent = {
        "act": "present",
        "wheel": make_wheel().pk,
        "tyre": make_tyre().pk,
        "toe_deg": "0",
        "camber_deg": "-2",
    }
    answer = client_of(technician).post(url(order), sent)
    assert "Say what made it differ" in answer.content.decode()
    assert not PresentCorner.objects.exists()


def test_a_car_that_cannot_stand_so_says_why(client_of: Browsers, technician: Any) -> None:
    order = make_ready_order()
    stand(order, technician, ride_height_mm=-100.0)
    text = client_of(technician).get(url(order)).content.decode()
    assert "rest on its stops" in text


def test_without_a_survey_there_is_nothing_to_correct(client_of: Browsers, technician: Any) -> None:
    text = client_of(technician).get(url(make_order())).content.decode()
    assert "This corner is not measured" in text


def test_a_closed_order_keeps_what_was_read(client_of: Browsers, technician: Any) -> None:
    order = make_ready_order(state="handed_over")
    stand(order, technician)
    answer = client_of(technician).post(url(order), {"act": "gaps", "gap_0": "20"})
    assert "stays as it was" in answer.content.decode()
    assert not GapRead.objects.exists()


@pytest.mark.parametrize(
    ("language", "dashed", "farther"),
    [
        ("en", "Dashed: the wheel and tyre that are on the car now.", "nearer"),
        ("de", "Gestrichelt: Rad und Reifen, die jetzt am Fahrzeug sind.", "näher"),
    ],
)
def test_the_customer_sees_the_wheel_that_is_on_the_car_dashed(
    client: Client, technician: Any, language: str, dashed: str, farther: str
) -> None:
    make_shop()
    order = make_ready_order()
    order.customer = make_customer(language=language)
    order.save()
    check_run(order=order, by=technician)
    page = reverse("customer_order", args=[order.token])
    assert "other-outline" not in client.get(page).content.decode()
    stand(order, technician)
    check_run(order=order, by=technician)
    text = client.get(page).content.decode()
    assert "other-outline" in text
    assert dashed in text
    assert farther in text


def test_gaps_beyond_lock_and_travel_are_kept_said_and_left_out(
    client_of: Browsers, technician: Any
) -> None:
    order, browser = make_ready_order(), client_of(technician)
    stand(order, technician)
    plain = checkfile.answer_load(check_run(order=order, by=technician).answer).corners["LF"]
    sent = {"act": "gaps"}
    for index, (travel, lock) in enumerate((("0", "55"), ("250", "0"))):
        sent |= {
            f"place_more{index}": "arch lip",
            f"gap_more{index}": "21",
            f"travel_more{index}": travel,
            f"steer_more{index}": lock,
        }
    answer = browser.post(url(order), sent, follow=True)
    assert answer.status_code == 200
    assert answer.content.decode().count("left out of the correction") == 2
    assert sorted((row.travel_mm, row.steer_deg) for row in GapRead.objects.all()) == [
        (0.0, 55.0),
        (250.0, 0.0),
    ]
    assert browser.get(url(order)).content.decode().count("left out of the correction") == 2
    corner = checkfile.answer_load(check_run(order=order, by=technician).answer).corners["LF"]
    assert corner.places[0].shift_mm == plain.places[0].shift_mm == 0.0
    assert [n.code for n in corner.notes].count("note.gap-beyond-span") == 2


def test_a_gap_outlives_a_use_that_is_narrowed(client_of: Browsers, technician: Any) -> None:
    """The check goes on and says what it no longer takes in."""
    order, browser = make_ready_order(), client_of(technician)
    stands = stand(order, technician)
    low = -0.9 * expected_of(stands).corner.limits.droop_mm
    GapRead.objects.create(present=stands, place="arch lip", gap_mm=60.0, typed="60", travel_mm=low)
    UseProfile.objects.filter(name=order.use).update(droop_fraction=0.3)
    answer = browser.post(reverse("clearance_run", args=[order.pk]), follow=True)
    assert answer.status_code == 200
    assert "left out of the correction" in answer.content.decode()
    assert GapRead.objects.get().gap_mm == 60.0


def test_a_gap_with_more_figures_than_are_kept_is_refused() -> None:
    field = NumberField()
    assert field.clean("4.5000000000000000") == 4.5
    with pytest.raises(ValidationError, match="at most 20"):
        field.clean(f"4.{'0' * 30}5")
