"""The demonstration's fitment tables, measured tyres, and the law that its shop follows.

The story order's table promises a fit: the order meets every condition, and the geometry of the
car says that it rubs. A second table has a newer revision, and an order that relied on the older.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.utils import timezone

from fitment.catalogue.tyre_pools import measurement_add
from fitment.models import Guide, GuideRow
from fitment.mounting.guide_records import guide_rely, guide_revise
from fitment.mounting.law import law_take_over

Stage = dict[str, Any]

#: What the shop's callipers and tape read on three tourers, on 7.5 in rims: width and diameter.
TOURERS_MEASURED = ((228.6, 632.4), (229.8, 633.0), (228.2, 632.1))
#: The outboard half of the first one's section, by a profile gauge: axial and radius from the bead
#: to the crown. The other half is its mirror image.
HALF_TRACED = (
    (95.0, 222.0),
    (104.0, 232.0),
    (111.5, 247.0),
    (114.3, 265.0),
    (113.2, 280.0),
    (108.6, 295.0),
    (103.0, 303.0),
    (96.0, 308.0),
    (84.0, 311.6),
    (60.0, 314.2),
    (30.0, 315.7),
)
TRACED = [*map(list, HALF_TRACED), [0.0, 316.2], *([-b, r] for b, r in reversed(HALF_TRACED))]


def measure(stage: Stage) -> None:
    """Three tyres of one make, wider than they say, one traced; before any check is made."""
    for days, (width, diameter) in enumerate(TOURERS_MEASURED, start=1):
        _, tyre = measurement_add(
            tyre=stage["tyres"]["estate"],
            by=stage["users"]["technician"],
            values={
                "rim_in": 7.5,
                "width_mm": width,
                "diameter_mm": diameter,
                "profile": TRACED if days == 1 else [],
                "measured_on": timezone.localdate() - dt.timedelta(days=40 * days),
                "note": "new, cold, 2.4 bar",
            },
        )
        stage["tyres"]["estate"] = tyre


def law(stage: Stage) -> None:
    """The rules of two documents, as an example of how they stand on the page."""
    law_take_over(preset="eu-cover")
    law_take_over(preset="at-gaps")


def tables(stage: Stage) -> None:
    """The table that says yes, and the one that has been revised."""
    estate = stage["car_models"]["estate"]
    stage["guides"] = {
        "promising": Guide.objects.create(
            car_model=estate,
            maker="Hollin",
            title="Sixfold on the estate",
            source="Fitment list of the wheel's maker, page 12",
            revision="4",
            dated=dt.date(2026, 3, 2),
        )
    }
    GuideRow.objects.create(
        guide=stage["guides"]["promising"],
        axle="front",
        wheel_width_in=8.5,
        wheel_diameter_in=17,
        offset_min_mm=40,
        offset_max_mm=48,
        tyre_size="235/45R17",
        spacer_max_mm=15,
        camber_deg=-1.7,
    )
    GuideRow.objects.create(
        guide=stage["guides"]["promising"],
        axle="rear",
        wheel_width_in=8.5,
        wheel_diameter_in=17,
        offset_min_mm=40,
        offset_max_mm=48,
        tyre_size="235/45R17",
        spacer_max_mm=5,
        position=1,
    )
    older = Guide.objects.create(
        car_model=estate,
        maker="Marrable",
        title="Tyres for the estate",
        source="Tyre maker's list, read in print",
        revision="2025-2",
        dated=dt.date(2025, 9, 1),
    )
    row = GuideRow.objects.create(
        guide=older, axle="rear", tyre_size="225/45R17", camber_deg=-1.0, position=0
    )
    guide_rely(order=stage["orders"]["waiting"], row=row, by=stage["users"]["writer"])
    newer = guide_revise(
        guide=older,
        values={
            "revision": "2026-1",
            "dated": dt.date(2026, 10, 12),
            "source": older.source,
            "notes": "The rear asks for more camber since this revision.",
        },
    )
    newer.rows.update(camber_deg=-1.7)
    stage["guides"]["revised"] = newer
