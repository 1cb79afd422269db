"""The rules on imports find what they are meant to find, and leave alone what is allowed."""

import pytest
from grimp import ImportGraph

from tests.import_contracts import Doors, Floors

APPS = {
    "apps": ["shop", "fitment"],
    "shared": ["models", "site"],
    "composers": ["urls", "demo"],
}
DOORS = Doors("doors", {}, {**APPS, "doors": ["data", "services"]})
FLOORS = Floors("floors", {}, {**APPS, "floors": ["views", "page panels", "forms", "*", "data"]})


def broken(contract, importer: str, imported: str) -> list[tuple[str, str]]:
    graph = ImportGraph()
    graph.add_import(importer=importer, imported=imported)
    check = contract.check(graph, verbose=False)
    assert check.kept is not bool(check.metadata["broken"])
    return check.metadata["broken"]


@pytest.mark.parametrize(
    ("importer", "imported"),
    [
        ("fitment.clearance.services", "fitment.mounting.services"),
        ("fitment.clearance.services", "fitment.mounting.services.record"),
        ("fitment.clearance.services", "fitment.mounting.data"),
        ("fitment.clearance.services", "fitment.clearance.page"),
        ("fitment.clearance.services", "fitment.models.checks"),
        ("fitment.clearance.services", "shop.orders.services.log"),
        ("fitment.clearance.services", "numpy"),
        ("fitment.demo.build", "fitment.clearance.services"),
        ("fitment.urls", "fitment.clearance.views"),
        ("shop.site.middleware", "shop.orders.page"),
    ],
)
def test_what_is_a_door_or_no_capability_is_free(importer: str, imported: str) -> None:
    assert broken(DOORS, importer, imported) == []


@pytest.mark.parametrize(
    ("importer", "imported"),
    [
        ("fitment.clearance.services", "fitment.mounting.page"),
        ("fitment.clearance.services", "fitment.mounting"),
        ("fitment.clearance.services", "shop.orders.views"),
        ("fitment.mounting.services.record", "fitment.clearance.gate"),
    ],
)
def test_what_is_no_door_of_another_capability_is_found(importer: str, imported: str) -> None:
    assert broken(DOORS, importer, imported) == [(importer, imported)]


@pytest.mark.parametrize(
    ("importer", "imported"),
    [
        ("fitment.clearance.curve_views", "fitment.clearance.page"),
        ("fitment.clearance.curve_views", "fitment.clearance.views"),
        ("fitment.clearance.page", "fitment.clearance.gap_forms"),
        ("fitment.clearance.forms", "fitment.clearance.services"),
        ("fitment.clearance.services.run", "fitment.clearance.data"),
        ("fitment.clearance.services", "fitment.models.forms"),
        ("fitment.clearance.services", "shop.orders.forms"),
    ],
)
def test_what_stands_below_may_be_imported(importer: str, imported: str) -> None:
    assert broken(FLOORS, importer, imported) == []


@pytest.mark.parametrize(
    ("importer", "imported"),
    [
        ("fitment.clearance.page", "fitment.clearance.curve_views"),
        ("fitment.clearance.gap_forms", "fitment.clearance.panels"),
        ("fitment.clearance.services", "fitment.mounting.wheel_forms"),
        ("fitment.clearance.data", "fitment.clearance.services"),
    ],
)
def test_what_stands_above_is_found(importer: str, imported: str) -> None:
    assert broken(FLOORS, importer, imported) == [(importer, imported)]
