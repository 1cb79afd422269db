"""Points where apps plug in: what does not fit stops the start, with its name."""

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

import pytest
from django.apps import apps

from shop.extensions import points
from shop.extensions.registry import BadPlug, Point, Registry, Slot, site_registry

ROOT = Path(__file__).resolve().parents[2]


class Greeting(Protocol):
    def __call__(self, name: str, loud: bool, /) -> str: ...


@dataclass(frozen=True)
class Sign:
    text: str


def hello(name: str, loud: bool) -> str:
    return name.upper() if loud else name


def goodbye(person: str, shouted: bool) -> str:
    return person[::-1]


def too_short(name: str) -> str:
    return name


@pytest.fixture
def registry() -> Registry:
    return Registry(is_closed=lambda: False)


@pytest.fixture
def greetings(registry: Registry) -> Point[Greeting]:
    return Point("greetings", Greeting, registry)


def test_plugs_stand_by_their_position_in_any_order_of_registering(greetings) -> None:
    greetings.register(goodbye, position=20)
    greetings.register(hello, position=10)
    assert list(greetings) == [hello, goodbye]


@pytest.mark.parametrize(
    ("plug", "why"),
    [
        ("no_such_gate", "cannot be called"),
        (too_short, r"too_short does not take \(name, loud\)"),
        (lambda: "", r"does not take \(name, loud\)"),
    ],
)
def test_a_plug_of_another_shape_is_refused_by_name(greetings, plug, why: str) -> None:
    with pytest.raises(BadPlug, match=f"^greetings: .*{why}"):
        greetings.register(plug, position=10)
    assert list(greetings) == []


def test_a_point_of_values_takes_only_their_kind(registry) -> None:
    signs: Point[Sign] = Point("signs", Sign, registry)
    signs.register(Sign("way out"), position=10)
    with pytest.raises(BadPlug, match=r"signs: .*hello is no Sign"):
        signs.register(hello, position=20)  # type: ignore[arg-type]


def test_a_plug_is_registered_once(greetings) -> None:
    greetings.register(hello, position=10)
    with pytest.raises(BadPlug, match=r"greetings: .*hello is registered twice"):
        greetings.register(hello, position=20)


def test_two_plugs_cannot_have_one_position(greetings) -> None:
    greetings.register(hello, position=10)
    with pytest.raises(BadPlug, match=r"goodbye and .*hello both ask for position 10"):
        greetings.register(goodbye, position=10)


def test_two_points_cannot_have_one_name(registry, greetings) -> None:
    with pytest.raises(BadPlug, match="greetings: two points"):
        Point("greetings", Greeting, registry)


def test_a_slot_takes_one_plug(registry) -> None:
    slot: Slot[Greeting] = Slot("greeting", Greeting, registry)
    assert slot.plug is None
    slot.fill(hello)
    assert slot.plug is hello
    with pytest.raises(BadPlug, match=r"goodbye and .*hello both"):
        slot.fill(goodbye)


def test_plugs_are_swapped_for_a_while_and_checked_as_well(greetings) -> None:
    greetings.register(hello, position=10)
    with greetings.swapped(goodbye, goodbye):
        assert list(greetings) == [goodbye, goodbye]
    assert list(greetings) == [hello]
    with pytest.raises(BadPlug), greetings.swapped(too_short):
        pytest.fail("a plug of the wrong shape was swapped in")


def test_the_site_is_closed_once_it_has_started() -> None:
    assert apps.ready
    with pytest.raises(BadPlug, match=r"booking gates: .*hello comes too late"):
        points.BOOKING_GATES.register(hello, position=90)  # type: ignore[arg-type]


def test_every_point_of_the_site_is_filled() -> None:
    assert [name for name, point in site_registry.points.items() if not list(point)] == []


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (
            "points.BOOKING_GATES.register(print_nothing, position=90)",
            "print_nothing does not take",
        ),
        ("points.BOKING_GATES.register(print_nothing, position=90)", "BOKING_GATES"),
    ],
)
def test_a_wrong_plug_stops_the_start_with_its_name(wrong: str, said: str, tmp_path) -> None:
    program = f"""
import django
from shop.apps import ShopConfig

def print_nothing():
    pass

def ready(self):
    from shop.extensions import points
    {wrong}

ShopConfig.ready = ready
django.setup()
"""
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env={"DJANGO_SETTINGS_MODULE": "shop.settings", "ARCHROOM_VAR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode != 0
    assert said in done.stderr
