"""Parts of the catalogue that would give the reach that the parts on a car do not have."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from common.corners import axle_of
from fitment.engine.model import OutOfReach
from fitment.job.car import has_adjuster, toe_link_or
from shop.models import Part, PartAxle


def parts_that_reach(
    short: OutOfReach, corner: str, suspension: Mapping[str, Any], parts: Iterable[Part]
) -> list[Part]:
    """Those of ``parts`` that set this adjuster at this corner, and far enough; the cheapest first.

    ``suspension`` is that of a check file's corner.
    """
    here = (axle_of(corner), str(PartAxle.ANY))
    found = [
        part
        for part in parts
        if part.adjuster
        and part.reach_min is not None
        and part.reach_max is not None
        and part.axle in here
        and has_adjuster(suspension, part.adjuster)
        and toe_link_or(suspension, part.adjuster) == short.adjuster
        and part.reach_min <= short.needed <= part.reach_max
    ]
    return sorted(found, key=lambda part: (part.price is None, part.price or 0, part.pk))
