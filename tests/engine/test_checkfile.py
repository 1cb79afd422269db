"""Check files survive the way in and out, and no file makes the reader stumble."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from common.message import message
from fitment.engine import checkfile
from fitment.engine.defaults import DUTIES
from fitment.engine.model import (
    Answer,
    Assumed,
    Check,
    CornerAnswer,
    OutOfReach,
    PoseAt,
    SpotAnswer,
    StaticAnswer,
    UncertaintyPart,
)
from tests.engine.files import CURVES, GONE, LINKS, NAMES, STRUT, document, put, text_of


@pytest.mark.parametrize("name", NAMES)
def test_a_check_comes_back_from_its_own_file_unchanged(name: str) -> None:
    check = checkfile.loads(text_of(name))
    written = checkfile.dump(check)
    assert checkfile.loads(json.dumps(written)) == check
    assert checkfile.dump(checkfile.parse(written)) == written


def test_everything_that_may_be_stated_is_kept() -> None:
    full = document(STRUT)
    corner = full["corners"]["LF"]
    corner["survey"]["open"] = [{"side": "inboard", "from_deg": 30, "to_deg": 60, "beyond_mm": 60}]
    corner["survey"]["features"][1]["taken_at"] = {"travel_mm": -60, "steer_deg": -20}
    corner["suspension"]["knuckle_pivot"] = [-10, -100, 0]
    corner["suspension"]["reach"] = {"top_mount_in_mm": [0, 12], "toe_link_mm": [-3, 3]}
    corner["limits"]["bump_mm"] = None
    corner["planned"]["sigma"] = {"camber_deg": 0.1, "toe_deg": 0, "ride_height_mm": 2}
    corner["planned"]["adjusters"] = {"top_mount_back_mm": 4, "knuckle_camber_deg": -0.5}
    corner["wheel"] |= {
        "flange_mm": 11,
        "barrel_mm": 12,
        "spoke_back": [[-5, 60], [-30, 150]],
        "width_mm": round(25.4 * corner["wheel"]["width_in"] + 0.4, 1),
        "sigma_offset_mm": 0,
        "sigma_width_mm": 0.6,
        "sigma_barrel_mm": 1,
        "sigma_spoke_mm": 1,
        "sigma_flange_mm": 0.5,
        "rim_diameter_mm": 405.6,
    }
    corner["suspension"] |= {
        "sigma_joints_mm": 3,
        "fitted": {
            "sigma_deg": 0.1,
            "rows": [{"travel_mm": -40, "toe_deg": 0.1}, {"travel_mm": 30, "camber_deg": -0.2}],
        },
    }
    corner["survey"]["features"][0]["read"] = "template"
    corner["survey"]["features"][1]["learned"] = {
        "shift_mm": -1.3,
        "sigma_mm": 1.8,
        "between_cars_mm": 2.8,
        "cars": 4,
        "observations": 11,
    }
    corner["tyre"] |= {
        "tread_width_mm": 190,
        "shoulder_drop_mm": 9,
        "sigma_width_mm": 1,
        "sigma_diameter_mm": 1.5,
        "sigma_tread_mm": 2,
        "sigma_shoulder_mm": 1,
        "width_known": "printed",
        "diameter_known": "measured",
        "shoulder": "square",
    }
    written = checkfile.dump(checkfile.parse(full))
    assert written["corners"] == _as_floats(corner_document(full))
    assert written["label"] == full["label"]


def test_a_width_that_a_file_of_before_calls_printed_is_printed() -> None:
    old = document(STRUT)
    old["corners"]["LF"]["tyre"]["width_printed"] = True
    assert checkfile.parse(old).corners["LF"].tyre.width_known == "printed"
    old["corners"]["LF"]["tyre"]["width_known"] = "measured"
    with pytest.raises(checkfile.BadCheckFile, match="width_printed: says otherwise"):
        checkfile.parse(old)


@pytest.mark.parametrize(
    ("path", "value", "complaint"),
    [
        ("tyre.width_known", "weighed", "tyre.width_known"),
        ("tyre.shoulder", "pointed", "tyre.shoulder"),
        ("tyre.sigma_tread_mm", -1, "tyre.sigma_tread_mm"),
        ("wheel.rim_diameter_mm", 380.2, "wheel.rim_diameter_mm: 380.2 mm is no bead seat"),
        ("wheel.sigma_flange_mm", "1", "wheel.sigma_flange_mm"),
        ("suspension.sigma_joints_mm", 99, "suspension.sigma_joints_mm"),
        ("suspension.fitted", {"sigma_deg": 0, "rows": []}, "suspension.fitted.sigma_deg"),
        ("survey.features[0].read", "twice", "survey.features[0].read"),
        ("survey.features[0].learned", {"shift_mm": 1}, "learned.sigma_mm: is missing"),
    ],
)
def test_what_is_not_of_its_kind_is_refused_by_its_path(
    path: str, value: object, complaint: str
) -> None:
    spoilt = document(STRUT)
    put(spoilt, f"corners.LF.{path}", value)
    with pytest.raises(checkfile.BadCheckFile) as bad:
        checkfile.parse(spoilt)
    assert complaint in str(bad.value)


def test_a_diameter_that_is_not_there_cannot_have_been_measured() -> None:
    spoilt = document(STRUT)
    put(spoilt, "corners.LF.tyre.overall_diameter_mm", GONE)
    put(spoilt, "corners.LF.tyre.diameter_known", "measured")
    with pytest.raises(checkfile.BadCheckFile, match="diameter_known: says measured"):
        checkfile.parse(spoilt)


def corner_document(full: Any) -> Any:
    """The corners as written, with the defaults that the writer spells out."""
    corners = copy.deepcopy(full["corners"])
    for corner in corners.values():
        for feature in corner["survey"]["features"]:
            feature.setdefault("half_thickness_mm", 0)
    return corners


def _as_floats(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _as_floats(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_as_floats(item) for item in value]
    if isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    return value


def test_an_unknown_bump_limit_is_no_fault() -> None:
    for spoil in ({"bump_mm": None}, {}):
        loose = document(STRUT)
        del loose["corners"]["LF"]["limits"]["bump_mm"]
        loose["corners"]["LF"]["limits"] |= spoil
        assert checkfile.parse(loose).corners["LF"].limits.bump_mm is None


@pytest.mark.parametrize("name", list(DUTIES))
def test_a_use_may_be_called_by_name(name: str) -> None:
    short = document(STRUT) | {"duty": name}
    assert checkfile.parse(short).duty == DUTIES[name]


def test_what_a_use_leaves_out_takes_the_default() -> None:
    short = document(STRUT) | {"duty": {"name": "trailer", "envelope": [[0, 1], [1, 1]]}}
    duty = checkfile.parse(short).duty
    assert (duty.droop_fraction, duty.lateral_g) == (1, 0)
    assert (duty.needed_hard_mm, duty.needed_soft_mm) == (5, 3)


def test_corners_keep_the_order_of_the_file() -> None:
    both = document(STRUT)
    left = both["corners"]["LF"]
    both["corners"] = {"RR": left, "LF": left}
    assert list(checkfile.parse(both).corners) == ["RR", "LF"]


def test_a_file_with_a_byte_order_mark_is_read() -> None:
    assert checkfile.loads(b"\xef\xbb\xbf" + text_of(STRUT).encode()).label


def test_a_raised_car_with_moved_stops_is_read() -> None:
    """A damper with an adjustable body takes its stops along, past the survey height."""
    moved = document(STRUT)
    moved["corners"]["LF"]["limits"] |= {"bump_mm": 110, "droop_mm": -5}
    moved["corners"]["LF"]["planned"]["adjusters"] = {"ride_height_mm": -60}
    assert checkfile.parse(moved).corners["LF"].limits.droop_mm == -5


# --- Nothing but BadCheckFile ---------------------------------------------------------------


def _read_or_refused(read: Callable[[Any], Check], given: Any) -> Check | None:
    """The check, or None if it was refused with at least one printable problem."""
    caught: checkfile.BadCheckFile | None = None
    try:
        return read(given)
    except checkfile.BadCheckFile as error:
        caught = error
    assert caught.problems
    assert str(caught).encode()
    return None


def _paths(value: Any, path: str = "") -> list[str]:
    found = [path] if path else []
    if isinstance(value, dict):
        for key, item in value.items():
            found += _paths(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            found += _paths(item, f"{path}[{index}]")
    return found


FUZZED = (STRUT, LINKS, CURVES, "check-03")
PATHS = {name: _paths(document(name)) for name in FUZZED}

junk = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["strut", "curves", "links", "body", "edge", "rod:toe link", 10**400]),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4)
    ),
    max_leaves=8,
)


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_a_randomly_damaged_file_is_read_or_refused(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(FUZZED))
    spoilt = document(name)
    for _ in range(data.draw(st.integers(1, 4))):
        path = data.draw(st.sampled_from(PATHS[name]))
        value = data.draw(junk)
        try:
            put(spoilt, path, value)
        except (KeyError, IndexError, TypeError):
            continue  # an earlier damage took the place away
    check = _read_or_refused(checkfile.parse, spoilt)
    if check is not None:
        assert checkfile.parse(checkfile.dump(check)) == check


@settings(max_examples=100)
@given(st.data())
def test_a_file_with_a_torn_text_is_read_or_refused(data: st.DataObject) -> None:
    text = text_of(data.draw(st.sampled_from(FUZZED)))
    start = data.draw(st.integers(0, len(text)))
    length = data.draw(st.integers(0, 40))
    torn = text[:start] + data.draw(st.text(max_size=5)) + text[start + length :]
    _read_or_refused(checkfile.loads, torn)


# --- Answers --------------------------------------------------------------------------------

PLACE = SpotAnswer(
    place="arch lip",
    carried_by="body",
    surface="hard",
    clearance_mm=-4.2,
    needed_mm=5.0,
    sigma_mm=3.1,
    touch_chance=0.91,
    verdict="contact",
    at=PoseAt(38.0, -9.0, load="outside"),
    nearest_mm=(90.0, 356.0),
    touch_mm=(94.0, 357.0),
    part="tyre",
    uncertainty=(UncertaintyPart("section width", 1.5),),
)
ANSWER = Answer(
    label="a question",
    verdict="contact",
    corners={
        "LF": CornerAnswer(
            verdict="contact",
            static=StaticAnswer(-2.4, 0.05, None, None, (-0.4, -2.1, 15.0)),
            adjusters={"ride_height_mm": -15.0, "rods_mm": {"upper front": -1.5}},
            out_of_reach=(OutOfReach("top_mount_in_mm", 10.98, 0.0, 8.0, 2.98),),
            places=(PLACE,),
            uncovered=(message("open.outboard", from_deg=-45.0, to_deg=-30.0),),
            assumed=(Assumed("bump limit", 5.0, "mm", "a rubber stop has no sharp end"),),
            notes=(message("note.no-compliance"),),
        )
    },
)


def test_an_answer_comes_back_from_json_unchanged() -> None:
    written = json.dumps(checkfile.answer_dump(ANSWER), allow_nan=False)
    assert checkfile.answer_load(json.loads(written)) == ANSWER


def test_an_answer_starts_with_the_keys_of_the_open_format() -> None:
    written = checkfile.answer_dump(ANSWER)
    assert list(written)[:5] == [
        "archroom_answer",
        "label",
        "verdict",
        "any_touch_chance",
        "corners",
    ]
    corner = written["corners"]["LF"]
    assert list(corner)[:6] == [
        "verdict",
        "any_touch_chance",
        "static",
        "adjusters",
        "out_of_reach",
        "places",
    ]
    assert list(corner["places"][0])[:9] == [
        "place",
        "clearance_mm",
        "certified_mm",
        "needed_mm",
        "sigma_mm",
        "sigma_parts_mm",
        "touch_chance",
        "verdict",
        "at",
    ]


def test_a_figure_that_cannot_be_worked_out_is_null() -> None:
    unknown = replace(PLACE, clearance_mm=math.nan, touch_chance=math.nan)
    corner = replace(ANSWER.corners["LF"], places=(unknown,))
    written = checkfile.answer_dump(replace(ANSWER, corners={"LF": corner}))
    place = written["corners"]["LF"]["places"][0]
    assert (place["clearance_mm"], place["touch_chance"]) == (None, None)
    assert math.isnan(checkfile.answer_load(written).corners["LF"].places[0].clearance_mm)


def test_an_answer_in_another_format_is_refused() -> None:
    with pytest.raises(ValueError, match="format"):
        checkfile.answer_load({"archroom_answer": 9})


def test_an_empty_label_is_no_fault() -> None:
    assert checkfile.parse(document(STRUT) | {"label": ""}).label == ""


def test_a_square_profile_is_a_profile() -> None:
    square = document(STRUT)
    square["corners"]["LF"]["tyre"]["profile"] = [[100, 205], [100, 316], [-100, 316], [-100, 205]]
    assert len(checkfile.parse(square).corners["LF"].tyre.profile) == 4
