"""Curves that leave something unread, and typical ones: what they say and how far to trust it."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile, defaults
from fitment.engine.check import run
from fitment.engine.defaults import STREET, DefaultSigma
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.coverage import TYPICAL
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Check, Corner, Planned, Tyre, Wheel
from fitment.engine.solid.section import section_of
from fitment.engine.survey.typical import FRONTS, KINDS, suspension_of
from fitment.engine.uncertainty.hub_path import SOURCES, over_travel, sigma_at

AXIS = {"point": [0.0, -80.0, 0.0], "caster_deg": 5.0, "inclination_deg": 12.0}
WHEEL, TYRE = Wheel(17, 7.5, 45), Tyre("225/45R17", section_width_mm=225)


class Book:
    """Hands out defaults and remembers them."""

    def __init__(self) -> None:
        self.assumed: list[str] = []

    def sigma(self, stated: float | None, default: DefaultSigma) -> float:
        assert stated is None
        self.assumed.append(default.what)
        return default.value


def row(travel: float, **more: Any) -> dict[str, Any]:
    return {"travel_mm": travel, "camber_deg": -0.01 * travel, "toe_deg": 0.0} | more


def strut_front() -> dict[str, Any]:
    """A surveyed corner whose suspension may be any: nothing hangs on a strut."""
    document = copy.deepcopy(STRUT_FRONT)
    for feature in document["survey"]["features"]:
        feature["carried_by"] = feature["carried_by"].replace("strut", "knuckle")
    return document


def corner_with(table: list[dict[str, Any]]) -> Corner:
    document = strut_front()
    document["suspension"] = {"kind": "curves", "table": table, "steer_axis": AXIS}
    measured = checkfile.parse_corner_survey(document)
    return Corner(measured.survey, measured.suspension, measured.limits, Planned(0.05), WHEEL, TYRE)


def read_through(**shift: float) -> list[dict[str, Any]]:
    """A table in which the hub was read to go sideways and forward by so much per mm."""
    return [
        row(t, **{f"{name}_mm": by * t for name, by in shift.items()})
        for t in (-120.0, -60.0, 0.0, 60.0, 120.0)
    ]


def test_a_shift_that_nobody_read_is_none_and_doubted_by_the_travel() -> None:
    corner, book = corner_with(read_through()), Book()
    assert all(one.unread == {"out_mm", "forward_mm"} for one in corner.suspension.table)
    sigma = sigma_at(corner.suspension.table, "out_mm", np.array([-60.0, 0.0, 30.0]), book)
    assert sigma == pytest.approx(defaults.HUB_OUT.value * np.array([60.0, 0.0, 30.0]))
    assert set(book.assumed) == {"hub sideways over travel"}


def test_a_shift_that_was_read_or_stated_is_not_assumed() -> None:
    book = Book()
    corner = corner_with(read_through(out=0.02, forward=0.0))
    for column in SOURCES:
        assert not np.any(sigma_at(corner.suspension.table, column, np.array([50.0]), book))
    stated = [row(t, sigma={"out_mm": 1.5, "camber_deg": 0.2}) for t in (-120.0, 0.0, 120.0)]
    table = corner_with(stated).suspension.table
    assert sigma_at(table, "out_mm", np.array([120.0, 60.0]), book) == pytest.approx([1.5, 0.75])
    assert sigma_at(table, "camber_deg", np.array([-120.0]), book) == pytest.approx([0.2])
    assert not book.assumed


@pytest.mark.parametrize(("name", "column"), [("out", "out_mm"), ("forward", "forward_mm")])
def test_its_share_of_a_uncertainty_is_what_such_a_shift_does_to_the_clearance(
    name: str, column: str
) -> None:
    """Against whole checks of a corner whose hub does move so."""
    corner = corner_with(read_through())
    setting, section = setting_of("LF", corner, STREET), section_of(WHEEL, TYRE)
    found = closest(setting.room, section, section_of(WHEEL, TYRE, coarse=True))
    shares = dict(over_travel(setting, section, found, Book()))[SOURCES[column]]
    default = {"out": defaults.HUB_OUT, "forward": defaults.HUB_FORWARD}[name].value
    part, gaps = 0.05, []
    for sign in (part, -part):
        shift = {"out": 0.0, "forward": 0.0} | {name: sign * default}
        moved = setting_of("LF", corner_with(read_through(**shift)), STREET)
        points, hub, spin = moved.room.seen(found.spots)
        away = points - hub
        axial = np.sum(away * spin, axis=1)
        radius = np.linalg.norm(away - axial[:, None] * spin, axis=1)
        gaps.append(section.distance(axial, radius))
    whole = (gaps[0] - gaps[1]) / (2 * part)
    assert np.abs(shares) == pytest.approx(np.abs(whole), abs=0.08)
    assert np.abs(shares).max() > 0.5
    assert not np.any(shares[~setting.room.moving])


def test_a_linkage_and_a_read_table_have_no_such_uncertainty() -> None:
    for corner in (
        corner_with(read_through(out=0.0, forward=0.0)),
        replace(
            corner_with(read_through()),
            suspension=checkfile.parse_corner_survey(STRUT_FRONT).suspension,
        ),
    ):
        setting, section = setting_of("LF", corner, STREET), section_of(WHEEL, TYRE)
        found = closest(setting.room, section, section_of(WHEEL, TYRE, coarse=True))
        assert over_travel(setting, section, found, Book()) == []


@pytest.mark.parametrize("name", sorted(KINDS))
def test_typical_curves_make_a_corner_that_is_unmeasured_by_name(name: str) -> None:
    document = strut_front()
    document["suspension"] = suspension_of(name, steered=name in FRONTS)
    if name not in FRONTS:
        document["limits"] |= {"steer_in_deg": 0, "steer_out_deg": 0}
    measured = checkfile.parse_corner_survey(document)
    assert measured.suspension.typical == name
    corner = Corner(
        measured.survey, measured.suspension, measured.limits, Planned(0.05), WHEEL, TYRE
    )
    answer = run(Check("", STREET, {"LF": corner})).corners["LF"]
    assert TYPICAL in answer.uncovered
    assert answer.verdict in ("unmeasured", "contact")


def test_what_a_table_leaves_open_survives_a_check_file() -> None:
    table = [*read_through()[:-1], row(120.0, sigma={"toe_deg": 0.3}, carried_on=True)]
    corner = corner_with(table)
    assert corner.suspension.table[-1].carried_on
    suspension = replace(corner.suspension, typical="a strut front")
    features = tuple(replace(f, to_confirm=True) for f in corner.survey.features)
    survey = replace(corner.survey, features=features)
    document = checkfile.dump_corner_survey(survey, suspension, corner.limits)
    again = checkfile.parse_corner_survey(document)
    assert again.suspension == suspension
    assert again.survey == survey
