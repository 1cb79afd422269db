"""People, cars and parts of the demonstration."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from shop.models import (
    Bay,
    CarModel,
    ClassRecord,
    ClassRule,
    Customer,
    Market,
    Package,
    Planned,
    Role,
    RuleKind,
    ShopSettings,
    User,
    Vehicle,
)
from shop.values.vin import vin_check_digit


def invented_vin(serial: int) -> str:
    """A number that no maker has, with a check digit that is right."""
    blank = f"ZZZDEM000{serial:08d}"
    return f"{blank[:8]}{vin_check_digit(blank)}{blank[9:]}"


def make_shop() -> ShopSettings:
    shop = ShopSettings.load()
    shop.name = "Lindgrove Chassis Works"
    shop.address = "7 Weighbridge Yard\nLindgrove"
    shop.phone = "+00 555 0170"
    shop.email = "desk@lindgrove.example"
    shop.hourly_rate = Decimal("96.00")
    shop.tax_rate = Decimal("20.00")
    shop.quote_days = 30
    shop.quote_terms = (
        "Parts are ordered once the quote is authorised and the deposit has come in. "
        "Mounted tyres cannot be returned."
    )
    shop.save()
    return shop


def make_packages() -> None:
    """What this shop charges for planned work; invented, as all of it."""
    for name, planned, lines in (
        ("Packers, both sides", Planned.PACKER, [("Fit packers, both sides", "0.80", "springs")]),
        ("Arch lips, one axle", Planned.LIPS, [("Roll the arch lips, both sides", "1.50", "lips")]),
        ("Winter wheels on", "", [("Swap the wheels and store the others", "0.50", "")]),
    ):
        package = Package.objects.create(name=name, planned=planned)
        for position, (words, hours, work) in enumerate(lines):
            package.lines.create(
                description=words, quantity=Decimal(hours), work=work, position=position
            )


def make_users(password: str) -> dict[str, User]:
    people = {
        "writer": ("Oda Fenwick", Role.WRITER),
        "technician": ("Tarek Holm", Role.TECHNICIAN),
        "manager": ("Ines Mortlake", Role.MANAGER),
    }
    users = {}
    for username, (name, role) in people.items():
        users[username] = User.objects.create_user(
            username=username, password=password, display_name=name, role=role
        )
    return users


def make_bays() -> dict[str, Bay]:
    return {
        "rack": Bay.objects.create(name="Bay 1", has_rack=True),
        "lift": Bay.objects.create(name="Bay 2"),
        "pit": Bay.objects.create(name="Bay 3"),
    }


def make_customers() -> dict[str, Customer]:
    rows = {
        "ilka": ("Ilka Brandvold", "+00 555 0101", "ilka@post.example"),
        "jonas": ("Jonas Pettigrue", "+00 555 0102", "jonas@post.example"),
        "mara": ("Mara Oyelaran-Voss", "+00 555 0103", ""),
        "dele": ("Dele Sandqvist", "+00 555 0104", "dele@post.example"),
        "ruth": ("Ruth Amberley", "+00 555 0105", ""),
    }
    customers = {
        key: Customer.objects.create(name=name, phone=phone, email=email)
        for key, (name, phone, email) in rows.items()
    }
    customers["mara"].language = "de"
    customers["mara"].save(update_fields=["language"])
    return customers


def make_car_models() -> dict[str, CarModel]:
    coupe = CarModel.objects.create(
        name="Two-door coupé, struts all round",
        notes="The rear arches are close: the lip turns in by about fourteen millimetres.",
        bolt_count=5,
        bolt_circle_mm=Decimal("106.00"),
        centre_bore_mm=Decimal("61.40"),
        thread="M12×1.5",
        wheel_nut_torque_nm=Decimal("115.0"),
        oe_tyre_front="205/50R17",
        oe_tyre_rear="205/50R17",
        steered_notes="front only",
        driven_notes="rear only",
        driven="rear",
        wheel_seat="cone60",
        fastener="stud",
        fastener_length_mm=33.0,
        load_index_front=86,
        load_index_rear=86,
        speed_symbol="V",
        top_speed_kmh=214,
        axle_load_front_kg=840,
        axle_load_rear_kg=865,
        oe_offset_front_mm=46,
        oe_offset_rear_mm=46,
    )
    estate = CarModel.objects.create(
        name="Estate, wishbones in front, five links behind",
        notes="Plenty of clearance on standard wheels; the liner behind the front wheel is what a "
        "wider one meets at full lock.",
        bolt_count=5,
        bolt_circle_mm=Decimal("116.00"),
        centre_bore_mm=Decimal("64.50"),
        thread="M14×1.5",
        wheel_nut_torque_nm=Decimal("135.0"),
        oe_tyre_front="225/45R17",
        oe_tyre_rear="225/45R17",
        steered_notes="front only",
        driven_notes="all four",
        driven="both",
        wheel_seat="ball14",
        fastener="bolt",
        fastener_length_mm=29.0,
        load_index_front=94,
        load_index_rear=94,
        speed_symbol="W",
        top_speed_kmh=222,
        axle_load_front_kg=1065,
        axle_load_rear_kg=1140,
        oe_offset_front_mm=45,
        oe_offset_rear_mm=45,
        has_assistance_sensors=True,
    )
    return {"coupe": coupe, "estate": estate}


def make_vehicles(
    customers: dict[str, Customer], car_models: dict[str, CarModel]
) -> dict[str, Vehicle]:
    rows: dict[str, tuple[str, str, str | None, int, str]] = {
        "story": ("ilka", "2019 estate, green", "estate", 58_300, "7-LIND-204"),
        "coupe_grey": ("jonas", "2015 coupé, grey", "coupe", 98_250, "3-LIND-118"),
        "touring": ("mara", "2018 estate, dark blue", "estate", 74_900, "9-LIND-561"),
        "commuter": ("dele", "2016 estate, silver", "estate", 132_700, "4-LIND-077"),
        "unknown": ("ruth", "2020 light van, white", None, 45_100, "2-LIND-930"),
    }
    vehicles = {}
    for serial, (key, (owner, words, car_model, mileage, plate)) in enumerate(rows.items(), 1):
        vehicles[key] = Vehicle.objects.create(
            customer=customers[owner],
            car_model=car_models[car_model] if car_model else None,
            description=words,
            mileage_km=mileage,
            plate=plate,
            vin=invented_vin(serial),
            market=Market.NORTH_AMERICA if serial == 1 else Market.OTHER,
        )
    return vehicles


def make_class() -> ClassRecord:
    """The class that the story's customer races in, as it stands in the club's rule book."""
    record = ClassRecord.objects.create(
        name="Lindgrove hill runs, estates",
        season="2026",
        source="rule book of the club, section 4",
        dated=dt.date(2026, 1, 15),
        notes="Read with the customer at the desk.",
    )
    rules: tuple[dict[str, Any], ...] = (
        {
            "paragraph": "4.1",
            "wording": "No wheel may lean inboard by more than 1.5°.",
            "kind": RuleKind.CAMBER_MOST,
            "limit": -1.5,
        },
        {
            "paragraph": "4.2",
            "wording": "Rims may be up to 9 in wide.",
            "kind": RuleKind.WHEEL_WIDTH_MOST,
            "limit": 9.0,
        },
        {
            "paragraph": "4.3",
            "wording": "The lip of the arch stands at least 330 mm above the hub.",
            "kind": RuleKind.HEIGHT_LEAST,
            "limit": 330.0,
        },
        {
            "paragraph": "4.4",
            "wording": "Suspension arms are those of the maker.",
            "kind": RuleKind.PART_BARRED,
            "item": "arm",
        },
    )
    for position, rule in enumerate(rules):
        ClassRule.objects.create(record=record, position=position, **rule)
    return record
