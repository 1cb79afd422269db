"""One sentence for a finding in every form: the same facts for every reader, or a fault."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alignment.text.render import Reader, render
from common.message import message
from common.verdicts import Verdict
from fitment.engine.findings import finding, pose_of
from fitment.engine.model import BODY, KNUCKLE, LINK, STRUT_BODY
from shop.languages import LANGUAGES, Speech
from tests.fitment.finding_forms import (
    LOADS,
    LOCKS,
    MOVING,
    SPOT,
    TRAVELS,
    Form,
    facts,
    figures,
    forms,
    name_of,
    readers,
    steered,
)

FORMS = list(forms())
each_reader = pytest.mark.parametrize("reader", readers(), ids=name_of)


def told(form: Form, reader: Reader) -> str:
    return render(finding(form.spot, form.corner), reader)


@each_reader
def test_every_form_tells_its_figures_and_no_others(reader: Reader) -> None:
    for form in FORMS:
        sentence = told(form, reader)
        assert figures(sentence) == facts(form, reader), f"{form}\n{sentence}"


@each_reader
def test_every_form_names_the_spot_the_wheel_the_part_and_the_unit(reader: Reader) -> None:
    for form in FORMS:
        sentence = told(form, reader)
        assert SPOT in sentence
        assert render(message(f"what.{form.spot.part}.{form.corner}"), reader) in sentence
        assert f" {reader.speech.length_unit}" in sentence
        assert "{" not in sentence


@each_reader
def test_what_moves_against_the_wheel_is_said_with_its_pose_and_nothing_else_is(
    reader: Reader,
) -> None:
    constant = render(message("pose.constant"), reader)
    for form in FORMS:
        sentence, at = told(form, reader), form.spot.at
        moves = form.spot.carried_by in MOVING
        assert (constant in sentence) != moves
        pose = render(pose_of(at.travel_mm, at.steer_deg, load=at.load), reader)
        assert (pose in sentence) == moves


@each_reader
def test_a_rod_is_said_with_the_pose_in_which_it_is_tightest(reader: Reader) -> None:
    """A link swings with travel and steering; only knuckle and strut go along with the wheel."""
    rod = next(form for form in FORMS if form.spot.carried_by == LINK and form.spot.at.travel_mm)
    on_body, on_knuckle, on_strut = (
        replace(rod, spot=replace(rod.spot, carried_by=carrier))
        for carrier in (BODY, KNUCKLE, STRUT_BODY)
    )
    assert told(rod, reader) == told(on_body, reader)
    assert told(on_knuckle, reader) == told(on_strut, reader) != told(rod, reader)


@each_reader
def test_no_two_poses_and_no_two_locks_read_alike(reader: Reader) -> None:
    poses = [
        render(pose_of(travel, steer, load=load), reader)
        for travel in TRAVELS
        for steer in LOCKS
        for load in LOADS
    ]
    assert len(set(poses)) == len(poses)
    inward, outward = (render(pose_of(0.0, steer), reader) for steer in (18.4, -18.4))
    assert inward != outward
    assert figures(inward) == figures(outward) == ["18"]
    for form in FORMS:
        if form.spot.carried_by in MOVING and form.spot.at.steer_deg:
            assert told(form, reader) != told(steered(form, -form.spot.at.steer_deg), reader)


@each_reader
def test_no_two_verdicts_read_alike(reader: Reader) -> None:
    for form in FORMS[:1]:
        same = replace(form.spot, clearance_mm=3.0, note=message("inside.not-measured"))
        sentences = {
            render(finding(replace(same, verdict=verdict), "LF"), reader) for verdict in Verdict
        }
        assert len(sentences) == len(Verdict)


SIZES = st.floats(0.0, 30.0, allow_nan=False).map(lambda value: round(value, 3))


def tight(gap: float, needed: float) -> Form:
    spot = replace(FORMS[0].spot, verdict=Verdict.TIGHT, clearance_mm=gap, needed_mm=needed)
    return replace(FORMS[0], spot=spot)


@each_reader
@given(gap=SIZES, short_by=st.floats(0.001, 3.0))
def test_a_tight_gap_never_reads_like_the_margin_that_it_misses(
    reader: Reader, gap: float, short_by: float
) -> None:
    needed = round(gap + short_by, 1)
    if needed <= gap:
        return
    params = finding(tight(gap, needed).spot).params
    sentence = told(tight(gap, needed), reader)
    point = reader.speech.language.point
    # the gap stands before what is needed in every language, its uncertainty between them
    shown, _, limit = _numbers(sentence, point)[:3]
    less = reader.speech.say("less than {length} (± {sigma})", length="", sigma="")[:4]
    assert shown < limit or less in sentence, (params, sentence)


@each_reader
@given(gap=st.floats(-30.0, 30.0, allow_nan=False), sigma=st.floats(0.0, 9.0))
def test_a_gap_is_never_said_as_nothing(reader: Reader, gap: float, sigma: float) -> None:
    verdict = Verdict.CONTACT if gap < 0 else Verdict.CLEAR
    spot = replace(FORMS[0].spot, verdict=verdict, clearance_mm=gap, sigma_mm=sigma)
    numbers = _numbers(told(replace(FORMS[0], spot=spot), reader), reader.speech.language.point)
    assert numbers[0] > 0, "a gap that rounds to nothing is less than the smallest step"
    assert numbers[1] > 0, "neither is its uncertainty nothing"


def _numbers(sentence: str, point: str) -> list[float]:
    found = re.findall(r"\d+(?:[.,]\d+)?", sentence)
    return [float(number.replace(point, ".")) for number in found]


def test_a_half_is_rounded_alike_in_sentence_formatter_and_drawing() -> None:
    spot = replace(FORMS[0].spot, clearance_mm=-4.85)
    shop = Reader(Speech(LANGUAGES["en"]))
    gap = shop.speech.number(4.85, 1)
    assert gap == "4.9"
    sentence = told(replace(FORMS[0], spot=spot), shop)
    drawn = render(message("drawing.gap-contact", gap_mm=-4.85), shop)
    assert gap in sentence
    assert gap in drawn
