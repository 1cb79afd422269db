"""The shop's words for what files and tables call by short names."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.geometry.adjuster_units import CAMBER_METHODS as CAMBER_METHODS
from alignment.geometry.adjuster_units import adjuster_message, camber_method
from alignment.text.render import SHOP, Reader, render
from fitment.engine.mounting.law import CHOICES, FIGURES_ASKED, Preset
from fitment.engine.survey.readings import JOINT_NAMES
from fitment.engine.uncertainty.compliance import RUBBER, SOLID, WORN
from shop.languages.figures import short

KIND_WORDS: dict[str, str] = {
    "strut": N_("strut"),
    "wishbones": N_("double-wishbone"),
    "links": N_("five-link"),
    "curves": N_("measured-curves"),
}

#: The names of joints that the guided survey gives, and one that only a form asks for.
JOINT_WORDS: dict[str, str] = {name: words for words, name in JOINT_NAMES.items()} | {
    "knuckle_pivot": N_("knuckle pivot"),
}
_MARKED = (
    N_("lower ball joint"),
    N_("upper ball joint"),
    N_("toe link or tie rod, at the wheel"),
    N_("strut axis, low on the strut"),
    N_("strut top mount"),
    N_("lower arm, front bush"),
    N_("lower arm, rear bush"),
    N_("upper arm, front bush"),
    N_("upper arm, rear bush"),
    N_("toe link or tie rod, at the body"),
)

ROD_WORDS: dict[str, str] = {
    "lower_arm_front": N_("lower arm, front rod"),
    "lower_arm_rear": N_("lower arm, rear rod"),
    "upper_arm_front": N_("upper arm, front rod"),
    "upper_arm_rear": N_("upper arm, rear rod"),
    "tie_rod": N_("tie rod or toe link"),
}

#: Kinds of bushes whose compliance can be assumed.
BUSH_WORDS: dict[str, str] = {
    RUBBER: N_("rubber bushes in good order"),
    WORN: N_("worn rubber bushes"),
    SOLID: N_("solid bushes or ball joints"),
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
