"""Mounting checks in older shapes."""

from __future__ import annotations

from typing import Any

from fitment.models.upgrades.messages import Document, Row, verbatim

#: Codes of the mounting checks by the names that version 1 kept.
RULES_BY_NAME = {
    "Bolt circle and count": "bolt-circle",
    "Centre bore and ring": "centre-bore",
    "Seat of the nuts or bolts": "seat",
    "Thread": "thread",
    "Thread engaged": "engagement",
    "Rim width": "rim-width",
    "Load index": "load-index",
    "Speed symbol": "speed-symbol",
    "Load at top speed": "load-at-speed",
    "Wheel load rating": "wheel-load",
    "Overall diameter": "diameter",
    "Overall diameter, in millimetres": "diameter-mm",
    "Offset": "offset",
    "Track width": "track",
    "Spacers": "spacers",
    "Nuts on their full thread": "full-thread",
    "Front to rear diameter": "diameter-ratio",
    "Brake and spokes": "brakes",
    "Cover of the wheel": "cover",
    "Rear edge of the cover": "rear-edge",
    "Gap to the suspension": "gap-parts",
    "Gap to the body": "gap-body",
    "Gap from lock to lock": "gap-lock",
    "Chains over the tread": "chain-tread",
    "Chains beside the tyre": "chain-side",
    "Ride height": "height",
    "Travel left": "travel-left",
}


def mounting_in_messages(results: list[Row]) -> list[Row]:
    return [
        {
            "rule": RULES_BY_NAME[row["title"]],
            "axle": row["axle"],
            "corner": row["corner"],
            "outcome": row["outcome"],
            "found": verbatim(_filled(row["said"])),
            "asks": verbatim(_filled(row["asks"])),
            "source": row["source"],
            "missing": [verbatim(name) for name in row["missing"]],
        }
        for row in results
    ]


def without_bars(results: list[Row]) -> list[Row]:
    """Version 2 did not tell what cannot be mounted from what a manager may pass."""
    return [{"bars": False, **row} for row in results]


def clearance_by_its_name(facts: Document) -> Document:
    """Version 1 kept the digest of the clearance check as ``room``."""
    return {("clearance" if key == "room" else key): value for key, value in facts.items()}


def _filled(kept: list[Any]) -> str:
    template, values = kept
    return str(template.format(**values))
