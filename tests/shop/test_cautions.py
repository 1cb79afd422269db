"""Cautions: by codes of what is planned and fitted, open where the hand is."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from fitment.engine.survey.readings import HANGING, JACKED
from fitment.surveys.session_form_state import CAUTIONS as MEASURING
from shop.models import LineWork
from shop.orders.services.cautions import (
    CUSTOMER,
    TECHNICIAN,
    Job,
    Moment,
    cautions_at,
    cautions_for,
    job_of,
)
from shop.sheet.document import sheet_pdf
from tests.alignment.adjustments_orders import an_order
from tests.factories import make_line, make_order, make_part
from tests.fitment.factories import make_order_wheels, make_plan, make_ready_order
from tests.pdf import reader_of

pytestmark = pytest.mark.django_db


def job(*kinds: str, moves: bool = False, **values: Any) -> Job:
    return Job(frozenset(kinds), moves, False, **values)


def said(cautions: list[str], words: str) -> bool:
    return any(words in caution for caution in cautions)


#: The words by which each caution is known, where it stands open, and a job that wants it.
OPEN = [
    ("compressor rated for that spring", Moment.FIT, job("coilover")),
    ("never with an impact tool", Moment.FIT, job("top mount")),
    ("compressor rated", Moment.FIT, job("damper")),
    ("compressor rated", Moment.FIT, job(work=frozenset({LineWork.SPRINGS}))),
    ("only a jack holds", Moment.FIT, job("arm")),
    ("before the body starts to lift from its stands", Moment.FIT, job("arm")),
    ("new self-locking nut or a new pin", Moment.FIT, job("arm")),
    ("new self-locking nut or a new pin", Moment.TORQUE, job("toe link")),
    ("new self-locking nut", Moment.FIT, job(work=frozenset({LineWork.JOINTS}))),
    ("pump the pedal", Moment.FIT, job("brake")),
    ("pump the pedal", Moment.ROAD_TEST, job(work=frozenset({LineWork.BRAKES}))),
    ("carries the spring is under load", Moment.FIT, job("shim")),
    (
        "carries the spring is under load",
        Moment.ADJUST,
        job(adjusters=frozenset({"lower_arm_out_mm"})),
    ),
    ("lock nuts of the toe links", Moment.ADJUST, job(aligns=True)),
    ("much thread as its maker asks for", Moment.TORQUE, job("toe link")),
    ("crosswise and in stages", Moment.TORQUE, job("wheel")),
    ("torque of the vehicle's or part's maker", Moment.TORQUE, job("arm")),
    ("retorqued", Moment.TORQUE, job("spacer")),
    ("retorqued", Moment.HAND_OVER, job(moves=True)),
    ("springs settle", Moment.HAND_OVER, job("spring")),
    ("thread must still engage", Moment.TORQUE, job("spacer")),
    ("rubbing tyre can fail", Moment.ROAD_TEST, job()),
    ("within the law", Moment.ROAD_TEST, job()),
    ("Override contact only if", Moment.OVERRIDE, job(moves=True)),
]


@pytest.mark.parametrize(("words", "moment", "wanted"), OPEN)
def test_a_caution_stands_at_the_moment_it_is_for(words: str, moment: Moment, wanted: Job) -> None:
    assert said(cautions_at(wanted, moment), words)


@pytest.mark.parametrize("words", ["compressor", "pin at every ball joint", "pump the pedal"])
def test_a_job_without_such_work_is_not_cautioned(words: str) -> None:
    tyres = job("tyre", "wheel", moves=True)
    assert not any(said(cautions_at(tyres, moment), words) for moment in Moment)


def test_jacking_stops_before_the_body_lifts_and_a_stand_holds_the_arm() -> None:
    assert "stop before the body starts to lift" in MEASURING[JACKED]
    assert "never work under an arm that only a jack holds" in MEASURING[JACKED]
    assert "on stands before the wheel comes off" in MEASURING[HANGING]
    every = " ".join([*MEASURING.values(), *cautions_at(job("arm"), Moment.FIT)])
    assert not re.search(r"until the body|only until", every)


def test_rolled_lips_go_by_the_mark_of_a_line_or_the_plan_and_not_by_words() -> None:
    words, marked, planned = make_order(), make_order(), make_order()
    make_line(words, description="Radlauf nachsehen, roll the lip: no")
    make_line(marked, description="Radlauf bördeln", work=LineWork.LIPS)
    make_plan(planned, rolled_lips=True)
    for order, cuts in ((words, False), (marked, True), (planned, True)):
        assert job_of(order).cuts_body is cuts
        assert said(cautions_for(job_of(order), CUSTOMER), "rust and crack") is cuts
        assert said(cautions_at(job_of(order), Moment.FIT), "Rolling an arch lip") is cuts


def test_the_plan_and_the_wheels_bring_cautions_without_a_line() -> None:
    order = make_order()
    make_plan(order, camber_by="lower_arm", adjusters={"ride_height_mm": -15.0})
    make_order_wheels(order, spacer_mm=15)
    known = job_of(order)
    assert known.shims_arm
    assert known.changes_height
    assert known.sets_toe
    assert said(cautions_for(known, CUSTOMER), "thread must still engage")
    assert said(cautions_for(known, CUSTOMER), "headlamps")
    assert said(cautions_for(known, TECHNICIAN), "crosswise")


def test_spacers_recorded_with_the_wheels_bring_their_caution_to_the_sheet() -> None:
    order = make_ready_order()
    for spacer_mm, stands in ((0, False), (15, True)):
        order.order_wheels.update(spacer_mm=spacer_mm)
        text = " ".join(page.extract_text() for page in reader_of(sheet_pdf(order)).pages)
        assert ("thread must still engage" in " ".join(text.split())) is stands


PAGES = [
    ("installed_new", "on_lift", "compressor rated"),
    ("torque_sign", "on_lift", "crosswise and in stages"),
    ("road_test", "road_test", "brake pedal firm"),
    ("hand_over", "road_test", "retorqued after the first drive"),
    ("hand_over", "road_test", "springs settle"),
    ("order", "on_lift", "compressor rated"),
]


@pytest.mark.parametrize(("page", "state", "words"), PAGES)
def test_it_stands_open_on_the_page(
    client_of: Any, technician: Any, page: str, state: str, words: str
) -> None:
    order = make_order(state=state)
    make_line(order, kind="part", part=make_part(kind="coilover", torque_nm=Decimal(70)))
    text = client_of(technician).get(reverse(page, args=[order.pk])).content.decode()
    (open_list,) = re.findall(r'<ul class="caution" data-test="cautions">(.*?)</ul>', text, re.S)
    assert words in open_list
    folded = re.findall(r"<details(?![^>]* open\b)[^>]*>.*?</details>", text, re.S)
    assert open_list not in "".join(folded)


def test_toe_links_stand_open_beside_the_adjustments(client_of: Any, technician: Any) -> None:
    order = an_order()
    text = client_of(technician).get(reverse("adjustments", args=[order.pk])).content.decode()
    (open_list,) = re.findall(r'<ul class="caution" data-test="cautions">(.*?)</ul>', text, re.S)
    assert "lock nuts of the toe links" in open_list


def test_the_override_page_says_what_a_contact_can_do(client_of: Any, manager: Any) -> None:
    order = make_ready_order()
    order.vehicle.car_model.surveys.all().delete()
    text = client_of(manager).get(reverse("gate_override", args=[order.pk])).content.decode()
    (open_list,) = re.findall(r'<ul class="caution" data-test="cautions">(.*?)</ul>', text, re.S)
    assert "can fail at speed" in open_list


def test_a_line_of_labour_is_marked_in_the_form(client_of: Any, writer: Any) -> None:
    order = make_order()
    page = client_of(writer).get(reverse("order_lines", args=[order.pk])).content.decode()
    assert 'name="lines-0-work"' in page
    sent = {
        "lines-TOTAL_FORMS": "1",
        "lines-INITIAL_FORMS": "0",
        "lines-0-kind": "labour",
        "lines-0-description": "Radlauf bördeln",
        "lines-0-work": "lips",
        "lines-0-axle": "any",
    }
    client_of(writer).post(reverse("order_lines", args=[order.pk]), sent)
    assert order.lines.get().work == LineWork.LIPS
