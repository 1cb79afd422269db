"""Every kind of suspension has its words, and its table agrees with itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest

from alignment.geometry.kinds import (
    ADJUSTER_NAMES,
    ADJUSTERS,
    CURVES,
    KIND_TABLE,
    LINKS,
    STRUT,
    WISHBONES,
    Kind,
    camber_methods,
    kind_of,
)
from alignment.geometry.model import Suspension
from alignment.text.labels import ADJUSTER_LABELS
from alignment.text.messages import MESSAGES
from fitment.engine.survey.readings import JOINT_NAMES, KIND_CHOICES
from fitment.text.labels import JOINT_WORDS, KIND_WORDS, ROD_WORDS


def lacking(kinds: Mapping[str, Kind]) -> Iterator[str]:
    """What kinds lack, each with the name of the kind and of the place to mend."""
    for name, kind in kinds.items():
        if name not in KIND_WORDS:
            yield f"{name}: no word in KIND_WORDS"
        if not kind.is_read_as_curves and name not in KIND_CHOICES.values():
            yield f"{name}: no choice of the guided survey in KIND_CHOICES"
        for joint in kind.joints:
            if joint not in JOINT_WORDS or joint not in JOINT_NAMES.values():
                yield f"{name}: no words for the joint {joint} in JOINT_NAMES"
        for rod in (f"{arm}_arm_{end}" for arm in kind.arms for end in ("front", "rear")):
            if rod not in ROD_WORDS or f"part.{rod}" not in MESSAGES:
                yield f"{name}: no words for the rod {rod}"
        for adjuster in (*kind.adjusters, *kind.camber.values()):
            if adjuster not in ADJUSTER_NAMES or adjuster not in kind.adjusters:
                yield f"{name}: the adjuster {adjuster} is none of its own"
            if adjuster not in ADJUSTER_LABELS or f"given-by.{adjuster}" not in MESSAGES:
                yield f"{name}: no words for the adjuster {adjuster}"
        for method in kind.camber:
            if f"camber-method.{method}" not in MESSAGES:
                yield f"{name}: no words for the camber method {method}"
        named = [*(j for c in kind.chains for j in c), *(j for p in kind.above for j in p)]
        for joint in (*named, *(joint for pair in kind.apart for joint in pair[:2])):
            if joint not in kind.joints:
                yield f"{name}: {joint} is drawn or compared and none of its joints"


def test_no_kind_lacks_anything() -> None:
    assert list(lacking(KIND_TABLE)) == []


def test_a_kind_without_entries_is_named_with_what_it_lacks() -> None:
    bare = Kind(
        joints=("hinge",),
        adjusters=("hinge_mm",),
        camber={"hinge": "hinge_mm"},
        arms=("swing",),
        chains=(("hinge", "tie_outer"),),
    )
    said = list(lacking({**KIND_TABLE, "swing_axle": bare}))
    assert all(line.startswith("swing_axle: ") for line in said)
    wanted = ("KIND_WORDS", "KIND_CHOICES", "joint hinge", "rod swing_arm_front")
    wanted += ("adjuster hinge_mm is none", "words for the adjuster", "method hinge", "tie_outer")
    assert [part for part in wanted if not any(part in line for line in said)] == []


def test_who_has_which_adjuster_follows_from_the_table() -> None:
    assert ADJUSTERS["top_mount_in_mm"] == (STRUT,)
    assert ADJUSTERS["lower_arm_out_mm"] == (STRUT, WISHBONES)
    assert ADJUSTERS["toe_link_mm"] == (STRUT, WISHBONES, LINKS)
    assert ADJUSTERS["bump_stop_mm"] == tuple(KIND_TABLE)


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (STRUT, ("top_mount", "lower_arm", "knuckle")),
        (WISHBONES, ("lower_arm", "upper_arm")),
        (LINKS, ("rod:upper front",)),
        (CURVES, ("lower_arm", "top_mount")),
        ("", ()),
    ],
)
def test_what_camber_is_set_with(kind: str, expected: tuple[str, ...]) -> None:
    assert camber_methods(kind, ["upper front"], ["top_mount", "lower_arm"]) == expected


def test_rods_are_named_by_the_arms_of_their_kind() -> None:
    assert Suspension(WISHBONES).rod_names[2:] == ("upper_arm_front", "upper_arm_rear", "tie_rod")
    assert Suspension(CURVES).rod_names == ()
    assert kind_of("no such kind").joints == ()
