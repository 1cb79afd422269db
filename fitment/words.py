"""The shop's words for what files and tables call by short names."""

from __future__ import annotations

from collections.abc import Iterable

from fitment.models.surveys import CORNER_NAMES

KIND_WORDS: dict[str, str] = {
    "strut": "strut",
    "wishbones": "double-wishbone",
    "links": "five-link",
    "curves": "measured-curves",
}

MEANS_WORDS: dict[str, str] = {
    "top_mount": "the top mount",
    "lower_arm": "the lower arm",
    "upper_arm": "the upper arm",
    "knuckle": "the knuckle bolts",
}

ADJUSTER_WORDS: dict[str, str] = {
    "top_mount_in_mm": "top mount inwards",
    "top_mount_back_mm": "top mount rearwards",
    "lower_arm_out_mm": "lower arm outwards",
    "upper_arm_in_mm": "upper arm inwards",
    "knuckle_camber_deg": "knuckle bolts",
    "toe_link_mm": "toe link",
    "ride_height_mm": "ride height",
    "bump_stop_mm": "bump-stop packer",
    "rods_mm": "rod lengths",
}

JOINT_WORDS: dict[str, str] = {
    "strut_top": "strut top mount",
    "strut_lower": "strut axis, lower point",
    "lower_ball_joint": "lower ball joint",
    "lower_arm_front": "lower arm, front bush",
    "lower_arm_rear": "lower arm, rear bush",
    "upper_ball_joint": "upper ball joint",
    "upper_arm_front": "upper arm, front bush",
    "upper_arm_rear": "upper arm, rear bush",
    "tie_outer": "tie rod or toe link, outer end",
    "tie_inner": "tie rod or toe link, inner end",
    "knuckle_pivot": "knuckle pivot",
}

VERDICT_WORDS: dict[str, str] = {
    "clear": "clears",
    "tight": "tight",
    "doubtful": "doubtful",
    "contact": "rubs",
    "unmeasured": "unmeasured",
    "out of reach": "out of reach",
}


def means_words(means: str) -> str:
    """A means of camber in words: ``rod:upper front`` → the upper front link."""
    if means.startswith("rod:"):
        return f"the link “{means[4:]}”"
    return MEANS_WORDS.get(means, means.replace("_", " "))


def adjuster_words(adjuster: str) -> str:
    if adjuster.startswith("rod:"):
        return f"link “{adjuster[4:]}”"
    return ADJUSTER_WORDS.get(adjuster, adjuster.replace("_", " "))


def adjuster_unit(adjuster: str) -> str:
    return "°" if adjuster.endswith("_deg") else "mm"


def corner_words(corners: Iterable[str]) -> str:
    """Corners as a phrase: "left front and right front"."""
    names = [CORNER_NAMES[corner] for corner in corners]
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
