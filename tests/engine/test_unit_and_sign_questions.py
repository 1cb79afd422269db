"""Signs, units and places that cannot be: questioned at once, the odd reading named."""

from __future__ import annotations

from typing import Any

import pytest

from common.message import Message
from fitment.demo.surveys import LINKS_REAR, STRUT_FRONT, STRUT_REAR, WISHBONES_FRONT
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_questions import questions
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import HANGING, JOINT_NAMES, LOCK_IN, Reading
from fitment.engine.survey.usual_figures import USUAL
from tests.engine.test_sheet import SETTING, SPACE, TYRE

WORDS = {name: words for words, name in JOINT_NAMES.items()}
HUNG = Reading("pose", {"height_mm": 420.0}, "", HANGING)
CODES = ("ask.meant", "ask.unusual", "ask.bushes", "ask.inboard", "ask.slant")


def joint(name: str, forward: float, inboard: float, up: float, key: int = 0) -> Reading:
    figures = {"joint": WORDS[name], "forward_mm": forward, "inboard_mm": inboard, "up_mm": up}
    return Reading("joint", figures, key=key)


def joints_of(document: dict[str, Any], **changes: tuple[float, float, float]) -> list[Reading]:
    """All joints of a corner as they would be read, ``changes`` in the place of some."""
    rows = []
    for key, (name, place) in enumerate(document["suspension"].items(), start=100):
        if name in WORDS:
            x, y, z = place
            rows.append(joint(name, *changes.get(name, (x, -y, z)), key=key))
    return rows


def asked(readings: list[Reading], codes: tuple[str, ...] = CODES) -> list[tuple[int, Message]]:
    sheet = Sheet([SETTING, SPACE, TYRE, HUNG, *readings])
    return [(key, told) for key, told in questions(sheet, None) if told.code in codes]


def key_of(readings: list[Reading], name: str) -> int:
    return next(row.key for row in readings if row.text("joint") == WORDS[name])


@pytest.mark.parametrize("document", [STRUT_FRONT, STRUT_REAR, WISHBONES_FRONT, LINKS_REAR])
def test_joints_that_are_right_are_not_asked_about(document: dict[str, Any]) -> None:
    assert asked(joints_of(document)) == []


@pytest.mark.parametrize(
    ("name", "figures"),
    [
        ("tie_inner", (-134, -459, -38)),
        ("lower_arm_rear", (255, 430, -82)),
        ("lower_ball_joint", (6, 92, 96)),
        ("strut_top", (-42, 238, -430)),
        ("strut_lower", (-12, -178, 62)),
        ("tie_outer", (-128, -122, -52)),
        ("lower_arm_front", (12, -425, -74)),
        ("tie_inner", (134, 459, -38)),
    ],
)
def test_a_joint_with_a_flipped_sign_is_named(
    name: str, figures: tuple[float, float, float]
) -> None:
    readings = joints_of(STRUT_FRONT, **{name: figures})
    found = asked(readings)
    assert [key for key, _ in found if key == key_of(readings, name)], found
    assert {key for key, _ in found} == {key_of(readings, name)}, "another joint was named"
    codes = {told.code for _, told in found}
    meant = [one.code for _, told in found for one in told.params.get("meant", ())]
    assert "meant.sign" in meant or codes & {"ask.bushes", "ask.inboard", "ask.slant"}


def test_a_decimal_point_that_slipped_is_asked_about() -> None:
    readings = joints_of(STRUT_FRONT, strut_top=(-42, 238, 4.3))
    ((key, told),) = asked(readings)
    assert key == key_of(readings, "strut_top")
    assert "meant.point" in [one.code for one in told.params["meant"]]


@pytest.mark.parametrize(
    ("factor", "meant"), [(0.1, "meant.centimetres"), (1 / 25.4, "meant.inches")]
)
@pytest.mark.parametrize(
    ("form", "figure", "usual"),
    [
        ("setting", "height_mm", 368.0),
        ("front_space", "front_space_mm", 62.0),
        ("present_tyre", "circumference_mm", 1990.0),
        ("present_tyre", "section_width_mm", 225.0),
        ("straightedge", "along_mm", 370.0),
        ("plumb_line", "height_mm", 368.0),
        ("plumb_line", "lip_radius_mm", 233.0),
        ("hub_bar", "along_mm", 352.0),
        ("hub_bar", "depth_mm", 137.0),
        ("tape", "tape_mm", 371.0),
        ("pivots", "top_mm", 430.0),
    ],
)
def test_bare_centimetres_and_inches_are_asked_about(
    form: str, figure: str, usual: float, factor: float, meant: str
) -> None:
    place = "inner panel" if FORMS[form].at_place else ""
    right = Reading(form, {figure: usual}, place, key=7)
    assert asked([right]) == []
    wrong = Reading(form, {figure: usual * factor}, place, key=7)
    ((key, told),) = asked([wrong])
    assert key == 7
    guesses = {one.code: one.params["meant_mm"] for one in told.params["meant"]}
    assert guesses[meant] == pytest.approx(usual)


def test_every_figure_with_a_usual_range_is_one_that_its_form_asks() -> None:
    for form, name in USUAL:
        assert name in [figure.name for figure in FORMS[form].figures], (form, name)


def bar(place: str, along: float, depth: float, clock: float = -10.0) -> Reading:
    figures: dict[str, float | str] = {"thickness_mm": 10.0, "along_mm": along, "depth_mm": depth}
    figures |= {"depth_side": "inboard", "clock_deg": clock}
    return Reading("hub_bar", figures, place, HANGING, key=9)


@pytest.mark.parametrize("place", ["strut tube", "inner panel", "frame rail", "knuckle"])
def test_a_spot_read_wheel_off_inside_the_fitted_tyre_is_named(place: str) -> None:
    inside, clear = bar(place, 280.0, 90.0), bar(place, 280.0, 240.0)
    ((key, told),) = asked([inside], ("ask.inside-tyre",))
    assert (key, told.params["spot"]) == (9, place)
    assert told.params["inside_mm"] > 20
    assert asked([clear], ("ask.inside-tyre",)) == []


def test_a_caliper_inside_the_rim_is_not_inside_the_tyre() -> None:
    assert asked([bar("brake caliper", 190.0, 60.0)], ("ask.inside-tyre",)) == []


def test_a_liner_beyond_the_lip_is_asked_about() -> None:
    lips = [
        Reading(
            "straightedge",
            {"block_mm": 30.0, "along_mm": 370.0, "edge_mm": -8.0, "clock_deg": clock},
            "arch lip",
        )
        for clock in (-45.0, 0.0, 45.0)
    ]
    for depth, count in ((-130.0, 1), (60.0, 0)):
        figures = bar("arch liner", 390.0, abs(depth), 20.0).values
        side = "outboard" if depth < 0 else "inboard"
        read = Reading("hub_bar", {**figures, "depth_side": side}, "arch liner", HANGING, key=9)
        found = asked([*lips, read], ("ask.outboard-of-lip",))
        assert [key for key, _ in found] == [9] * count


def test_a_lock_far_from_the_other_reading_still_counts_as_one() -> None:
    """A question never fails for a pose of which only the lock is known."""
    assert asked([Reading("pose", {"plate_deg": 88.0}, "", LOCK_IN)]) == []
