"""Gaps over the tread and beside the tyre, where chains are to be put on.

The answer of a clearance check knows where a spot comes nearest to wheel and tyre as a whole: a
lip that is nearest at the sidewall may come nearly as near to the tread, where more is asked. So
both parts of the tyre are looked at by themselves, with everything that was surveyed.
Millimetres.
"""

from __future__ import annotations

from fitment.engine.minimum.branch_and_bound import prove
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.setting import Setting
from fitment.engine.mounting.decision import Gap
from fitment.engine.solid.section import section_of
from fitment.engine.solid.tyre_parts import SIDES, TREAD, part_of
from fitment.engine.uncertainty.inputs import sigmas
from fitment.engine.uncertainty.this_car import weighed

#: A gap so many standard uncertainties above what is asked needs no closer proof.
ENOUGH_SIGMAS = 3.0


def gaps_over_tread(setting: Setting, asked_mm: float) -> list[Gap]:
    """The least gap of every spot outside the wheel to the tread."""
    return _gaps(setting, TREAD, asked_mm)


def gaps_beside(setting: Setting, asked_mm: float) -> list[Gap]:
    """The same to the tyre's sides, between flange and shoulder."""
    return _gaps(setting, SIDES, asked_mm)


def _gaps(setting: Setting, part: str, asked_mm: float) -> list[Gap]:
    corner, room = setting.corner, setting.room
    section = part_of(section_of(corner.wheel, corner.tyre), part)
    found = closest(room, section, section)
    count = len(found.clearance_mm)
    budget = weighed(setting, section, section, found)
    enough = asked_mm + ENOUGH_SIGMAS * sigmas(budget.inputs)[:count] - budget.shift_mm
    proved = prove(room, section, section, found, enough).found
    if proved is not found:
        budget = weighed(setting, section, section, proved)
    return [
        Gap(course.feature.place, float(gap), float(spread), pose)
        for course, gap, spread, pose in zip(
            room.courses,
            proved.clearance_mm + budget.shift_mm,
            sigmas(budget.inputs)[:count],
            budget.poses,
            strict=True,
        )
    ]
