"""How far a clearance can be trusted.

First-order propagation of every uncertain input (GUM, JCGM 100:2008, 5.1.2): the slope of each
clearance to the input times its standard uncertainty, added in quadrature, at the tightest moment
of every spot and at each other moment that could become the tightest. Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from alignment.geometry.frames import Array
from common.message import Message
from fitment.engine import defaults
from fitment.engine.minimum.closest import Closest
from fitment.engine.minimum.room import Moments
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import (
    FROM_CAR_TO_CAR,
    KNUCKLE,
    LEARNED,
    STRUT_BODY,
    Assumed,
    Feature,
    PoseAt,
)
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.compliance import compliance_inputs
from fitment.engine.uncertainty.faces import with_faces
from fitment.engine.uncertainty.hub_path import hub_path_inputs
from fitment.engine.uncertainty.inputs import BETWEEN_CARS, SURVEY, Inputs, Ledger, sigmas
from fitment.engine.uncertainty.moments import LinearMoments, moments_of
from fitment.engine.uncertainty.rivals import rivals
from fitment.engine.uncertainty.setting_inputs import setting_inputs
from fitment.engine.uncertainty.solid_inputs import solid_inputs
from fitment.engine.uncertainty.survey_inputs import feature_inputs, joint_inputs


@dataclass(frozen=True)
class Budget:
    """The moments of a corner, every input that is uncertain, and what was assumed of them.

    ``poses`` are those of the tightest moments. ``shift_mm`` (n,) is what earlier jobs and gaps
    read on this car add to the clearances of each spot; ``left_out`` says what could not be used.
    """

    moments: LinearMoments
    inputs: tuple[Inputs, ...]
    assumed: tuple[Assumed, ...]
    poses: tuple[PoseAt, ...]
    shift_mm: Array
    left_out: tuple[Message, ...] = ()

    def parts_mm(self, index: int) -> dict[str, float]:
        """Standard uncertainty of a spot by what it belongs to."""
        return {
            kind: float(sigmas(self.inputs, kind)[index])
            for kind in sorted({block.kind for block in self.inputs})
        }

    def replaced(self, index: int, kinds: tuple[str, ...], blocks: tuple[Inputs, ...]) -> Budget:
        """The same with other inputs of some kinds for one spot."""
        rows = self.moments.which == index
        kept = [one.without(rows) if one.kind in kinds else one for one in self.inputs]
        return replace(self, inputs=(*kept, *blocks))


def budget_of(setting: Setting, section: Section, coarse: Section, found: Closest) -> Budget:
    """The uncertainty of every spot's clearance, gaps read on this car left out; ``coarse`` is the
    rough twin of ``section``."""
    ledger = Ledger()
    further = rivals(setting, section, coarse, found)
    spots = Moments.joined([found.spots, further.spots])
    gaps = np.concatenate([found.clearance_mm, further.clearance_mm])
    moments = moments_of(setting.room, section, spots, gaps)
    moments = with_faces(setting.room, section, moments)
    inputs = _inputs(setting, section, moments, ledger)
    nothing = np.zeros(len(found.clearance_mm))
    poses = _poses(setting, found)
    return Budget(moments, tuple(inputs), tuple(ledger.assumed), poses, nothing)


def _poses(setting: Setting, found: Closest) -> tuple[PoseAt, ...]:
    """Pose of every tightest moment; what knuckle or strut carries is judged once, at rest."""
    spots, envelope = found.spots, setting.envelope
    travel = envelope.travel(spots.steer, spots.share, spots.loaded) - envelope.static_travel
    steer = np.degrees(spots.steer)
    return tuple(
        PoseAt(float(travel[index]), float(steer[index]), envelope.load_name(spots.loaded[index]))
        if moving
        else PoseAt(0.0, 0.0)
        for index, moving in enumerate(setting.room.moving)
    )


def _inputs(
    setting: Setting, section: Section, moments: LinearMoments, ledger: Ledger
) -> list[Inputs]:
    blocks = [
        *feature_inputs(setting, moments, ledger),
        *joint_inputs(setting, moments, ledger),
        *hub_path_inputs(setting, moments, ledger),
        *solid_inputs(setting, section, moments, ledger),
        *setting_inputs(setting, section, moments, ledger),
        *compliance_inputs(setting, moments, ledger),
        *_between_cars(setting, moments),
    ]
    return _with_lessons(setting, moments, blocks)


def between_cars_mm(feature: Feature) -> float:
    """How far a spot of the next car of a model lies from that of the last one, 1 sigma, mm."""
    carried = feature.carried_by in (KNUCKLE, STRUT_BODY)
    return defaults.CARRIED_SPREAD_MM if carried else defaults.BODY_SPREAD_MM


def of_spot(
    setting: Setting, moments: LinearMoments, index: int, kind: str, source: str, mm: float
) -> Inputs:
    """One input that changes a single spot's clearance by ``mm`` in all of its moments."""
    rows = np.where(moments.which == index, mm, 0.0)
    return Inputs.single(source, kind, (setting.room.corner, index), rows)


def _between_cars(setting: Setting, moments: LinearMoments) -> list[Inputs]:
    return [
        of_spot(
            setting, moments, index, BETWEEN_CARS, FROM_CAR_TO_CAR, between_cars_mm(course.feature)
        )
        for index, course in enumerate(setting.room.courses)
    ]


def _with_lessons(setting: Setting, moments: LinearMoments, blocks: list[Inputs]) -> list[Inputs]:
    """What earlier jobs taught of a spot stands for its survey's and its cars' uncertainty."""
    for index, course in enumerate(setting.room.courses):
        learned = course.feature.learned
        if learned is None:
            continue
        rows = moments.which == index
        blocks = [
            block.without(rows) if block.kind in (SURVEY, BETWEEN_CARS) else block
            for block in blocks
        ]
        spread = learned.between_cars_mm
        blocks.append(of_spot(setting, moments, index, SURVEY, LEARNED, learned.sigma_mm))
        blocks.append(of_spot(setting, moments, index, BETWEEN_CARS, FROM_CAR_TO_CAR, spread))
    return blocks
