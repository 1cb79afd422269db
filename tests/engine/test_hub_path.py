"""Curves that leave something unread, and typical ones: what they say and how far to trust it."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from alignment.geometry.motion import motion_of
from fitment.demo.surveys import STRUT_FRONT
from fitment.engine import checkfile
from fitment.engine.check import run
from fitment.engine.defaults import STREET
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.coverage import TYPICAL
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Check, Corner, Planned, Tyre, Wheel
from fitment.engine.solid.section import section_of
from fitment.engine.survey.typical import FRONTS, KINDS, suspension_of
from fitment.engine.uncertainty.hub_path import SOURCES, changes_at, hub_path_inputs
from fitment.engine.uncertainty.inputs import Ledger
from fitment.engine.uncertainty.moments import moments_of

AXIS = {"point": [0.0, -80.0, 0.0], "caster_deg": 5.0, "inclination_deg": 12.0}
WHEEL, TYRE = Wheel(17, 7.5, 45), Tyre("225/45R17", section_width_mm=225)


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


def sigma_of(corner: Corner, column: str, travel: list[float], ledger: Ledger) -> Any:
    _, changes = changes_at(corner.suspension.table, column, np.array(travel), ledger)
    return np.sqrt(np.sum(changes**2, axis=1))


def test_a_shift_that_was_not_read_is_a_level_arms_arc_and_half_of_it_in_uncertainty() -> None:
    corner, ledger = corner_with(read_through()), Ledger()
    assert all(one.unread == {"out_mm", "forward_mm"} for one in corner.suspension.table)
    motion = motion_of(corner.suspension, 0.0, 0.0)
    settled = motion.settle([Planned(0.0)])
    travel = np.array([-120.0, -50.0, 0.0, 33.0])
    steered = motion.steered(settled, np.zeros(4, int), np.zeros(4))
    hub = motion.travelled(settled, steered, np.arange(4), travel).hub
    assert hub[:, 1] == pytest.approx(-(travel**2) / 700.0)
    sideways = sigma_of(corner, "out_mm", [-60.0, 0.0, 120.0], ledger)
    assert sideways == pytest.approx([60.0**2 / 1400.0, 0.0, 120.0**2 / 1400.0])
    forward = sigma_of(corner, "forward_mm", [-60.0, 30.0], ledger)
    assert forward == pytest.approx([3.0, 1.5])
    assert {one.what for one in ledger.assumed} == {
        "hub sideways over travel",
        "hub fore and aft over travel",
    }


def test_bump_and_droop_of_an_unread_path_are_one_unknown() -> None:
    keys, changes = changes_at(
        corner_with(read_through()).suspension.table, "out_mm", np.array([-60.0, 60.0]), Ledger()
    )
    assert keys == ("unread",)
    assert changes[0, 0] == pytest.approx(changes[1, 0]), "inboard both ways"
    _, slant = changes_at(
        corner_with(read_through()).suspension.table,
        "forward_mm",
        np.array([-60.0, 60.0]),
        Ledger(),
    )
    assert slant[0, 0] == pytest.approx(-slant[1, 0]), "fore one way, aft the other"


def test_a_shift_that_was_read_or_stated_is_not_assumed() -> None:
    ledger = Ledger()
    corner = corner_with(read_through(out=0.02, forward=0.0))
    for column in SOURCES:
        assert not np.any(sigma_of(corner, column, [50.0], ledger))
    stated = [row(t, sigma={"out_mm": 1.5, "camber_deg": 0.2}) for t in (-120.0, 0.0, 120.0)]
    corner = corner_with(stated)
    assert sigma_of(corner, "out_mm", [120.0, 60.0], ledger) == pytest.approx([1.5, 0.75])
    assert sigma_of(corner, "camber_deg", [-120.0], ledger) == pytest.approx([0.2])
    assert not ledger.assumed


def test_rows_that_were_read_err_one_by_one() -> None:
    stated = [row(t, sigma={"toe_deg": 0.1}) for t in (-120.0, -60.0, 0.0, 60.0, 120.0)]
    keys, changes = changes_at(
        corner_with(stated).suspension.table, "toe_deg", np.array([90.0, -60.0]), Ledger()
    )
    assert len(keys) == 4
    assert np.linalg.norm(changes[0]) == pytest.approx(0.1 * np.sqrt(0.5))
    assert changes[0] @ changes[1] == 0.0, "bump and droop have no error in common"


@pytest.mark.parametrize("name", ["out", "forward"])
def test_its_share_of_an_uncertainty_is_what_such_a_shift_does_to_the_clearance(name: str) -> None:
    """Against whole checks of a corner whose hub does move so."""
    corner = corner_with(read_through())
    setting, section = setting_of("LF", corner, STREET), section_of(WHEEL, TYRE)
    found = closest(setting.room, section, section_of(WHEEL, TYRE, coarse=True))
    moments = moments_of(setting.room, section, found.spots, found.clearance_mm)
    blocks = {one.source: one for one in hub_path_inputs(setting, moments, Ledger())}
    shares = blocks[SOURCES[f"{name}_mm"]].mm[:, 0]
    part, gaps = 0.05, []
    for sign in (part, -part):
        table = [
            row(
                z,
                out_mm=-(z**2) / 700.0 * (1.0 + 0.5 * sign * (name == "out")),
                forward_mm=0.05 * sign * z * (name == "forward"),
            )
            for z in np.arange(-120.0, 121.0, 10.0)
        ]
        moved = setting_of("LF", corner_with(table), STREET)
        axial, radius = moved.room.meridian(found.spots)
        gaps.append(section.distance(axial, radius))
    whole = (gaps[0] - gaps[1]) / (2 * part)
    assert shares == pytest.approx(whole, abs=0.08)
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
        moments = moments_of(setting.room, section, found.spots, found.clearance_mm)
        assert hub_path_inputs(setting, moments, Ledger()) == []


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
