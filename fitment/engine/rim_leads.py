"""Where the rim, not the tyre, is what is near, so that a narrower tyre gains next to nothing.

Told of spots that something has to be done about. A tyre narrower by NARROWER_MM is held against
the spot at its tightest moment; what it gains there is the most that it can gain, for its own
tightest moment may be another. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from common.message import Message, message
from common.verdicts import Verdict
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import SpotAnswer
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import Section, section_of
from fitment.engine.uncertainty.first_order_effects import resized

#: By how much narrower a tyre is tried, and the share of half of it that it gains at most where the
#: rim is said to lead.
NARROWER_MM, LEADS_SHARE = 10.0, 0.4


def rim_leads(
    setting: Setting, section: Section, spots: Sequence[SpotAnswer]
) -> tuple[Message, ...]:
    """What a narrower tyre would gain at spots where the rim's flange is next, spot by spot."""
    return tuple(_told(setting, section, spots))


def _told(setting: Setting, section: Section, spots: Sequence[SpotAnswer]) -> Iterator[Message]:
    asking = [s for s in spots if s.is_measured and s.verdict != Verdict.CLEAR]
    nearest = np.array([s.nearest_mm for s in asking]).reshape(-1, 2)
    inside = section.is_inside_wheel(*nearest.T)
    beside = [s for s, within in zip(asking, inside, strict=True) if not within]
    if not beside:
        return
    corner = setting.corner
    changed = resized(corner.wheel, corner.tyre, section, "section width", -NARROWER_MM)
    try:
        narrower = section_of(*changed)
    except BadSection:
        return
    axial, radius = nearest[~inside].T
    gained = narrower.distance(axial, radius) - section.distance(axial, radius)
    _, on_tyre = narrower.nearest(axial, radius)
    leads = ~on_tyre & (gained < LEADS_SHARE * NARROWER_MM / 2)
    for index in np.flatnonzero(leads):
        yield message(
            "note.rim-leads",
            spot=beside[index].place,
            less_mm=NARROWER_MM,
            gain_mm=max(0.0, float(gained[index])),
        )
