"""What plan and limits leave uncertain: camber, toe, height, the bump stop, the lock.

The moment is held as a share of the envelope (same share of bump, same part of lock), and the
adjusters are solved again. Millimetres and degrees.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import Planned
from common.message import Message, message
from fitment.engine import defaults
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import KNUCKLE
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.first_order_effects import Change, each_held
from fitment.engine.uncertainty.inputs import JOB, Inputs, Ledger
from fitment.engine.uncertainty.moments import LinearMoments

#: Steps of the central differences.
STEP_MM, STEP_DEG = 1.0, 0.05
STEPS = {"planned camber": STEP_DEG, "planned toe": STEP_DEG, "steering lock": STEP_DEG}


def setting_inputs(
    setting: Setting, section: Section, moments: LinearMoments, ledger: Ledger
) -> list[Inputs]:
    """Inputs of the plan and the limits. Raises Unreachable where no change can be followed."""
    sigmas = setting_sigmas(setting, ledger)
    planned = setting.corner.planned
    signed = [(what, sign * STEPS.get(what, STEP_MM)) for what in sigmas for sign in (1.0, -1.0)]
    changes = [_change(planned, what, by) for what, by in signed]
    gaps = [
        None if row is None else row.gaps[0]
        for row in each_held(setting, section, moments.spots, changes)
    ]
    carried = [course.feature.carried_by == KNUCKLE for course in setting.room.courses]
    hangs = ~np.array(carried, bool)[moments.which]  # what the knuckle carries goes with the wheel
    blocks = []
    for index, (what, sigma) in enumerate(sigmas.items()):
        sides = [gap for gap in gaps[2 * index : 2 * index + 2] if gap is not None]
        step = STEPS.get(what, STEP_MM)
        if len(sides) == 2:
            slope = (sides[0] - sides[1]) / (2 * step)
        elif sides:
            sign = 1.0 if gaps[2 * index] is not None else -1.0
            slope = sign * (sides[0] - moments.clearance_mm) / step
        else:
            raise Unreachable(_at_the_end(setting, moments, what))
        mm = np.where(hangs, slope * sigma, 0.0)
        blocks.append(Inputs.single(what, JOB, setting.room.corner, mm))
    return blocks


def setting_sigmas(setting: Setting, ledger: Ledger) -> dict[str, float]:
    """Standard uncertainty of every figure of the plan and the limits that has one."""
    planned, limits = setting.corner.planned, setting.corner.limits
    sigmas: dict[str, float] = {}
    if planned.camber_deg is not None:
        sigmas["planned camber"] = ledger.sigma(planned.sigma_camber_deg, defaults.CAMBER)
    sigmas["planned toe"] = ledger.sigma(planned.sigma_toe_deg, defaults.TOE)
    sigmas["ride height"] = ledger.sigma(planned.sigma_ride_height_mm, defaults.RIDE_HEIGHT)
    if limits.bump_mm is not None:
        sigmas["bump limit"] = ledger.sigma(None, defaults.BUMP_LIMIT)
    if limits.steer_in_deg > 0 or limits.steer_out_deg > 0:
        sigmas["steering lock"] = ledger.sigma(None, defaults.STEER_LIMIT)
    return sigmas


def _at_the_end(setting: Setting, moments: LinearMoments, what: str) -> Message:
    """Why no small change of ``what`` can be followed: the tightest poses are all but the last
    that the linkage can take, in lock where one of them is steered, else in travel."""
    moving = np.flatnonzero(setting.room.moving[moments.which])
    spots, envelope = moments.spots.at(moving), setting.envelope
    steer = np.degrees(spots.steer[np.argmax(np.abs(spots.steer))])
    travel = envelope.travel(spots.steer, spots.share, spots.loaded) - envelope.static_travel
    farthest = travel[np.argmax(np.abs(travel))]
    source = message(f"source.{what}")
    if steer == 0.0:
        return message("stop.no-change-of-travel", travel_mm=float(farthest), source=source)
    return message("stop.no-change-of-lock", steer_deg=float(steer), source=source)


def _change(planned: Planned, what: str, by: float) -> Change:
    """One figure of the plan or the limits changed by ``by`` (mm or degrees)."""
    if what == "planned camber" and planned.camber_deg is not None:
        return Change(replace(planned, camber_deg=planned.camber_deg + by))
    if what == "planned toe":
        return Change(replace(planned, toe_deg=planned.toe_deg + by))
    if what == "ride height":
        height = planned.adjusters.ride_height_mm + by
        adjusters = replace(planned.adjusters, ride_height_mm=height)
        return Change(replace(planned, adjusters=adjusters))
    bump = by if what == "bump limit" else 0.0
    return Change(planned, more_bump_mm=bump, more_lock_deg=by if what == "steering lock" else 0.0)
