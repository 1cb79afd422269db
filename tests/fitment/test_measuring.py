"""Measuring a corner reading by reading: kept as taken, guided, and finished as a version."""

from __future__ import annotations

import copy
import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from fitment.clearance.services import check_run
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.readings import THIS_CAR, WHOLE
from fitment.engine.survey.typical import suspension_of
from fitment.models import CornerSurvey, SurveyReading, SurveySession
from fitment.surveys.finishing import session_finish
from fitment.surveys.session_form_state import steer_words
from fitment.surveys.sessions import SoFar, session_open
from tests.factories import make_car_model, make_order, make_vehicle
from tests.fitment.factories import make_ready_order, make_survey

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]

PLAN = {"level": WHOLE, "kind": "something else, or not known"}
SETTING = {"camber_deg": "−1,4", "toe_deg": "0.05", "height_mm": "352"}
SPACE = {"front_space_mm": "62", "cap_depth_mm": "30"}
TYRE = {"size": "225/45R17", "rim_width_in": "7.5", "circumference_mm": "1990"}


SHAFT = {"shaft_mm": "80", "solid_mm": "20", "motion_ratio": "1"}


def taken() -> Any:
    """Readings of the car; what is to be surveyed was said at the start."""
    return SurveyReading.objects.exclude(form="plan")


def page_of(car_model: Any, corner: str = "LF") -> str:
    return reverse("survey_measure", args=[car_model.pk, corner])


def send(browser: Client, car_model: Any, form: str, **values: str) -> Any:
    return browser.post(page_of(car_model), {"act": "read", "form": form, **values})


def started(
    browser: Client, car_model: Any, *readings: tuple[str, dict[str, str]]
) -> SurveySession:
    answer = browser.post(page_of(car_model), {"act": "start", **PLAN})
    assert answer.status_code == 302, answer.context["form"].errors
    for form, values in readings:
        answer = send(browser, car_model, form, **values)
        assert answer.status_code == 302, answer.context["form"].errors
    return SurveySession.objects.get()


def asked(browser: Client, car_model: Any) -> str:
    text = browser.get(page_of(car_model)).content.decode()
    found = re.search(r'<h2 id="next">(.*?)</h2>', text)
    assert found, text
    return found[1]


