"""Parts of the invented shop: what they set, how a hand sets them, and what they cost."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from shop.models import Part, Supplier

#: Parts that move a wheel, by the name that the story calls them by.
PARTS: dict[str, dict[str, Any]] = {
    "top_mount": {
        "number": "TM-12",
        "name": "Camber top mount",
        "kind": "top mount",
        "price": Decimal("265.00"),
        "axle": "front",
        "adjuster": "top_mount_in_mm",
        "reach_min": 0,
        "reach_max": 12,
        "mark_size": 3,
        "torque_nm": Decimal("47.0"),
        "lead": "four working days",
    },
    "shim": {
        "number": "SH-18",
        "name": "Lower-arm shim kit",
        "kind": "shim",
        "price": Decimal("38.00"),
        "axle": "front",
        "adjuster": "lower_arm_out_mm",
        "reach_min": 0,
        "reach_max": 18,
        "shim_mm": 1,
        "torque_nm": Decimal("95.0"),
        "caution": "Count the turns of the bolt behind the shims.",
        "lead": "on the shelf",
    },
    "toe_link": {
        "number": "TL-40",
        "name": "Rear toe link",
        "kind": "toe link",
        "price": Decimal("148.00"),
        "axle": "rear",
        "adjuster": "rod:toe link",
        "reach_min": -15,
        "reach_max": 15,
        "thread_pitch_mm": 1.5,
        "threads": 2,
        "torque_nm": Decimal("82.0"),
        "caution": "Fix the standard adjuster in its middle before these are fitted.",
        "lead": "one week",
    },
    "rear_link": {
        "number": "TL-36",
        "name": "Rear toe link for struts",
        "kind": "toe link",
        "price": Decimal("139.00"),
        "axle": "rear",
        "adjuster": "toe_link_mm",
        "reach_min": -12,
        "reach_max": 12,
        "thread_pitch_mm": 1.5,
        "threads": 2,
        "torque_nm": Decimal("82.0"),
        "caution": "Fix the standard adjuster in its middle before these are fitted.",
        "lead": "one week",
    },
    "arm_shim": {
        "number": "SH-05",
        "name": "Lower-arm shim set, 1 mm",
        "kind": "shim",
        "price": Decimal("24.00"),
        "axle": "front",
        "adjuster": "lower_arm_out_mm",
        "reach_min": 0,
        "reach_max": 9,
        "shim_mm": 1,
        "torque_nm": Decimal("88.0"),
        "lead": "on the shelf",
    },
    "upper_arm": {
        "number": "UA-20",
        "name": "Upper arm with slots",
        "kind": "arm",
        "price": Decimal("186.00"),
        "axle": "front",
        "adjuster": "upper_arm_in_mm",
        "reach_min": -8,
        "reach_max": 8,
        "mark_size": 2,
        "torque_nm": Decimal("76.0"),
        "lead": "three working days",
    },
    "tie_rod": {
        "number": "TR-14",
        "name": "Tie rod end",
        "kind": "toe link",
        "price": Decimal("52.00"),
        "axle": "front",
        "adjuster": "toe_link_mm",
        "reach_min": -12,
        "reach_max": 12,
        "thread_pitch_mm": 1.5,
        "threads": 1,
        "torque_nm": Decimal("54.0"),
        "lead": "on the shelf",
    },
    "coilover": {
        "number": "CO-31",
        "name": "Coilover set",
        "kind": "coilover",
        "price": Decimal("1480.00"),
        "axle": "any",
        "adjuster": "ride_height_mm",
        "reach_min": -45,
        "reach_max": 0,
        "bump_mm": 62,
        "droop_mm": 58,
        "height_by": "seat",
        "torque_nm": Decimal("62.0"),
        "lead": "two weeks",
    },
    "camber_arm": {
        "number": "CA-22",
        "name": "Rear upper arm, adjustable",
        "kind": "arm",
        "price": Decimal("164.00"),
        "axle": "rear",
        "adjuster": "rod:upper rear",
        "reach_min": -14,
        "reach_max": 14,
        "thread_pitch_mm": 1.5,
        "threads": 2,
        "torque_nm": Decimal("84.0"),
        "caution": "Leave at least fifteen millimetres of thread in each end.",
        "lead": "one week",
    },
    "spacer_15": {
        "number": "SP-15",
        "name": "Wheel spacer, 15 mm",
        "kind": "spacer",
        "price": Decimal("44.00"),
        "axle": "any",
        "lead": "on the shelf",
    },
    "spacer": {
        "number": "SP-05",
        "name": "Wheel spacer, 5 mm",
        "kind": "spacer",
        "price": Decimal("29.00"),
        "axle": "any",
        "lead": "on the shelf",
    },
}


#: The German of parts' names and cautions, for customers who read it.
GERMAN = {
    "Camber top mount": "Sturzdomlager",
    "Lower-arm shim kit": "Beilagensatz für den unteren Lenker",
    "Rear toe link": "Spurstange hinten",
    "Rear toe link for struts": "Spurstange hinten für Federbeine",
    "Lower-arm shim set, 1 mm": "Beilagensatz für den unteren Lenker, 1 mm",
    "Upper arm with slots": "Oberer Lenker mit Langlöchern",
    "Tie rod end": "Spurstangenkopf",
    "Coilover set": "Gewindefahrwerk",
    "Wheel spacer, 5 mm": "Distanzscheibe, 5 mm",
    "Wheel spacer, 15 mm": "Distanzscheibe, 15 mm",
    "Rear upper arm, adjustable": "Oberer Lenker hinten, einstellbar",
    "Leave at least fifteen millimetres of thread in each end.": (
        "Lassen Sie an jedem Ende mindestens fünfzehn Millimeter Gewinde eingeschraubt."
    ),
    "Brake pad set": "Bremsbelagsatz",
    "Count the turns of the bolt behind the shims.": (
        "Zählen Sie die Umdrehungen der Schraube hinter den Beilagen."
    ),
    "Fix the standard adjuster in its middle before these are fitted.": (
        "Stellen Sie den serienmäßigen Versteller vorher in die Mitte und setzen Sie ihn fest."
    ),
}


def make_parts() -> dict[str, Part]:
    """The catalogue of parts, by the name that the story calls them by."""
    parts = {
        key: Part.objects.create(maker="Northmere", moves_wheel=True, **values)
        for key, values in PARTS.items()
    }
    parts["pads"] = Part.objects.create(
        number="BP-07",
        name="Brake pad set",
        maker="Calder & Rowe",
        kind="brake",
        price=Decimal("74.00"),
        axle="front",
        torque_nm=Decimal("35.0"),
        lead="on the shelf",
    )
    for part in parts.values():
        part.set_text("de", "name", GERMAN[part.name])
        part.set_text("de", "caution", GERMAN.get(part.caution, ""))
        part.save(update_fields=["texts"])
    return parts


def make_suppliers() -> dict[str, Supplier]:
    """Two invented suppliers."""
    rows = {
        "north": ("Northgate Chassis Parts", "+44 1632 960118", "AR-207"),
        "yard": ("Parts at the Old Yard", "+44 1632 960175", "58813"),
    }
    return {
        key: Supplier.objects.create(name=name, phone=phone, customer_number=number)
        for key, (name, phone, number) in rows.items()
    }
