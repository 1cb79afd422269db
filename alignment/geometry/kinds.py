"""The kinds of suspension, each with everything that is a table: one entry a kind.

How the hub of a kind is held stands in ``linkage`` (rods and slider) and ``motion`` (curves).
Names of joints, adjusters and camber methods are those of check files; each has its words in
``fitment.text.labels`` and ``alignment.text.messages``, which tests compare with this table.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

STRUT = "strut"
WISHBONES = "wishbones"
LINKS = "links"
CURVES = "curves"

#: Adjusters named by a rod, and camber methods by it, begin so.
ROD_PREFIX = "rod:"

#: Adjusters measured in one number, in the order in which they are shown; ``rods_mm`` besides is a
#: table by rod name. The last two belong to every kind.
ADJUSTER_NAMES = (
    "top_mount_in_mm",
    "top_mount_back_mm",
    "lower_arm_out_mm",
    "upper_arm_in_mm",
    "knuckle_camber_deg",
    "toe_link_mm",
    "ride_height_mm",
    "bump_stop_mm",
)
OF_EVERY_KIND = ADJUSTER_NAMES[-2:]


@dataclass(frozen=True)
class Kind:
    """One kind.

    ``joints`` are in the order in which a shop measures them, ``arms`` the arms of two bushes and
    a ball joint, ``chains`` the joints that a drawing joins. ``apart`` are pairs of joints that
    must stand apart, and what lies between them; of each pair of ``above`` the first stands above
    the second in every car. ``camber`` maps a camber method to the adjuster that it moves;
    kinds with ``has_named_rods`` say ``rod:NAME`` instead, those that are ``is_read_as_curves``
    name one of their pivots.
    """

    joints: tuple[str, ...] = ()
    adjusters: tuple[str, ...] = ()
    camber: Mapping[str, str] = field(default_factory=dict)
    arms: tuple[str, ...] = ()
    chains: tuple[tuple[str, ...], ...] = ()
    apart: tuple[tuple[str, str, str], ...] = ()
    above: tuple[tuple[str, str], ...] = ()
    has_strut: bool = False
    has_named_rods: bool = False
    is_read_as_curves: bool = False


_LOWER_ARM_APART = (
    ("lower_arm_front", "lower_ball_joint", "the front of the lower arm"),
    ("lower_arm_rear", "lower_ball_joint", "the rear of the lower arm"),
    ("lower_arm_front", "lower_arm_rear", "the bush axis of the lower arm"),
)

KIND_TABLE: Mapping[str, Kind] = {
    STRUT: Kind(
        joints=(
            "strut_top",
            "strut_lower",
            "lower_ball_joint",
            "lower_arm_front",
            "lower_arm_rear",
            "tie_outer",
            "tie_inner",
        ),
        adjusters=(
            "top_mount_in_mm",
            "top_mount_back_mm",
            "lower_arm_out_mm",
            "knuckle_camber_deg",
            "toe_link_mm",
        ),
        camber={
            "top_mount": "top_mount_in_mm",
            "lower_arm": "lower_arm_out_mm",
            "knuckle": "knuckle_camber_deg",
        },
        arms=("lower",),
        chains=(
            ("strut_top", "strut_lower"),
            ("lower_arm_front", "lower_ball_joint", "lower_arm_rear"),
            ("tie_inner", "tie_outer"),
        ),
        apart=(
            ("strut_top", "strut_lower", "the strut"),
            ("strut_top", "lower_ball_joint", "the steering axis"),
            *_LOWER_ARM_APART,
            ("tie_inner", "tie_outer", "the toe link"),
        ),
        above=(("strut_top", "strut_lower"), ("strut_top", "lower_ball_joint")),
        has_strut=True,
    ),
    WISHBONES: Kind(
        joints=(
            "lower_ball_joint",
            "lower_arm_front",
            "lower_arm_rear",
            "upper_ball_joint",
            "upper_arm_front",
            "upper_arm_rear",
            "tie_outer",
            "tie_inner",
        ),
        adjusters=("lower_arm_out_mm", "upper_arm_in_mm", "toe_link_mm"),
        camber={"lower_arm": "lower_arm_out_mm", "upper_arm": "upper_arm_in_mm"},
        arms=("lower", "upper"),
        chains=(
            ("lower_arm_front", "lower_ball_joint", "lower_arm_rear"),
            ("upper_arm_front", "upper_ball_joint", "upper_arm_rear"),
            ("tie_inner", "tie_outer"),
        ),
        apart=(
            ("lower_ball_joint", "upper_ball_joint", "the steering axis"),
            *_LOWER_ARM_APART,
            ("upper_arm_front", "upper_ball_joint", "the front of the upper arm"),
            ("upper_arm_rear", "upper_ball_joint", "the rear of the upper arm"),
            ("upper_arm_front", "upper_arm_rear", "the bush axis of the upper arm"),
            ("tie_inner", "tie_outer", "the toe link"),
        ),
        above=(("upper_ball_joint", "lower_ball_joint"),),
    ),
    LINKS: Kind(adjusters=("toe_link_mm",), has_named_rods=True),
    CURVES: Kind(is_read_as_curves=True),
}

KINDS = tuple(KIND_TABLE)

#: What a kind is that no table knows, or that was not said.
NO_KIND = Kind()

#: Joints that each kind of linkage needs.
JOINTS: Mapping[str, tuple[str, ...]] = {
    name: kind.joints for name, kind in KIND_TABLE.items() if kind.joints
}

#: Adjusters and the kinds that have them.
ADJUSTERS: Mapping[str, tuple[str, ...]] = {
    adjuster: tuple(
        name for name, kind in KIND_TABLE.items() if adjuster in (*kind.adjusters, *OF_EVERY_KIND)
    )
    for adjuster in ADJUSTER_NAMES
}

#: Camber methods by kind: the word in ``camber_by`` and the adjuster that it moves.
CAMBER_ADJUSTERS: Mapping[str, Mapping[str, str]] = {
    name: kind.camber for name, kind in KIND_TABLE.items()
}

#: The same for every kind; a rod or a pivot is its own adjuster, so it is not here.
METHOD_ADJUSTER: Mapping[str, str] = {
    method: adjuster
    for of_kind in CAMBER_ADJUSTERS.values()
    for method, adjuster in of_kind.items()
}


def kind_of(name: str) -> Kind:
    """The table of a kind; an empty one for a name that is none."""
    return KIND_TABLE.get(name, NO_KIND)


def camber_methods(kind: str, rods: Iterable[str], pivots: Iterable[str]) -> tuple[str, ...]:
    """What camber can be set with, as ``camber_by`` names it.

    ``rods`` are the names of the rods but the toe rod, ``pivots`` those of measured curves.
    """
    of_kind = kind_of(kind)
    if of_kind.has_named_rods:
        return tuple(f"{ROD_PREFIX}{rod}" for rod in rods)
    return tuple(sorted(pivots)) if of_kind.is_read_as_curves else tuple(of_kind.camber)
