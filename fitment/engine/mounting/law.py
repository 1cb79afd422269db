"""What a law or a practice asks of wheels on a car: figures, each with the document it is from.

No rule here holds everywhere. A shop takes over the figures of the documents that bind it, or
writes its own, and every answer names the source of the figure that it used. Lengths in
millimetres, angles in degrees; angles of an arc are counted from straight up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

TOTAL_WIDTH, TREAD_WIDTH = 1.0, 2.0
"""Values of ``cover_of``: what of the tyre has to be covered."""


@dataclass(frozen=True)
class Figure:
    """One figure and the document, or the habit, that sets it."""

    value: float
    source: str


Law = Mapping[str, Figure]


@dataclass(frozen=True)
class Asked:
    """What a figure limits: its words, its unit, and the values that make sense."""

    words: str
    unit: str
    low: float
    high: float
    group: str


COVER, GAPS, CHANGES, FASTENING = "Cover of the wheel", "Gaps", "Changes", "Fastening"

FIGURES_ASKED: dict[str, Asked] = {
    "cover_ahead_deg": Asked("Cover from so far ahead of straight up", "°", 0, 90, COVER),
    "cover_behind_deg": Asked("Cover to so far behind straight up", "°", 0, 90, COVER),
    "cover_of": Asked("What is covered", "", 1, 2, COVER),
    "cover_rear_edge_mm": Asked(
        "Rear edge of the cover no higher above the axle than", "mm", 0, 500, COVER
    ),
    "lip_turn_mm": Asked(
        "The visible edge of a lip lies outboard of the surveyed one by up to", "mm", 0, 40, COVER
    ),
    "gap_parts_mm": Asked("Gap to parts of the suspension at least", "mm", 0, 100, GAPS),
    "gap_body_mm": Asked("Gap to the body at least", "mm", 0, 100, GAPS),
    "gap_lock_mm": Asked("Gap to everything, lock to lock, at least", "mm", 0, 100, GAPS),
    "chain_tread_mm": Asked("Clearance for chains over the tread", "mm", 0, 150, GAPS),
    "chain_side_mm": Asked("Clearance for chains beside the tyre", "mm", 0, 150, GAPS),
    "caliper_mm": Asked("Gap from brake to wheel at least", "mm", 0, 30, GAPS),
    "offset_less_mm": Asked("Offset smaller than the original by at most", "mm", 0, 100, CHANGES),
    "track_more_mm": Asked("Track wider than the original by at most", "mm", 0, 200, CHANGES),
    "diameter_mm": Asked("Tyre diameter off the original by at most", "mm", 0, 200, CHANGES),
    "diameter_percent": Asked("Tyre diameter off the original by at most", "%", 0, 20, CHANGES),
    "ratio_percent": Asked(
        "Front to rear diameter off the original ratio by at most", "%", 0, 10, CHANGES
    ),
    "height_mm": Asked("Ride height changed by at most", "mm", 0, 200, CHANGES),
    "height_share": Asked("Travel taken by the change, as a share, at most", "", 0, 1, CHANGES),
    "spacers": Asked("Spacers", "", 0, 1, CHANGES),
    "engagement": Asked("Engaged thread, in bolt diameters, at least", "", 0, 3, FASTENING),
    "full_thread": Asked("Nuts on their full thread", "", 0, 1, FASTENING),
}

CHOICES: dict[str, dict[float, str]] = {
    "cover_of": {TOTAL_WIDTH: "the whole tyre width", TREAD_WIDTH: "the tread"},
    "spacers": {0.0: "none but the car's own", 1.0: "allowed"},
    "full_thread": {0.0: "not asked", 1.0: "asked"},
}
"""Figures that stand for a choice, with their words."""

PRACTICE = "common practice, no source"

USUAL: Law = {
    "engagement": Figure(1.0, PRACTICE),
    "diameter_percent": Figure(3.0, PRACTICE),
    "ratio_percent": Figure(1.0, PRACTICE),
    "caliper_mm": Figure(3.0, f"{PRACTICE}; with new pads"),
    "lip_turn_mm": Figure(10.0, f"{PRACTICE}; lips turn in by 8 to 25 mm"),
}
"""Habits of the trade that stand where a shop has written nothing."""


@dataclass(frozen=True)
class Preset:
    """The figures of one document. ``note`` says where and how far it binds."""

    name: str
    note: str
    figures: Mapping[str, float]

    def law(self) -> dict[str, Figure]:
        """The figures, each with this document as its source."""
        return {key: Figure(value, self.name) for key, value in self.figures.items()}


PRESETS: dict[str, Preset] = {
    "eu-cover": Preset(
        "Commission Regulation (EU) 1009/2010, Annex II, 2.1.1",
        "Type approval of wheel guards in the European Union; since replaced. The whole tyre width "
        "is covered from 30° ahead of to 50° behind straight up.",
        {
            "cover_ahead_deg": 30.0,
            "cover_behind_deg": 50.0,
            "cover_of": TOTAL_WIDTH,
            "cover_rear_edge_mm": 150.0,
        },
    ),
    "de-cover": Preset(
        "German national rule on wheel covers",
        "Germany, for cars without the European approval: the tread is covered over the upper "
        "half of the wheel.",
        {"cover_ahead_deg": 90.0, "cover_behind_deg": 90.0, "cover_of": TREAD_WIDTH},
    ),
    "at-gaps": Preset(
        "Austrian inspection guidance",
        "Austria: empty and at the axle limits, at full lock both ways and with one wheel on a "
        "250 mm ramp.",
        {"gap_parts_mm": 5.0, "gap_body_mm": 10.0},
    ),
    "bc-gaps": Preset(
        "British Columbia vehicle inspection manual",
        "British Columbia: rejected below this gap, lock to lock.",
        {"gap_lock_mm": 25.0},
    ),
    "chains-s": Preset(
        "SAE J1232, class S",
        "Clearance for tyre chains of the smallest class.",
        {"chain_tread_mm": 37.0, "chain_side_mm": 15.0},
    ),
    "chains-u": Preset(
        "SAE J1232, class U",
        "Clearance for tyre chains of the middle class.",
        {"chain_tread_mm": 50.0, "chain_side_mm": 23.0},
    ),
    "chains-w": Preset(
        "SAE J1232, class W",
        "Clearance for tyre chains of the largest class.",
        {"chain_tread_mm": 64.0, "chain_side_mm": 38.0},
    ),
    "sa-changes": Preset(
        "South Australia, light vehicle modification rules",
        "South Australia: changes of wheels and travel that need no approval.",
        {
            "offset_less_mm": 13.0,
            "track_more_mm": 26.0,
            "diameter_mm": 15.0,
            "height_share": 1.0 / 3.0,
            "spacers": 0.0,
            "full_thread": 1.0,
        },
    ),
    "vsb14-height": Preset(
        "VSB 14, national code of practice",
        "Australia: changes of ride height that need no certificate.",
        {"height_mm": 50.0, "height_share": 1.0 / 3.0},
    ),
}


def with_usual(law: Law) -> dict[str, Figure]:
    """A shop's law, with the habits of the trade where it has written nothing."""
    return {**USUAL, **law}
