"""The wheel on the car is the first check of its survey, and names the reading that is odd."""

from __future__ import annotations

from dataclasses import replace

import pytest

from alignment.geometry.model import Planned
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.model import Check, Corner
from fitment.engine.survey.blame import SIGMAS, most_likely, sigma_of
from fitment.engine.survey.next_reading import STILL
from fitment.engine.survey.own_wheel import clearances, touching
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import HANGING, LOCK_IN, LOCK_OUT, WHOLE, Reading
from fitment.engine.survey.sheet_survey import document_of
from tests.engine.test_sheet import SETTING, SPACE, TYRE
from tests.engine.test_unit_and_sign_questions import joints_of

CLOCKS = (-60.0, -30.0, 0.0, 30.0, 60.0)
EDGE = {"block_mm": 30.0, "along_mm": 370.0, "edge_mm": -5.0}
BAR = {"thickness_mm": 10.0, "along_mm": 340.0, "depth_mm": 290.0, "depth_side": "inboard"}


def keyed(reading: Reading, key: int) -> Reading:
    return replace(reading, key=key)


def readings() -> list[Reading]:
    """A strut corner read whole: its wheel clears everything by centimetres."""
    rows = [
        Reading("plan", {"level": WHOLE, "kind": "a strut"}),
        SETTING,
        SPACE,
        TYRE,
        Reading("pose", {"plate_deg": 33.0}, "", LOCK_IN),
        Reading("pose", {"plate_deg": 37.0}, "", LOCK_OUT),
        Reading("pose", {"height_mm": 420.0, "camber_deg": -0.6, "toe_deg": 0.1}, "", HANGING),
        Reading("bump_left", {"shaft_mm": 80.0, "solid_mm": 20.0}),
        *(Reading("straightedge", {**EDGE, "clock_deg": c}, "arch lip") for c in CLOCKS),
        *(Reading("hub_bar", {**BAR, "clock_deg": c}, "inner panel", HANGING) for c in CLOCKS),
        Reading("hub_bar", {**BAR, "along_mm": 110.0, "depth_mm": 190.0, "clock_deg": -6.0},
                "strut tube", HANGING),
        Reading("hub_bar", {**BAR, "along_mm": 330.0, "depth_mm": 230.0, "clock_deg": -6.0},
                "strut tube", HANGING),
        Reading("hub_bar", {**BAR, "along_mm": 190.0, "depth_mm": 70.0, "clock_deg": -90.0},
                "brake caliper", HANGING),
        *joints_of(STRUT_FRONT),
    ]  # fmt: skip
    return [keyed(row, key) for key, row in enumerate(rows, start=1)]


def changed(number: int, **values: float) -> list[Reading]:
    """The readings with figures of the ``number``-th changed."""
    rows = readings()
    rows[number] = replace(rows[number], values={**rows[number].values, **values})
    return rows


def index_of(form: str, nth: int = 0, place: str = "") -> int:
    rows = [n for n, one in enumerate(readings()) if one.form == form and one.place == place]
    return rows[nth]


def test_a_corner_read_rightly_clears_its_own_wheel() -> None:
    sheet = Sheet(readings())
    assert touching(sheet, None) == {}
    found = clearances(sheet, None)
    assert set(found) == {"arch lip", "inner panel", "strut tube"}
    assert all(near.gap_mm > 5 for near in found.values())


@pytest.mark.parametrize("depth_mm", [290.0, 140.0, 90.0])
def test_clearances_are_those_of_a_whole_check(depth_mm: float) -> None:
    """Held against the certified minimum of the engine, standing and over all steering."""
    sheet = Sheet(changed(index_of("hub_bar", 2, "inner panel"), depth_mm=depth_mm))
    document = document_of(sheet, None)
    measured = checkfile.parse_corner_survey(document)
    assert sheet.fitted is not None
    corner = Corner(
        measured.survey,
        measured.suspension,
        measured.limits,
        Planned(measured.survey.toe_deg),
        *sheet.fitted,
    )
    answer = run(Check("own wheel", STILL, {"LF": corner})).corners["LF"]
    for spot in answer.places:
        if spot.place == "brake caliper":
            continue
        found = clearances(sheet, None)[spot.place].gap_mm
        assert found == pytest.approx(spot.clearance_mm, abs=1.5), spot.place
        assert found >= spot.certified_mm - 1e-6


WRONG = [
    ("hub_bar", 2, "inner panel", {"depth_mm": 90.0}),
    ("hub_bar", 2, "inner panel", {"along_mm": 240.0, "depth_mm": 110.0}),
    ("hub_bar", 1, "strut tube", {"depth_mm": 90.0}),
    ("straightedge", 2, "arch lip", {"along_mm": 290.0, "edge_mm": -60.0}),
    ("straightedge", 3, "arch lip", {"along_mm": 300.0, "edge_mm": -80.0}),
    ("present_tyre", 0, "", {"circumference_mm": 2490.0}),
    ("front_space", 0, "", {"front_space_mm": -8.0}),
]


@pytest.mark.parametrize(("form", "nth", "place", "values"), WRONG)
def test_the_reading_that_is_odd_is_named(
    form: str, nth: int, place: str, values: dict[str, float]
) -> None:
    number = index_of(form, nth, place)
    sheet = Sheet(changed(number, **values))
    spots = touching(sheet, None)
    assert spots, "nothing contradicts"
    spot, near = next(iter(spots.items()))
    blamed = most_likely(sheet, None, spot, near)
    assert number + 1 in [one.reading.key for one in blamed]
    assert [one.sigmas for one in blamed] == sorted(one.sigmas for one in blamed)


@pytest.mark.parametrize(("form", "nth", "place", "values"), WRONG[:4])
def test_a_blamed_figure_resolves_it_and_no_smaller_change_of_it_does(
    form: str, nth: int, place: str, values: dict[str, float]
) -> None:
    sheet = Sheet(changed(index_of(form, nth, place), **values))
    spot, near = next(iter(touching(sheet, None).items()))
    for one in most_likely(sheet, None, spot, near):
        number = one.reading.key - 1
        for share, resolves in ((1.0, True), (0.9, False)):
            figure = one.read + share * (one.wanted - one.read)
            rows = list(sheet.readings)
            rows[number] = replace(rows[number], values={**rows[number].values, one.figure: figure})
            there = clearances(Sheet(rows), None, (spot, near.steer_deg))[spot]
            assert not there.touches if resolves else there.gap_mm < 0.5
        sigma = sigma_of(one.reading, one.figure)
        assert sigma is not None
        assert one.sigmas == pytest.approx(abs(one.wanted - one.read) / sigma)


def test_without_the_wheel_or_a_survey_nothing_is_said() -> None:
    rows = [row for row in readings() if row.form != "present_tyre"]
    assert clearances(Sheet(rows), None) == {}
    assert clearances(Sheet(readings()[:4]), None) == {}


def test_every_figure_with_an_uncertainty_is_one_that_its_form_asks() -> None:
    for form, figure in SIGMAS:
        assert figure in [one.name for one in FORMS[form].figures], (form, figure)
