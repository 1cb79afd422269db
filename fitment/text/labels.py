"""The shop's words for what files and tables call by short names."""

from __future__ import annotations

from collections.abc import Iterable

from common.corners import CORNER_NAMES
from fitment.engine import words as engine_words
from fitment.engine.mounting.law import CHOICES, ENQUIRY, Preset
from fitment.engine.search.text import MEANS_WORDS as MEANS_WORDS
from fitment.engine.search.text import camber_method_text as camber_method_text

KIND_WORDS: dict[str, str] = {
    "strut": "strut",
    "wishbones": "double-wishbone",
    "links": "five-link",
    "curves": "measured-curves",
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

ROD_WORDS: dict[str, str] = {
    "lower_arm_front": "lower arm, front rod",
    "lower_arm_rear": "lower arm, rear rod",
    "upper_arm_front": "upper arm, front rod",
    "upper_arm_rear": "upper arm, rear rod",
    "tie_rod": "tie rod or toe link",
}


def adjuster_words(adjuster: str) -> str:
    """An adjuster in words: ``top_mount_in_mm`` becomes top mount inboard."""
    if adjuster == "rods_mm":
        return "rod lengths"
    return engine_words.adjuster_words(adjuster).name


def adjuster_unit(adjuster: str) -> str:
    return "°" if adjuster.endswith("_deg") else "mm"


def corner_words(corners: Iterable[str]) -> str:
    """Corners as a phrase: "left front and right front"."""
    names = [CORNER_NAMES[corner] for corner in corners]
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def preset_words(preset: Preset) -> list[str]:
    """The figures of a document's preset, each in words."""
    return [figure_words(key, value) for key, value in preset.figures.items()]


def figure_words(key: str, value: float) -> str:
    """A figure of a law with what it limits."""
    asked = ENQUIRY[key]
    said = CHOICES.get(key, {}).get(value) or f"{round(value, 3):g}{_unit(asked.unit)}"
    return f"{asked.words}: {said}"


def _unit(unit: str) -> str:
    return unit if unit in ("", "°") else f" {unit}"
