"""A brake in a wheel that was not measured has no clearance, on no page, sheet, gate or export."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from alignment.adjustments.data import Stand
from common.verdicts import GateResult, Outcome, Verdict
from fitment.clearance.adjustment_clearance import clearance_after
from fitment.clearance.gate import clearance_gate
from fitment.clearance.services import check_run
from fitment.engine import checkfile
from fitment.engine.model import SpotAnswer
from fitment.engine.search.told import tightest_of
from fitment.job.inputs import check_inputs
from fitment.models import MountingCheck, OrderWheels
from fitment.models.schemas import ANSWER
from fitment.mounting.gate import mounting_gate
from shop.models import WorkOrder
from shop.sheet.document import sheet_pdf
from tests.fitment.factories import make_ready_order, make_wheel
from tests.pdf import reader_of

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]
BRAKE = "brake caliper"


def new_wheel_order(**customer: Any) -> Any:
    """An order for a wheel whose inside is not known, as every new wheel's is."""
    order = make_ready_order()
    for survey in order.vehicle.car_model.surveys.all():
        for feature in survey.document["survey"]["features"]:
            if feature["place"] == BRAKE:  # it reaches past the hub face, as most do
                feature["points"].append({"clock_deg": -85, "radius_mm": 150, "axial_mm": 23})
        survey.save()
    wheel = make_wheel(name="New wheel", barrel_mm=None, spoke_back=[])
    OrderWheels.objects.filter(order=order).update(wheel=wheel)
    for name, value in customer.items():
        setattr(order.customer, name, value)
    order.customer.save()
    return order


def brake_of(order: Any) -> SpotAnswer:
    answer = checkfile.answer_load(check_run(order=order, by=None).answer)
    return next(spot for spot in answer.corners["LF"].places if spot.place == BRAKE)


def figures_near(text: str, what: str) -> list[str]:
    """Signed lengths within some words of what is named."""
    plain = re.sub(r"<[^>]+>", " ", text)
    spans = [plain[m.start() : m.end() + 60] for m in re.finditer(what, plain, re.IGNORECASE)]
    return [figure for span in spans for figure in re.findall(r"[−-]\d+|\d+ %|over 99 %", span)]


def test_the_answer_has_a_state_of_its_own_and_no_number(technician: Any) -> None:
    spot = brake_of(new_wheel_order())
    assert spot.verdict == Verdict.UNMEASURED
    assert not spot.is_measured
    assert spot.supposed_mm < 0.0, "the usual shape would say that it overlaps"
    for figure in (spot.clearance_mm, spot.certified_mm, spot.sigma_mm, spot.touch_chance):
        assert figure != figure
    assert spot.uncertainty == ()


def test_pages_of_the_shop_say_that_it_is_not_measured(
    client_of: Browsers, technician: Any
) -> None:
    order = new_wheel_order()
    brake_of(order)
    browser = client_of(technician)
    for page in ("clearance", "order"):
        text = browser.get(reverse(page, args=[order.pk])).content.decode()
        assert figures_near(text, BRAKE) == [], page
    clearance = browser.get(reverse("clearance", args=[order.pk])).content.decode()
    row = re.search(rf"<th scope=\"row\">{BRAKE}</th>(.*?)</tr>", clearance, re.DOTALL)
    assert row
    assert "not measured" in row[1]
    assert "Not measured, so without a gap: brake caliper" in clearance


@pytest.mark.parametrize(
    ("language", "words", "brake"),
    [("en", "not known", BRAKE), ("de", "nicht", "Bremssattel")],
)
def test_the_customer_reads_no_overlap_either(
    stranger: Client, language: str, words: str, brake: str
) -> None:
    order = new_wheel_order(language=language)
    brake_of(order)
    text = stranger.get(reverse("customer_order", args=[order.token])).content.decode()
    sheet = "\n".join(page.extract_text() for page in reader_of(sheet_pdf(order)).pages)
    for said in (text, sheet):
        assert words in said
        for name in (BRAKE, brake):
            assert figures_near(said, name) == []


def test_the_gate_says_what_was_not_measured_and_no_figure(technician: Any) -> None:
    order = new_wheel_order()
    brake_of(order)
    said = clearance_gate(order)
    assert said.result == "unmeasured"
    assert figures_near(said.sentence, BRAKE) == []
    assert re.search(r"[−-]\d", said.sentence) is None


