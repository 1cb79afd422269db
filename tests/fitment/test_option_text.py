"""Options that clear in words: what they change, what they leave, what fell."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from alignment.geometry.model import Adjusters, Planned
from alignment.text.render import SHOP, Reader, customer, render
from common.message import Message, message
from common.verdicts import Verdict
from fitment.engine.model import Corner, PoseAt, SpotAnswer, Tyre, Wheel
from fitment.engine.search.limits import RULE
from fitment.engine.search.model import (
    CAMBER_LIMIT,
    OUT_OF_REACH,
    TOUCHES,
    Option,
)
from fitment.engine.search.space import KINDS, SettingChange, SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.search.told import cautions_of, changes_of, tightest_of
from fitment.text.render import sentences
from shop.languages import ENGLISH, LANGUAGES, Speech
from tests.benchmarks.corners import strut_corner

INCHES = Reader(Speech(ENGLISH.language, "in"))
GERMAN = Reader(Speech(LANGUAGES["de"]))

LIP = SpotAnswer(
    "arch lip",
    "body",
    "hard",
    7.64,
    5.0,
    3.2,
    0.01,
    "clear",
    PoseAt(38.2, -9.4),
    (88.0, 384.0),
    (80.0, 383.0),
    "tyre",
)


def planned_corner() -> Corner:
    return replace(
        strut_corner(),
        planned=Planned(0.05, -2.4, "lower_arm", Adjusters(ride_height_mm=-20.0)),
        wheel=Wheel(18.0, 9.0, 40.0, spacer_mm=5.0),
        tyre=Tyre("255/40R18"),
    )


def an_option(setting: SettingChange | None = None, **changed: object) -> Option:
    """One that changes what it is told, and nothing else."""
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
        {},
        False,
        Verdict.CLEAR,
        255.0,
        "LF",
        LIP,
        {},
        {},
        (),
    )


CAMBER_BY_TOP_MOUNT = an_option(
    SettingChange(camber_by="top_mount"), tyre=TyreChoice("t2", Tyre("245/40R18"))
)
LOWERED = an_option(SettingChange(ride_height_mm=-12.5))


@pytest.mark.parametrize(
    ("option", "text"),
    [
        (an_option(), "as planned"),
        (
            CAMBER_BY_TOP_MOUNT,
            "same camber, set with the top mount, 245/40R18 in place of 255/40R18",
        ),
        (an_option(SettingChange(camber_deg=-2.8)), "camber −2.80° in place of −2.40°"),
        (
            an_option(SettingChange(camber_by="knuckle", camber_deg=-2.0)),
            "camber −2.00° in place of −2.40°, set with the knuckle bolts",
        ),
        (LOWERED, "lowered 12.5 mm in place of lowered 20 mm"),
        (
            an_option(SettingChange(ride_height_mm=0.0)),
            "height as surveyed in place of lowered 20 mm",
        ),
        (
            an_option(SettingChange(ride_height_mm=4.0)),
            "raised 4 mm in place of lowered 20 mm",
        ),
        (an_option(SettingChange(bump_stop_mm=10.0)), "a bump packer of 10 mm"),
        (an_option(spacer=SpacerChoice(0.0)), "no spacer"),
        (an_option(spacer=SpacerChoice(3.0)), "a spacer of 3 mm in place of 5 mm"),
        (
            an_option(wheel=WheelChoice("w2", Wheel(18.0, 8.5, 45.0))),
            "8.5×18 ET45 in place of 9×18 ET40",
        ),
        (
            an_option(tyre=TyreChoice("t3", Tyre("255/40R18", section_width_mm=251.0))),
            "another 255/40R18, 251 mm wide",
        ),
    ],
)
def test_an_option_says_what_it_changes(option: Option, text: str) -> None:
    assert render(changes_of(option, planned_corner())) == text


@pytest.mark.parametrize(
    ("reader", "figures"),
    [
        (SHOP, ["12.5 mm", "20 mm"]),
        (customer(ENGLISH), ["13 mm", "20 mm"]),
        (INCHES, ["0.49 in", "0.79 in"]),
        (GERMAN, ["12,5 mm", "20 mm"]),
    ],
)
def test_changes_are_said_in_the_readers_units(reader: Reader, figures: list[str]) -> None:
    told = render(changes_of(LOWERED, planned_corner()), reader)
    for figure in figures:
        assert figure in told


@pytest.mark.parametrize("name", ["Grip 2", "Grip 2 245/40R18"])
def test_names_stand_before_sizes_once(name: str) -> None:
    option = an_option(tyre=TyreChoice("t2", Tyre("245/40R18")))
    told = render(changes_of(option, planned_corner(), {"t2": name}))
    assert told == "Grip 2 245/40R18 in place of 255/40R18"


def test_the_tightest_spot_is_said_with_its_uncertainty_and_its_pose() -> None:
    told = tightest_of(an_option())
    assert (told.params["gap_mm"], told.params["sigma_mm"]) == (7.64, 3.2)
    assert "the clearance is 7.6 ± 3.2 mm where 5 mm is needed" in render(told)
    assert "8 ± 3 mm" in render(told, customer(ENGLISH))
    assert "0.30 ± 0.13 in" in render(told, INCHES)
    assert "7,6 ± 3,2 mm" in render(told, GERMAN)


def test_what_is_nominal_not_known_or_against_a_rule_is_said() -> None:
    assert list(cautions_of(an_option())) == []
    option = replace(
        an_option(tyre=TyreChoice("n", Tyre("245/40R18"), nominal=True)),
        not_known=(message("missing.tyre-load-index"),),
        broken=("no spacers",),
    )
    nominal, not_known, broken = cautions_of(option)
    assert nominal == message("option.nominal", size="245/40R18")
    assert not_known.params["limits"] == (message("missing.tyre-load-index"),)
    assert broken == message("option.broken", rule="no spacers")
    assert "no spacers" in sentences([broken])


@pytest.mark.parametrize(
    ("why", "count", "text"),
    [
        (message(TOUCHES, spot="arch lip"), 1204, "1\u202f204 × would overlap the arch lip"),
        (
            message(OUT_OF_REACH, adjuster=message("adjuster.top_mount_in_mm")),
            1,
            "1 × beyond what the parts allow (top mount inboard)",
        ),
        (message(RULE, rule="no spacers"), 6, "6 × not allowed: no spacers"),
        (
            message(CAMBER_LIMIT, camber_deg=-2.8),
            3,
            "3 × camber of −2.8° is outside the target range",
        ),
    ],
)
def test_what_fell_is_counted_with_its_reason(why: Message, count: int, text: str) -> None:
    assert render(message("ruled-out.counted", count=count, why=why)) == text
