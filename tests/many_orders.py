"""A shop of many years: customers, each with one car and one order, made in bulk."""

from __future__ import annotations

from random import Random

from django.db import connection

from shop.models import Customer, Vehicle, WorkOrder

_FIRST = [
    "Ane",
    "Bo",
    "Cleo",
    "Dag",
    "Eli",
    "Finn",
    "Gro",
    "Hedda",
    "Ida",
    "Jens",
    "Kari",
    "Lars",
    "Mia",
    "Nils",
    "Oda",
    "Per",
    "Runa",
    "Siv",
]
_LAST = [
    "Ahl",
    "Berg",
    "Dahl",
    "Ekman",
    "Falk",
    "Grahn",
    "Holm",
    "Isdal",
    "Juell",
    "Krog",
    "Lunde",
    "Moe",
    "Nyhus",
    "Ostby",
    "Rud",
]
_CARS = ("grey coupe", "blue estate", "red saloon", "white hatchback", "green van")


def many_orders(count: int, seed: int = 20) -> None:
    """That many orders; the tables are analysed where the database plans by statistics."""
    draw = Random(seed)
    customers = Customer.objects.bulk_create(
        Customer(
            name=f"{draw.choice(_FIRST)} {draw.choice(_LAST)}{draw.choice(_LAST).lower()}",
            phone=f"+43 660 {draw.randrange(10**7):07d}",
            email=f"person{n}@post.example",
        )
        for n in range(count)
    )
    vehicles = Vehicle.objects.bulk_create(
        Vehicle(
            customer=customer,
            description=f"{draw.randrange(1990, 2026)} {draw.choice(_CARS)}",
            plate=f"{draw.choice('ABCDEFG')}{draw.choice('KLMNP')}-{n:05d}",
            vin=f"ZZZDEM{n:011d}",
        )
        for n, customer in enumerate(customers)
    )
    WorkOrder.objects.bulk_create(
        WorkOrder(
            customer=vehicle.customer,
            vehicle=vehicle,
            number=f"W{n:05d}",
            request_text=f"Wants {draw.randrange(19, 32)}5/{draw.randrange(3, 6)}5 R18 behind",
        )
        for n, vehicle in enumerate(vehicles, start=1)
    )
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
