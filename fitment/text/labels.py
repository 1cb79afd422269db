"""The shop's words for what files and tables call by short names."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.geometry.adjuster_units import CAMBER_METHODS as CAMBER_METHODS
from alignment.geometry.adjuster_units import adjuster_message, camber_method
from alignment.text.render import SHOP, Reader, render
from fitment.engine.mounting.law import CHOICES, FIGURES_ASKED, Preset
from fitment.engine.survey.readings import JOINT_NAMES
from shop.languages.figures import short

KIND_WORDS: dict[str, str] = {
    "strut": N_("strut"),
    "wishbones": N_("double-wishbone"),
    "links": N_("five-link"),
    "curves": N_("measured-curves"),
}

JOINT_WORDS: dict[str, str] = {
    **{name: words for words, name in JOINT_NAMES.items()},
    "knuckle_pivot": "knuckle pivot",
}

ROD_WORDS: dict[str, str] = {
    "lower_arm_front": "lower arm, front rod",
    "lower_arm_rear": "lower arm, rear rod",
    "upper_arm_front": "upper arm, front rod",
    "upper_arm_rear": "upper arm, rear rod",
    "tie_rod": "tie rod or toe link",
}


def camber_method_text(name: str, reader: Reader = SHOP) -> str:
    """What camber is set with: ``rod:upper front`` is the link “upper front”."""
    return render(camber_method(name), reader)


def adjuster_text(name: str, reader: Reader = SHOP) -> str:
    """An adjuster in words: ``top_mount_in_mm`` is the top mount inboard."""
    return render(adjuster_message(name), reader)


def adjuster_unit(adjuster: str) -> str:
    return "°" if adjuster.endswith("_deg") else "mm"


def preset_words(preset: Preset) -> list[str]:
    """The figures of a document's preset, each in words."""
    return [figure_words(key, value) for key, value in preset.figures.items()]


def figure_words(key: str, value: float) -> str:
    """A figure of a law with what it limits."""
    asked = FIGURES_ASKED[key]
    said = CHOICES.get(key, {}).get(value) or f"{short(value)}{_unit(asked.unit)}"
    return f"{asked.words}: {said}"


def _unit(unit: str) -> str:
    return unit if unit in ("", "°") else f" {unit}"
