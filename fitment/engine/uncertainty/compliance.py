"""How a corner gives under side load where that was not measured.

A corner can be judged with the compliance of a kind of bushes instead of its own. There are three
kinds, each a guess with a wide uncertainty, which widens the uncertainty of what is tightest under
load. Figures are per g of side load, for the wheel on the outside of a bend. Millimetres, degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from alignment.geometry import frames
from alignment.geometry.model import Compliance
from fitment.engine.defaults import DefaultSigma
from fitment.engine.uncertainty.inputs import JOB, Inputs, Ledger

if TYPE_CHECKING:
    from fitment.engine.minimum.setting import Setting
    from fitment.engine.uncertainty.moments import Moments

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
        Compliance(0.5, 0.0, 1.5, RUBBER),
        Compliance(0.25, 0.1, 0.75),
        "typical of rubber bushes in good order, from memory, no source",
    ),
    WORN: BushKind(
        "worn rubber bushes",
        Compliance(0.9, 0.0, 3.0, WORN),
        Compliance(0.45, 0.2, 1.5),
        "about twice that of good rubber, judgement, no source",
    ),
    SOLID: BushKind(
        "solid bushes or ball joints",
        Compliance(0.2, 0.0, 0.5, SOLID),
        Compliance(0.1, 0.05, 0.4),
        "bearing, knuckle and wheel still give, judgement, no source",
    ),
}


def assumed_sigmas(kind: str) -> tuple[DefaultSigma, DefaultSigma, DefaultSigma]:
    """Standard uncertainties per g of an assumed compliance, each with what was taken: camber, toe,
    and how far the hub goes inboard."""
    give = COMPLIANCES[kind]
    return (
        DefaultSigma(
            f"camber under side load {_plus(give.mean.camber_deg_per_g)} °/g",
            give.sigma.camber_deg_per_g,
            "°/g",
            give.reason,
        ),
        DefaultSigma(
            f"toe under side load {_plus(give.mean.toe_deg_per_g)} °/g",
            give.sigma.toe_deg_per_g,
            "°/g",
            f"{give.reason}; which way it goes differs from car to car",
        ),
        DefaultSigma(
            f"hub inboard under side load {_plus(give.mean.lateral_mm_per_g)} mm/g",
            give.sigma.lateral_mm_per_g,
            "mm/g",
            give.reason,
        ),
    )


def _plus(value: float) -> str:
    return f"{value:+g}" if value else "0"


def compliance_inputs(setting: Setting, moments: Moments, ledger: Ledger) -> list[Inputs]:
    """What an assumed compliance leaves uncertain of the moments under load.

    Nothing where it was measured, or where no pose of the duty is loaded.
    """
    compliance = setting.corner.compliance
    if compliance is None or not compliance.assumed or setting.envelope.elastic is None:
        return []
    loaded = moments.spots.loaded & setting.room.moving[moments.which]
    camber_g, toe_g, lateral_g = (
        ledger.sigma(None, default) * setting.duty.lateral_g * loaded
        for default in assumed_sigmas(compliance.assumed)
    )
    camber, toe = frames.camber_of(moments.spin), frames.toe_of(moments.spin)
    by_camber, by_toe = moments.tilt(camber, toe)
    kind = compliance.assumed
    return [
        Inputs.single("camber under side load", JOB, kind, np.radians(by_camber) * camber_g),
        Inputs.single("toe under side load", JOB, kind, np.radians(by_toe) * toe_g),
        Inputs.single("hub inboard under side load", JOB, kind, moments.push[:, 1] * lateral_g),
    ]
