"""The demonstration's wheels and tyres: invented makes, and bolt circles that no car has."""

from __future__ import annotations

from typing import Any

from fitment.models import TyreModel, WheelModel

#: From the pad that lies on the hub outwards.
SPOKES_17 = [[0, 40], [0, 74], [14, 80], [20, 150], [30, 180], [26, 195]]
#: Figures of each tyre by the name that the story calls it by.
TYRES: dict[str, dict[str, Any]] = {
    "wide": {
        "name": "Skerry",
        "size": "235/45R17",
        "rim_min_in": 7.5,
        "rim_max_in": 9,
        "section_width_mm": 238,
        "measuring_rim_in": 8,
        "overall_diameter_mm": 643,
        "shoulder": "medium",
        "load_index": "97",
        "speed_symbol": "Y",
        "price": 176,
    },
    "narrow": {
        "name": "Skerry",
        "size": "225/45R17",
        "rim_min_in": 7,
        "rim_max_in": 8.5,
        "section_width_mm": 226,
        "measuring_rim_in": 7.5,
        "overall_diameter_mm": 634,
        "shoulder": "medium",
        "measured": True,
        "load_index": "94",
        "speed_symbol": "Y",
        "price": 162,
    },
    "front": {
        "name": "Skerry",
        "size": "215/45R17",
        "rim_min_in": 7,
        "rim_max_in": 8,
        "section_width_mm": 214,
        "measuring_rim_in": 7,
        "overall_diameter_mm": 626,
        "shoulder": "medium",
        "load_index": "91",
        "speed_symbol": "Y",
        "price": 149,
        "stock": 4,
    },
    "behind": {
        "name": "Skerry",
        "size": "235/40R17",
        "rim_min_in": 8,
        "rim_max_in": 9.5,
        "section_width_mm": 240,
        "measuring_rim_in": 8.5,
        "overall_diameter_mm": 620,
        "shoulder": "medium",
        "measured": True,
        "load_index": "90",
        "speed_symbol": "Y",
        "price": 168,
    },
    "estate": {
        "name": "Ambler",
        "size": "225/45R17",
        "rim_min_in": 7,
        "rim_max_in": 8.5,
        "section_width_mm": 225,
        "measuring_rim_in": 7.5,
        "overall_diameter_mm": 634,
        "load_index": "94",
        "speed_symbol": "W",
        "price": 132,
    },
    "by_size": {"name": "Fallow", "size": "225/50R17", "load_index": "98", "price": 109},
}


def make_wheels() -> dict[str, WheelModel]:
    """The catalogue of wheels, by the name that the story calls them by."""
    made = {"maker": "Hollin", "diameter_in": 17, "barrel_mm": 12, "spoke_back": SPOKES_17}
    coupe = {"bolt_count": 5, "bolt_circle_mm": 106, "centre_bore_mm": 67.1, "seat": "cone60"}
    estate = {"bolt_count": 5, "bolt_circle_mm": 116, "centre_bore_mm": 67.1, "seat": "ball14"}
    light, strong = {"pad_mm": 13, "load_rating_kg": 590}, {"pad_mm": 12, "load_rating_kg": 690}
    return {
        "wide": WheelModel.objects.create(
            name="Sixfold", width_in=8.5, offset_mm=42, price=274, **made, **estate, **strong
        ),
        "front": WheelModel.objects.create(
            name="Sixfold", width_in=7.5, offset_mm=46, price=248, **made, **coupe, **light
        ),
        "deep": WheelModel.objects.create(
            name="Sixfold deep", width_in=8.5, offset_mm=23, price=281, **made, **coupe, **light
        ),
        "estate": WheelModel.objects.create(
            name="Original ten-spoke",
            diameter_in=17,
            width_in=7.5,
            offset_mm=45,
            barrel_mm=12,
            spoke_back=SPOKES_17,
            bolt_count=5,
            bolt_circle_mm=116,
            centre_bore_mm=64.5,
            seat="ball14",
            pad_mm=12,
            load_rating_kg=690,
        ),
        "wider": WheelModel.objects.create(
            maker="Hollin",
            name="Longline",
            diameter_in=17,
            width_in=8,
            offset_mm=35,
            barrel_mm=12,
            spoke_back=SPOKES_17,
            bolt_count=5,
            bolt_circle_mm=116,
            centre_bore_mm=64.5,
            seat="ball14",
            pad_mm=12,
            load_rating_kg=690,
            price=214,
        ),
        "brought": WheelModel.objects.create(
            name="Customer's own", diameter_in=17, width_in=8, offset_mm=35
        ),
    }


def make_tyres() -> dict[str, TyreModel]:
    """The catalogue of tyres, by the name that the story calls them by."""
    return {
        key: TyreModel.objects.create(maker="Marrable", **values) for key, values in TYRES.items()
    }
