"""A camber sweep: caster from camber at two steer angles, and how sure that is.

Camber comes from the rack, steer from turn plates, and both err. The inclination is often not read:
an ordinary one is taken then, with an uncertainty that shows where the two angles differ. Degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from alignment.geometry.readings import accuracy_to_sigma, caster_from_sweep

#: Inclination of a steering axis that was not read, and its standard uncertainty: cars have some 5
#: to 18 degrees; common practice, no source.
USUAL_INCLINATION_DEG, INCLINATION_SIGMA_DEG = 12.0, 4.0
#: Limits of what turn plates show; common practice, no source.
TURN_PLATE_DEG = 0.5
#: How far a wheel is usually turned to either side in a sweep; common practice, no source.
USUAL_SWEEP_DEG = 20.0
#: Steps of the central differences.
STEP_DEG = 0.01


@dataclass(frozen=True)
class CasterSweep:
    """Camber with the wheel turned outward and inward, the steer angles both positive from straight
    ahead, and the inclination where it was read.

    Raises ValueError for a sweep that is too narrow, where caster or its uncertainty is asked for.
    """

    camber_out_deg: float
    camber_in_deg: float
    steer_out_deg: float
    steer_in_deg: float
    inclination_deg: float | None = None

    @property
    def caster_deg(self) -> float:
        """Caster, with the usual inclination where none was read."""
        lean = self.inclination_deg
        return caster_from_sweep(
            self.camber_out_deg,
            self.camber_in_deg,
            self.steer_out_deg,
            self.steer_in_deg,
            USUAL_INCLINATION_DEG if lean is None else lean,
        )

    def sigma_deg(self, camber_sigma_deg: float) -> float:
        """Standard uncertainty of the caster from its two cambers, the turn plates and an
        inclination that was not read; one that was came from a sweep itself."""
        plates = accuracy_to_sigma(TURN_PLATE_DEG)
        sigmas = {
            "camber_out_deg": camber_sigma_deg,
            "camber_in_deg": camber_sigma_deg,
            "steer_out_deg": plates,
            "steer_in_deg": plates,
            "inclination_deg": INCLINATION_SIGMA_DEG
            if self.inclination_deg is None
            else inclination_sigma_deg(camber_sigma_deg),
        }
        return math.hypot(*(self._slope(name) * sigma for name, sigma in sigmas.items()))

    def _slope(self, name: str) -> float:
        """Change of the caster per degree of one of the angles."""
        value = getattr(self, name)
        value = USUAL_INCLINATION_DEG if value is None else value
        ahead, behind = (
            replace(self, **{name: value + step}).caster_deg for step in (STEP_DEG, -STEP_DEG)
        )
        return (ahead - behind) / (2 * STEP_DEG)


def inclination_sigma_deg(camber_sigma_deg: float) -> float:
    """Standard uncertainty of an inclination that a rack shows: the difference of two readings,
    each as sure as a camber, over that of the sines of a usual sweep."""
    return math.sqrt(2.0) * camber_sigma_deg / (2.0 * math.sin(math.radians(USUAL_SWEEP_DEG)))
