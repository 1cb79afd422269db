"""Ways to clear in words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from alignment.geometry.model import Adjusters, Planned
from fitment.engine.model import Corner, PoseAt, SpotAnswer, Tyre, Wheel
from fitment.engine.search.model import Option, RuledOut
from fitment.engine.search.space import KINDS, SettingChange, SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.search.text import caution_words, clearance_words, option_words, ruled_out_words
from tests.benchmarks.corners import strut_corner

LIP = SpotAnswer(
    "fender lip",
    "body",
    "hard",
    7.64,
    5.0,
    3.2,
    0.01,
    "clear",
    PoseAt(38.2, -9.4, False),
    (88.0, 384.0),
    (80.0, 383.0),
    "tyre",
)


def planned_corner() -> Corner:
    return replace(
        strut_corner(),
        planned=Planned(0.05, -2.5, "lower_arm", Adjusters(ride_height_mm=-20.0)),
        wheel=Wheel(18.0, 9.0, 40.0, spacer_mm=5.0),
        tyre=Tyre("255/40R18"),
    )


def a_option(setting: SettingChange | None = None, **changed: object) -> Option:
    """A way that changes what it is told, and nothing else."""
    corner = planned_corner()
    setting = setting or SettingChange()
    kinds = set(setting.kinds(corner.planned))
    wheel = changed.get("wheel", WheelChoice("w", replace(corner.wheel, spacer_mm=0.0)))
    tyre = changed.get("tyre", TyreChoice("t", corner.tyre))
    spacer = changed.get("spacer", SpacerChoice(5.0))
    kinds |= {kind for kind in KINDS if kind in changed}
    return Option(
        setting,
        wheel,  # type: ignore[arg-type]
        tyre,  # type: ignore[arg-type]
        spacer,  # type: ignore[arg-type]
        frozenset(kinds),
        1.0,
        Decimal(100),
        (),
        "clear",
        2.64,
        "LF",
        LIP,
        {},
        {},
        (),
    )


@pytest.mark.parametrize(
    ("option", "words"),
    [
        (a_option(), "As planned"),
        (
            a_option(
                SettingChange(camber_by="top_mount"), tyre=TyreChoice("t2", Tyre("245/40R18"))
            ),
            "Same camber by the top mount, 245/40R18 in place of 255/40R18",
        ),
        (a_option(SettingChange(camber_deg=-2.8)), "Camber −2.8° in place of −2.5°"),
        (
            a_option(SettingChange(camber_by="knuckle", camber_deg=-2.0)),
            "Camber −2° in place of −2.5°, by the knuckle bolts",
        ),
        (a_option(SettingChange(ride_height_mm=-12.0)), "Lowered 12 mm in place of 20 mm"),
        (a_option(SettingChange(ride_height_mm=-26.0)), "Lowered 26 mm in place of 20 mm"),
        (
            a_option(SettingChange(ride_height_mm=0.0)),
            "Height as surveyed in place of lowered 20 mm",
        ),
        (a_option(SettingChange(ride_height_mm=4.0)), "Raised 4 mm in place of lowered 20 mm"),
        (a_option(SettingChange(bump_stop_mm=10.0)), "A bump packer of 10 mm"),
        (a_option(spacer=SpacerChoice(0.0)), "No spacer"),
        (a_option(spacer=SpacerChoice(3.0)), "A spacer of 3 mm in place of 5 mm"),
        (
            a_option(wheel=WheelChoice("w2", Wheel(18.0, 8.5, 45.0))),
            "8.5×18 ET45 in place of 9×18 ET40",
        ),
        (
            a_option(tyre=TyreChoice("t3", Tyre("255/40R18", section_width_mm=251.0))),
            "Another 255/40R18, 251 mm wide",
        ),
    ],
)
def test_a_option_says_what_it_changes(option: Option, words: str) -> None:
    assert option_words(option, planned_corner()) == words


def test_names_stand_before_sizes() -> None:
    option = a_option(tyre=TyreChoice("t2", Tyre("245/40R18")))
    names = {"t2": "Grip 2"}
    assert option_words(option, planned_corner(), names=names) == (
        "Grip 2 245/40R18 in place of 255/40R18"
    )
    names = {"t2": "Grip 2 245/40R18"}
    assert option_words(option, planned_corner(), names=names) == (
        "Grip 2 245/40R18 in place of 255/40R18"
    )


def test_customers_read_whole_millimetres_and_technicians_tenths() -> None:
    assert clearance_words(a_option()) == (
        "Tightest at the fender lip: 8 mm of room, give or take 3 mm, where 5 mm is wanted, "
        "38 mm into bump, 9° of lock outward."
    )
    assert "7.6 mm of room, give or take 3.2 mm" in clearance_words(a_option(), decimals=1)
    half = a_option(SettingChange(bump_stop_mm=7.5))
    assert option_words(half, planned_corner(), decimals=1) == "A bump packer of 7.5 mm"


def test_what_is_nominal_or_not_known_is_said() -> None:
    assert caution_words(a_option()) == ""
    option = replace(
        a_option(tyre=TyreChoice("n", Tyre("245/40R18"), nominal=True)),
        not_known=("the tyre's load index",),
    )
    assert caution_words(option) == (
        "245/40R18 is a standard size by its marking; measure a real tyre of it before it is "
        "mounted. Not known: the tyre's load index."
    )


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (RuledOut("touches", "fender lip", 1204), "1 204 candidates: would touch the fender lip"),
        (
            RuledOut("out of reach", "top_mount_in_mm", 1),
            "1 candidate: beyond what the parts allow (top mount inboard)",
        ),
        (RuledOut("rule", "no spacers", 6), "6 candidates: not allowed: no spacers"),
        (
            RuledOut("target camber", "-2.8°", 3),
            "3 candidates: camber of −2.8° is outside the target range",
        ),
        (RuledOut("new reason", "x", 2), "2 candidates: new reason x"),
    ],
)
def test_reasons_are_counted_in_words(one: RuledOut, words: str) -> None:
    assert ruled_out_words(one) == words