def test_exports_have_the_state_and_no_chance(tmp_path: Path) -> None:
    order = new_wheel_order()
    file = tmp_path / "check.json"
    file.write_text(json.dumps(check_inputs(order).document), encoding="utf-8")
    told = {}
    for option in ([], ["--json"]):
        out = io.StringIO()
        with pytest.raises(SystemExit) as stop:
            call_command("clearance", str(file), *option, stdout=out)
        assert stop.value.code == 1
        told[bool(option)] = out.getvalue()
    rows = [line for line in told[False].splitlines() if line.strip().startswith(f"{BRAKE}  ")]
    assert rows
    for row in rows:
        assert "not measured" in row
        assert re.search(r"[−-]\d", row) is None
    for corner in json.loads(told[True])["corners"].values():
        (spot,) = [one for one in corner["places"] if one["place"] == BRAKE]
        assert (spot["verdict"], spot["measured"]) == ("unmeasured", False)
        assert spot["clearance_mm"] is None
        assert spot["supposed_mm"] < 0, "to the usual shape, for programs that compare solids"
        assert spot["touch_chance"] is spot["certified_mm"] is spot["sigma_mm"] is None


def test_an_answer_from_before_loses_the_number_when_it_is_read(technician: Any) -> None:
    """What was kept as "-23 mm, 100 %" is read as not measured."""
    order = new_wheel_order()
    check = check_run(order=order, by=None)
    document = json.loads(json.dumps(check.answer))
    for corner in document["corners"].values():
        for spot in corner["places"]:
            del spot["measured"], spot["load"], spot["supposed_mm"]
            spot["at"]["loaded"] = True
            if spot["place"] == BRAKE:
                spot |= {"clearance_mm": -23.0, "touch_chance": 1.0, "sigma_mm": 2.0}
    answer = checkfile.answer_load(
        ANSWER.read({"schema": ANSWER.name, "version": 3, "content": document})
    )
    assert {one.at.load for one in answer.corners["LF"].places} == {"outside"}
    (spot,) = [one for one in answer.corners["LF"].places if one.place == BRAKE]
    assert spot.clearance_mm != spot.clearance_mm
    assert spot.touch_chance != spot.touch_chance
    assert spot.supposed_mm == -23.0


@pytest.mark.parametrize("known", ["nothing", "barrel", "spokes"])
@pytest.mark.parametrize("radius_mm", [150, 195, 205, 212])
def test_a_caliper_in_an_assumed_barrel_is_never_a_contact(
    known: str, radius_mm: float, technician: Any
) -> None:
    """As long as a part of the wheel's inside is a guess, the guess is not what it touches."""
    order = new_wheel_order()
    for survey in order.vehicle.car_model.surveys.all():
        for feature in survey.document["survey"]["features"]:
            if feature["place"] == BRAKE:
                feature["points"][-1]["radius_mm"] = radius_mm
        survey.save()
    wheel = order.order_wheels.first().wheel
    wheel.barrel_mm = 12.0 if known == "barrel" else None
    wheel.spoke_back = [[18, 40], [16, 80], [22, 150], [30, 205]] if known == "spokes" else []
    wheel.save()
    assert brake_of(order).verdict == Verdict.UNMEASURED
    order = WorkOrder.objects.select_related("vehicle__car_model").get(pk=order.pk)
    (mounting,) = {
        (one.outcome, one.bars)
        for one in MountingCheck.objects.latest("pk").answers
        if one.rule == "brakes"
    }
    assert mounting == (Outcome.CANNOT_SAY, False)
    assert mounting_gate(order).result != GateResult.CANNOT_BE_MOUNTED


def test_the_order_page_names_the_spot_that_makes_a_corner_unmeasured(
    client_of: Browsers, writer: Any
) -> None:
    order = new_wheel_order()
    brake_of(order)
    card = client_of(writer).get(reverse("order", args=[order.pk])).content.decode()
    (answer,) = re.findall(r'data-test="answer-clearance".*?</div>', card, re.DOTALL)
    assert BRAKE in answer
    assert "not known" in answer
    page = client_of(writer).get(reverse("clearance", args=[order.pk])).content.decode()
    (row,) = re.findall(rf'<th scope="row">{BRAKE}</th>(.*?)</tr>', page, re.DOTALL)[:1]
    assert "unmeasured" in row


def test_after_an_adjustment_the_tightest_measured_spot_is_said(technician: Any) -> None:
    """A brake that was not measured does not hide what adjustments do to the body's spots."""
    order = new_wheel_order()
    stand = Stand(toe_deg=0.05, camber_deg=-2.4, camber_by="top_mount", adjusters={})
    after = clearance_after(order)("LF", stand)
    assert after is not None
    assert after.verdict == Verdict.UNMEASURED
    assert after.clearance_mm == after.clearance_mm
    assert BRAKE not in after.sentence


def test_options_name_the_tightest_spot_that_is_known(technician: Any) -> None:
    spot = brake_of(new_wheel_order())
    assert spot.spare_mm == float("inf")
    assert min([spot, spot], key=lambda one: one.spare_mm) is spot

    class Alone:
        tightest = spot

    assert tightest_of(Alone()).code == "option.nothing-measured"  # type: ignore[arg-type]
