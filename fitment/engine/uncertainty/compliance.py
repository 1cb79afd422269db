"""How a corner gives under load where that was not measured.

A corner can be judged with the compliance of a kind of bushes instead of its own. There are three
kinds, each a guess with a wide uncertainty, which widens the uncertainty of what is tightest under
load. Figures are per g, of side load for the wheel on the outside of a bend, and of braking.
Millimetres, degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from alignment.geometry import frames
from alignment.geometry.model import Compliance
from fitment.engine import defaults
from fitment.engine.defaults import DefaultSigma
from fitment.engine.model import BRAKING, OUTSIDE
from fitment.engine.uncertainty.inputs import JOB, Inputs, Ledger

if TYPE_CHECKING:
    from fitment.engine.minimum.setting import Setting
    from fitment.engine.uncertainty.moments import LinearMoments

RUBBER, WORN, SOLID = "rubber", "worn", "solid"


@dataclass(frozen=True)
class BushKind:
    """A kind of bushes: its words, what it gives per g, and how uncertain that is per g."""

    words: str
    mean: Compliance
    sigma: Compliance
    reason: str


#: Typical figures of road cars from memory, without a source; half of each is its uncertainty
#: or more. Which way toe goes differs from car to car, so none is taken, uncertain both ways.
COMPLIANCES: dict[str, BushKind] = {
    RUBBER: BushKind(
        "rubber bushes in good order",
        Compliance(0.5, 0.0, 1.5, RUBBER, 4.0),
        Compliance(0.25, 0.1, 0.75, "", 2.0),
        "typical of rubber bushes in good order, from memory, no source",
    ),
    WORN: BushKind(
        "worn rubber bushes",
        Compliance(0.9, 0.0, 3.0, WORN, 7.0),
        Compliance(0.45, 0.2, 1.5, "", 3.5),
        "about twice that of good rubber, judgement, no source",
    ),
    SOLID: BushKind(
        "solid bushes or ball joints",
        Compliance(0.2, 0.0, 0.5, SOLID, 1.0),
        Compliance(0.1, 0.05, 0.4, "", 0.8),
        "bearing, knuckle and wheel still give, judgement, no source",
    ),
}


@dataclass(frozen=True)
class AssumedGive:
    """Standard uncertainties per g of an assumed give, each saying what was taken: camber, toe,
    and how far the hub goes inboard and to the rear."""

    camber: DefaultSigma
    toe: DefaultSigma
    inboard: DefaultSigma
    rearward: DefaultSigma


def assumed_sigmas(kind: str) -> AssumedGive:
    """What is assumed of a kind of bushes, with its uncertainty."""
    give = COMPLIANCES[kind]

    def taken(what: str, name: str, unit: str, more: str = "") -> DefaultSigma:
        mean, sigma = (getattr(one, name) for one in (give.mean, give.sigma))
        return DefaultSigma(f"{what} {_plus(mean)} {unit}", sigma, unit, f"{give.reason}{more}")

    way = "; which way it goes differs from car to car"
    return AssumedGive(
        taken("camber under side load", "camber_deg_per_g", "°/g"),
        taken("toe under side load", "toe_deg_per_g", "°/g", way),
        taken("hub inboard under side load", "lateral_mm_per_g", "mm/g"),
        taken("hub to the rear under braking", "aft_mm_per_g", "mm/g"),
    )


def _plus(value: float) -> str:
    return f"{value:+g}" if value else "0"


def compliance_inputs(setting: Setting, moments: LinearMoments, ledger: Ledger) -> list[Inputs]:
    """What an assumed compliance leaves uncertain of the moments under load.

    Nothing where it was measured, or where no pose of the duty is loaded.
    """
    compliance = setting.corner.compliance
    if compliance is None or not compliance.assumed:
        return []
    envelope, kind = setting.envelope, compliance.assumed
    loaded = moments.spots.loaded * setting.room.moving[moments.which]
    by_side, braked = np.zeros(len(loaded)), np.zeros(len(loaded))
    for number, load in enumerate(envelope.loads, start=1):
        rows = loaded == number
        if load.name == BRAKING:
            braked[rows] = setting.duty.longitudinal_g
        else:
            share = 1.0 if load.name == OUTSIDE else -defaults.INNER_WHEEL_SHARE
            by_side[rows] = share * setting.duty.lateral_g
    names = {load.name for load in envelope.loads}
    give = assumed_sigmas(kind)
    inputs = []
    if OUTSIDE in names:
        camber_g, toe_g, lateral_g = (
            ledger.sigma(None, default) * by_side
            for default in (give.camber, give.toe, give.inboard)
        )
        camber, toe = frames.camber_of(moments.spin), frames.toe_of(moments.spin)
        by_camber, by_toe = moments.tilt(camber, toe)
        inputs += [
            Inputs.single("camber under side load", JOB, kind, np.radians(by_camber) * camber_g),
            Inputs.single("toe under side load", JOB, kind, np.radians(by_toe) * toe_g),
            Inputs.single("hub inboard under side load", JOB, kind, moments.push[:, 1] * lateral_g),
        ]
    if BRAKING in names:
        rearward_g = ledger.sigma(None, give.rearward) * braked
        mm = moments.push[:, 0] * rearward_g
        inputs.append(Inputs.single("hub to the rear under braking", JOB, kind, mm))
    return inputs