def test_the_page_asks_for_one_reading_after_the_other(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    assert "Start measuring" in browser.get(page_of(car_model)).content.decode()
    started(browser, car_model)
    assert "Camber, toe and height" in asked(browser, car_model)
    send(browser, car_model, "setting", **SETTING)
    assert "Front space" in asked(browser, car_model)
    send(browser, car_model, "front_space", **SPACE)
    send(browser, car_model, "present_tyre", **TYRE)
    assert "Lip above the hub by a plumb line, arch lip" in asked(browser, car_model)


def test_a_reading_keeps_what_was_typed_and_who_took_it(
    client_of: Browsers, technician: Any
) -> None:
    car_model = make_car_model()
    started(client_of(technician), car_model, ("setting", SETTING))
    row = taken().get()
    assert row.values["camber_deg"] == {"typed": "−1,4", "value": -1.4, "unit": "deg"}
    assert (row.by, row.pose) == (technician, "standing")


def test_a_reading_that_refers_to_something_unread_says_what_to_read_first(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    started(browser, car_model, ("setting", SETTING))
    edge = {"place": "arch lip", "pose": "standing", "block_mm": "30", "along_mm": "366"}
    answer = send(browser, car_model, "straightedge", **edge, edge_mm="-5", clock_deg="30")
    assert "Read the front space first" in answer.content.decode()
    assert taken().count() == 1


@pytest.mark.parametrize(
    ("changes", "why"),
    [({"size": "wide"}, "size"), ({"rim_width_in": "190"}, "no rim is that wide")],
)
def test_a_tyre_that_cannot_be_is_refused_even_before_its_rim_is_known(
    client_of: Browsers, technician: Any, changes: dict[str, str], why: str
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    started(browser, car_model, ("setting", SETTING))
    answer = send(browser, car_model, "present_tyre", **{**TYRE, **changes})
    assert answer.status_code == 200
    assert why in str(answer.context["form"].errors).lower()
    assert taken().count() == 1


@pytest.mark.parametrize("form", sorted(FORMS))
def test_every_form_can_be_asked_for_and_says_what_is_missing_in_it(
    client_of: Browsers, technician: Any, form: str
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    make_survey(car_model, "LF")
    started(browser, car_model)
    assert browser.get(page_of(car_model) + f"?form={form}&clock=−30").status_code == 200
    answer = send(browser, car_model, form, place="Arch lip", pose="hanging")
    assert answer.status_code == 200
    assert answer.context["form"].errors


def test_a_lip_inside_the_tyre_is_questioned_at_once(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    edge = {"place": "arch lip", "pose": "standing", "block_mm": "0", "along_mm": "300"}
    started(
        browser,
        car_model,
        ("setting", SETTING),
        ("front_space", SPACE),
        ("present_tyre", TYRE),
        ("straightedge", {**edge, "edge_mm": "-60", "clock_deg": "30"}),
    )
    assert "inside the tyre that is on the car" in browser.get(page_of(car_model)).content.decode()


def test_a_side_that_differs_from_the_other_is_questioned(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    make_survey(car_model, "RF")
    edge = {"place": "arch lip", "pose": "standing", "block_mm": "30", "along_mm": "390"}
    started(
        browser,
        car_model,
        ("setting", SETTING),
        ("front_space", SPACE),
        ("straightedge", {**edge, "edge_mm": "-5", "clock_deg": "45"}),
    )
    assert "from where the other side has it" in browser.get(page_of(car_model)).content.decode()


def test_a_reading_taken_back_stays_on_record(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    session = started(browser, car_model, ("setting", SETTING))
    row = taken().get()
    page = f"{reverse('session_withdraw', args=[session.pk])}?reading={row.pk}"
    assert browser.post(page, {"why": "Typed wrongly"}).status_code == 302
    row.refresh_from_db()
    assert (row.struck_by, row.struck_why) == (technician, "Typed wrongly")
    assert row.struck_at is not None
    assert [kept.form for kept in SoFar(session).rows] == ["plan"]
    assert "withdrawn" in browser.get(page_of(car_model)).content.decode()


def corrected(browser: Client, car_model: Any) -> SurveySession:
    """A session over a survey that reads the front space and one spot of the lip again."""
    edge = {"place": "arch lip", "pose": "standing", "block_mm": "30", "along_mm": "372"}
    return started(
        browser,
        car_model,
        ("setting", {**SETTING, "height_mm": "0"}),
        ("front_space", SPACE),
        ("straightedge", {**edge, "edge_mm": "-8", "clock_deg": "45"}),
        ("bump_left", {**SHAFT, "pose": "standing"}),
    )


def test_finishing_makes_a_version_and_leaves_older_checks_alone(
    client_of: Browsers, technician: Any
) -> None:
    order = make_ready_order()
    car_model, browser = order.vehicle.car_model, client_of(technician)
    check = check_run(order=order, by=technician)
    session = corrected(browser, car_model)
    so_far = SoFar(session)
    # Standing where it was surveyed: by the lip's height over the cap.
    height = so_far.sheet.reference_height_mm
    assert height is not None
    SurveyReading.objects.filter(form="setting").update(
        values={
            name: {"typed": str(value), "value": value}
            for name, value in {"camber_deg": -1.4, "toe_deg": 0.05, "height_mm": height}.items()
        }
    )
    answer = browser.post(page_of(car_model), {"act": "finish", "base_version": "1"})
    assert answer.url == reverse("survey", args=[car_model.pk, "LF"])
    survey = CornerSurvey.objects.current(car_model, "LF")
    session.refresh_from_db()
    assert (survey.version, session.survey) == (2, survey)
    lip = survey.document["survey"]["features"][0]
    surveyed = STRUT_FRONT["survey"]["features"][0]["points"]
    assert [row["clock_deg"] for row in lip["points"]] == pytest.approx(
        [row["clock_deg"] for row in surveyed], abs=0.2
    )
    read = next(row for row in lip["points"] if abs(row["clock_deg"] - 45) < 1)
    assert (read["radius_mm"], read["axial_mm"]) == pytest.approx((372, 84), abs=0.1)
    assert survey.document["suspension"] == STRUT_FRONT["suspension"]
    assert survey.document["limits"]["bump_mm"] == pytest.approx(60.0, abs=0.1)
    was = check.inputs["corners"]["LF"]["survey"]
    check.refresh_from_db()
    assert check.inputs["corners"]["LF"]["survey"] == was
    readings = browser.get(reverse("survey_session", args=[session.pk])).content.decode()
    assert "They became" in readings
    assert "372" in readings


def test_finishing_is_refused_when_another_version_was_saved_meanwhile(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    make_survey(car_model, "LF")
    corrected(browser, car_model)
    make_survey(car_model, "LF", version=2)
    browser.post(page_of(car_model), {"act": "finish", "base_version": "1"})
    assert CornerSurvey.objects.filter(car_model=car_model).count() == 2
    assert SurveySession.objects.get().finished_at is None


def test_two_who_start_share_one_session(technician: Any, manager: Any) -> None:
    car_model = make_car_model()
    first = session_open(car_model=car_model, corner="LF", by=technician)
    assert session_open(car_model=car_model, corner="LF", by=manager) == first


def test_a_check_at_hand_tells_which_reading_cuts_its_uncertainty_most(
    client_of: Browsers, technician: Any
) -> None:
    order = make_ready_order()
    car_model, browser = order.vehicle.car_model, client_of(technician)
    check_run(order=order, by=technician)
    session = started(
        browser,
        car_model,
        ("setting", SETTING),
        ("front_space", SPACE),
        ("present_tyre", TYRE),
    )
    text = browser.get(page_of(car_model)).content.decode()
    assert f"The check of {order.number} hangs most on" in text
    found = SoFar(session)
    assert found.check_at_hand is not None


def test_a_gap_is_expected_before_it_is_read_and_the_difference_is_kept(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    make_survey(car_model, "LF", document=copy.deepcopy(STRUT_FRONT))
    gap = {"place": "arch lip", "pose": "standing", "spot": "crown", "gap_mm": "40"}
    session = started(
        browser,
        car_model,
        ("setting", SETTING),
        ("front_space", SPACE),
        ("present_tyre", TYRE),
        ("gap", {**gap, "clock_deg": "0"}),
    )
    row = session.readings.get(form="gap")
    assert row.expected_mm is not None
    assert "expected" in browser.get(page_of(car_model)).content.decode()
    shown = browser.get(page_of(car_model) + "?form=gap").content.decode()
    assert "Expected" in shown


def test_heights_with_camber_and_toe_make_a_first_survey_without_joints(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    edge = {"place": "arch lip", "pose": "standing", "block_mm": "30", "along_mm": "370"}
    string = {"pose": "hanging", "front_mm": "300", "rear_mm": "302", "apart_mm": "500"}
    session = started(
        browser,
        car_model,
        ("setting", SETTING),
        ("front_space", SPACE),
        *(
            ("straightedge", {**edge, "edge_mm": "-8", "clock_deg": str(clock)})
            for clock in (-60, -30, 0, 30, 60)
        ),
        ("turns_in", {"place": "arch lip", "turns_in_mm": "12"}),
        ("pose", {"pose": "hanging", "height_mm": "420", "camber_deg": "-0.4"}),
        ("toe_string", string),
        ("bump_left", {**SHAFT, "pose": "standing"}),
    )
    missing = [problem.path for problem in SoFar(session).problems]
    assert missing == ["limits", "suspension.steer_axis"], "a front corner steers"
    browser.post(page_of(car_model), {"act": "finish", "base_version": "0"})
    assert not CornerSurvey.objects.exists()
    for lock in ("lock_in", "lock_out"):
        send(browser, car_model, "pose", pose=lock, plate_deg="33")
    axis = {"caster_deg": "5", "inclination_deg": "12", "inboard_mm": "95"}
    send(browser, car_model, "steer_axis", **axis)
    so_far = SoFar(session)
    assert so_far.problems == ()
    measured = checkfile.parse_corner_survey(so_far.document)
    # Standing the height is from the cap, 32 mm out on a leaning axle; hanging from the bare hub.
    droop = round(420 - 352 - 32 * math.sin(math.radians(1.4)), 1)
    assert measured.limits.droop_mm == droop
    hanging, standing, beyond = measured.suspension.table
    assert (hanging.travel_mm, standing.travel_mm, beyond.travel_mm) == (-droop, 0.0, 70.0)
    assert (hanging.carried_on, beyond.carried_on) == (False, True)
    assert hanging.unread == {"out_mm", "forward_mm"}
    assert beyond.camber_deg == pytest.approx(-hanging.camber_deg * 70 / droop, abs=1e-3)
    assert beyond.sigma.camber_deg == pytest.approx(0.02 * 70)
    assert len(measured.survey.features[0].points) == 10
    browser.post(page_of(car_model), {"act": "finish", "base_version": "0"})
    assert CornerSurvey.objects.get().version == 1


# What the page leads to, and what it can leave out


def test_a_visit_leads_the_technician_to_the_next_reading(
    client_of: Browsers, technician: Any, writer: Any
) -> None:
    car_model = make_car_model()
    visit = make_order(kind="survey_visit", vehicle=make_vehicle(car_model=car_model))
    order_page = reverse("order", args=[visit.pk])
    browser = client_of(technician)
    measure = f"{page_of(car_model)}?order={visit.pk}"
    assert f'href="{measure}"' in browser.get(order_page).content.decode()
    assert measure not in client_of(writer).get(order_page).content.decode()
    started(browser, car_model, ("setting", SETTING))
    text = browser.get(order_page).content.decode()
    assert "2 of " in text
    assert "Next: Front space and cap." in text
    assert visit.number in browser.get(measure).content.decode()


def test_a_finished_corner_stands_in_the_log_of_its_visit(
    client_of: Browsers, technician: Any
) -> None:
    car_model = make_car_model()
    visit = make_order(kind="survey_visit", vehicle=make_vehicle(car_model=car_model))
    make_survey(car_model, "LF")
    session = started(client_of(technician), car_model, ("bump_left", SHAFT | {"pose": "standing"}))
    session_finish(session=session, base_version=1, by=technician)
    entry = visit.log.get(what="Corner measured")
    assert "Front left, version 2: From 1 readings." in entry.detail


def test_rows_of_one_kind_are_read_in_one_go_and_those_left_empty_wait(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    line = {"height_mm": "352", "line_top_mm": "24", "line_bottom_mm": "13", "lip_radius_mm": "233"}
    started(
        browser,
        car_model,
        ("setting", SETTING),
        ("front_space", SPACE),
        ("present_tyre", TYRE),
        ("plumb_line", line | {"place": "arch lip", "pose": "standing"}),
    )
    page = browser.get(page_of(car_model))
    steps = page.context["asked"].key
    assert steps.count(";") == 3
    assert "the level shows +30°, pointing to the rear" in page.content.decode()
    shared = {"act": "read", "form": "straightedge", "steps": steps}
    shared |= {"place": "arch lip", "pose": "standing", "block_mm": "30"}
    clocks = {f"row{i}-clock_deg": clock for i, clock in enumerate(("-60", "-30", "30", "60"))}
    nothing = browser.post(page_of(car_model), shared | clocks)
    assert "Nothing was typed" in nothing.content.decode()
    half = browser.post(page_of(car_model), shared | clocks | {"row1-along_mm": "371"})
    assert "row1-edge_mm" in half.context["form"].errors
    assert 'value="371"' in half.content.decode()
    rows = {"row1-along_mm": "371", "row1-edge_mm": "-8", "row2-along_mm": '14 1/2"'}
    assert browser.post(
        page_of(car_model), shared | clocks | rows | {"row2-edge_mm": "−9,5"}
    ).status_code == 302  # fmt: skip
    kept = list(SurveyReading.objects.filter(form="straightedge").values_list("values", flat=True))
    assert [row["clock_deg"]["value"] for row in kept] == [-30, 30]
    assert kept[1]["along_mm"] == {"typed": '14 1/2"', "value": 368.3, "unit": "in"}
    assert browser.get(page_of(car_model)).context["asked"].key.count(";") == 1


def test_a_step_that_cannot_be_read_is_left_out_with_its_reason(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    started(browser, car_model, ("setting", SETTING))
    key = browser.get(page_of(car_model)).context["asked"].key
    silent = browser.post(page_of(car_model), {"act": "leave", "steps": key, "leave-why": ""})
    assert silent.context["leave"].errors
    browser.post(page_of(car_model), {"act": "leave", "steps": key, "leave-why": "Spokes closed."})
    page = browser.get(page_of(car_model))
    assert page.context["asked"].form == "present_tyre"
    assert "Left out: Spokes closed." in page.content.decode()
    send(browser, car_model, "front_space", **SPACE)
    assert "Left out: Spokes closed." not in browser.get(page_of(car_model)).content.decode()


def test_one_car_without_heights_is_judged_standing_and_unmeasured_driving(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    browser.post(page_of(car_model), {"act": "start", "level": THIS_CAR, "kind": PLAN["kind"]})
    edge = {"place": "arch lip", "pose": "standing", "block_mm": "30", "along_mm": "370"}
    gap = {"pose": "lock_in", "spot": "crown", "gap_mm": "40", "clock_deg": "10"}
    for form, values in (
        ("setting", SETTING),
        ("front_space", SPACE),
        ("present_tyre", TYRE),
        *(("straightedge", {**edge, "edge_mm": "-8", "clock_deg": c}) for c in ("-45", "0", "45")),
        ("pose", {"pose": "lock_in", "plate_deg": "33"}),
        ("pose", {"pose": "lock_out", "plate_deg": "37"}),
        ("gap", gap | {"place": "arch liner"}),
        ("typical", {"like": "a strut front"}),
    ):
        answer = send(browser, car_model, form, **values)
        assert answer.status_code == 302, answer.context["form"].errors
    page = browser.get(page_of(car_model))
    assert "hub_bar" not in {step.form for step in page.context["wanted"]}
    text = page.content.decode()
    assert "typical of a strut front (from memory, no source)" in text
    assert "60 mm of droop" in text
    browser.post(page_of(car_model), {"act": "finish", "base_version": "0"})
    survey = CornerSurvey.objects.get()
    assert survey.document["suspension"]["typical"] == "a strut front"
    shown = browser.get(reverse("survey", args=[car_model.pk, "LF"])).content.decode()
    assert "To look at, not to book on" in shown


def test_heights_read_later_take_the_place_of_typical_curves(
    client_of: Browsers, technician: Any
) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    document = copy.deepcopy(STRUT_FRONT)
    document["suspension"] = suspension_of("a strut front", steered=True)
    for feature in document["survey"]["features"]:
        feature["carried_by"] = feature["carried_by"].replace("strut", "knuckle")
    make_survey(car_model, "LF", document=document)
    started(
        browser,
        car_model,
        ("front_space", SPACE),
        ("pose", {"pose": "hanging", "height_mm": "430", "camber_deg": "-0.6"}),
        ("steer_axis", {"caster_deg": "5", "inclination_deg": "12", "inboard_mm": "85"}),
    )
    browser.post(page_of(car_model), {"act": "finish", "base_version": "1"})
    suspension = CornerSurvey.objects.current(car_model, "LF").document["suspension"]
    assert "typical" not in suspension
    assert len(suspension["table"]) == 3
    assert suspension["table"][-1]["carried_on"]


@pytest.mark.parametrize(
    ("corner", "pose", "said"),
    [
        ("LF", "lock_in", "Steer to the right"),
        ("LF", "lock_out", "Steer to the left"),
        ("RF", "lock_in", "Steer to the left"),
        ("RF", "standing", ""),
    ],
)
def test_a_lock_says_which_way_to_steer(corner: str, pose: str, said: str) -> None:
    assert steer_words(pose, corner).startswith(said)
    assert bool(steer_words(pose, corner)) == bool(said)


def test_what_can_hurt_is_said_where_it_applies(client_of: Browsers, technician: Any) -> None:
    car_model, browser = make_car_model(), client_of(technician)
    started(browser, car_model)
    for query, said in (
        ("form=pose&pose=hanging", "on stands before the wheel comes off"),
        ("form=pose&pose=jacked", "The spring is under load"),
        ("form=gap&pose=lock_in", "Keep hands off the steering wheel"),
        ("form=bump_used", "lawful and safe"),
    ):
        assert said in browser.get(f"{page_of(car_model)}?{query}").content.decode()
