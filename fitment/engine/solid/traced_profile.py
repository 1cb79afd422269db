"""A tyre's section as a profile gauge traced it, in the state that is asked about.

(b, r): axial from the wheel's centre plane, radius from the axis; millimetres.
"""

from __future__ import annotations

import numpy as np

from fitment.engine import defaults
from fitment.engine.model import Tyre
from fitment.engine.solid.mounted import Mounted


def profile_as_is(size: Mounted, tyre: Tyre) -> tuple[tuple[float, float], ...]:
    """A traced profile as worn, grown, or the largest allowed: scaled over the bead to its size.

    Never made smaller for a size that the standard allows: what was traced is there.
    """
    change = tyre.growth_mm - tyre.worn_mm
    if not tyre.profile or (change == 0.0 and not tyre.largest_allowed):
        return tyre.profile
    seat = size.rim_radius_mm
    b, radius = np.array(tyre.profile, float).T
    height, wider = radius.max() - seat, 1.0
    crown = height
    if tyre.largest_allowed:
        crown = max(height, size.section_height_mm - change)
        wider = max(1.0, size.section_width_mm / float(np.ptp(b)))
    free = np.clip((radius - seat) / defaults.FLANGE_HEIGHT_MM, 0.0, 1.0)  # the bead stays
    scaled = b * (1.0 + (wider - 1.0) * free), seat + (radius - seat) * (crown + change) / height
    return tuple((float(x), float(y)) for x, y in zip(*scaled, strict=True))
