"""The invented shop of the demonstration: people, cars, parts and orders in every state.

``build(stage)`` puts all that the other apps need into ``stage`` by name: ``users``, ``bays``,
``customers``, ``car_models``, ``vehicles``, ``parts`` and ``orders``. Rows in later states are put
there directly, with the log that they would have.
"""

from __future__ import annotations

from shop.demo import orders, parts, records
from shop.demo.orders import Stage


def build(stage: Stage) -> None:
    """Fill an empty site; see the module for what ``stage`` holds afterwards."""
    records.make_shop()
    records.make_packages()
    stage["users"] = records.make_users(stage["password"])
    stage["bays"] = records.make_bays()
    stage["customers"] = records.make_customers()
    stage["car_models"] = records.make_car_models()
    stage["vehicles"] = records.make_vehicles(stage["customers"], stage["car_models"])
    stage["parts"] = parts.make_parts()
    stage["suppliers"] = parts.make_suppliers()
    stage["class"] = records.make_class()
    stage["orders"] = {}
    orders.story(stage)
    orders.handed_over(stage)
    orders.comeback(stage)
    orders.unmeasured(stage)
    orders.survey_visit(stage)
    orders.waiting_for_parts(stage)
    orders.on_the_lift(stage)
    orders.brakes(stage)
