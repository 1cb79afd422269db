"""The names of camber methods and adjusters, and planned settings in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy
from django.utils.translation import gettext_noop as _

from alignment.geometry.adjuster_units import ROD_PREFIX as ROD_PREFIX
from alignment.geometry.adjuster_units import RODS as RODS
from alignment.models import Bushes, PlannedSetting
from common.message import Message, message
from shop.languages import ENGLISH, Speech, speech_of_page
from shop.models import Axle, Corner

ROD = "rod"

#: How camber can be set: the word kept, what the form offers, and how it reads.
CAMBER_METHODS: tuple[tuple[str, str | Promise, str], ...] = (
    ("top_mount", gettext_lazy("Top mount inboard"), _("by the top mount")),
    ("lower_arm", gettext_lazy("Lower arm out (shims or longer arm)"), _("by the lower arm")),
    ("upper_arm", gettext_lazy("Upper arm in (shorter arm)"), _("by the upper arm")),
    ("knuckle", gettext_lazy("Knuckle bolts"), _("at the knuckle bolts")),
    (ROD, gettext_lazy("One link of a multi-link axle"), _("by the rod")),
)
_METHODS_READ = {word: read for word, _, read in CAMBER_METHODS}

#: Adjusters that can be stated by hand: label in forms and tables, and unit.
ADJUSTER_LABELS: dict[str, tuple[str, str]] = {
    "ride_height_mm": (_("Ride height, change"), "mm"),
    "bump_stop_mm": (_("Packer under the bump stop"), "mm"),
    "top_mount_in_mm": (_("Top mount inboard"), "mm"),
    "top_mount_back_mm": (_("Top mount rearward"), "mm"),
    "lower_arm_out_mm": (_("Lower arm outward"), "mm"),
    "upper_arm_in_mm": (_("Upper arm inward"), "mm"),
    "knuckle_camber_deg": (_("Knuckle bolts, angle"), "deg"),
    "toe_link_mm": (_("Toe link"), "mm"),
}


def adjuster_label(name: str) -> str:
    """An adjuster's name in English; a name of the shop's own is kept."""
    if name.startswith(ROD_PREFIX):
        return f"Rod “{name.removeprefix(ROD_PREFIX)}”"
    return ADJUSTER_LABELS[name][0] if name in ADJUSTER_LABELS else name


def label_message(name: str) -> Message:
    """The same as a message, for what is kept or said inside another sentence."""
    if name.startswith(ROD_PREFIX):
        return message("adjuster-label.rod", name=name.removeprefix(ROD_PREFIX))
    if name in ADJUSTER_LABELS:
        return message(f"adjuster-label.{name}")
    return message("adjuster-label.other", name=name)


def adjuster_here(name: str) -> str:
    """The same in the language of the page."""
    return adjuster_said(name, speech_of_page())


def axle_here(axle: str) -> str:
    """An axle inside a label, in the language of the page: "Toe, front axle"."""
    return speech_of_page().within(str(Axle(axle).label))


def corner_here(corner: str) -> str:
    """A corner inside a label, in the language of the page: "Toe, left front"."""
    return speech_of_page().within(str(Corner(corner).label))


def adjuster_said(name: str, speech: Speech) -> str:
    """An adjuster's name in the reader's language; a name of the shop's own is kept."""
    if name.startswith(ROD_PREFIX):
        return speech.say("Rod “{name}”", name=name.removeprefix(ROD_PREFIX))
    return speech.say(ADJUSTER_LABELS[name][0]) if name in ADJUSTER_LABELS else name


def camber_method_text(camber_by: str, speech: Speech = ENGLISH) -> str:
    """ "by the lower arm"; empty where no method is named."""
    if camber_by.startswith(ROD_PREFIX):
        return speech.say("by the rod “{name}”", name=camber_by.removeprefix(ROD_PREFIX))
    if camber_by in _METHODS_READ:
        return speech.say(_METHODS_READ[camber_by])
    return speech.say("by {name}", name=camber_by) if camber_by else ""


def adjusters_said(adjusters: Mapping[str, Any], speech: Speech = ENGLISH) -> Iterator[str]:
    """Adjusters stated by hand, one phrase each, in the order of ``ADJUSTER_LABELS``."""
    for name, (label, unit) in ADJUSTER_LABELS.items():
        value = adjusters.get(name)
        if value is None:
            continue
        if name == "ride_height_mm":
            yield _height_said(value, speech)
            continue
        shown = speech.angle(value) if unit == "deg" else speech.length(value, signed=True)
        yield f"{speech.within(speech.say(label))} {shown}"
    for rod, millimetres in sorted((adjusters.get(RODS) or {}).items()):
        yield speech.say(
            "rod “{name}” {change}", name=rod, change=speech.length(millimetres, signed=True)
        )


def _height_said(change_mm: float, speech: Speech) -> str:
    if change_mm == 0:
        return speech.say("ride height unchanged")
    change = speech.length(abs(change_mm))
    if change_mm < 0:
        return speech.say("lowered by {change}", change=change)
    return speech.say("raised by {change}", change=change)


def bushes_said(bushes: str, speech: Speech = ENGLISH) -> str:
    """Whose compliance under side load is assumed instead of a measured one."""
    if bushes == Bushes.WORN:
        return speech.say("compliance of worn rubber bushes assumed")
    if bushes == Bushes.SOLID:
        return speech.say("compliance of solid bushes assumed")
    return speech.say("compliance of good rubber bushes assumed")


def plan_phrases(plan: PlannedSetting, speech: Speech = ENGLISH) -> list[str]:
    """What one axle is to be set to, as phrases in the order of the work."""
    phrases = []
    if plan.camber_deg is not None:
        camber = speech.say("camber {angle}", angle=speech.angle(plan.camber_deg))
        phrases.append(f"{camber} {camber_method_text(plan.camber_by, speech)}")
    else:
        phrases.append(speech.say("camber not set"))
    if plan.caster_deg is not None:
        phrases.append(speech.say("caster {angle}", angle=speech.angle(plan.caster_deg)))
    phrases.append(speech.say("toe {angle} per wheel", angle=speech.angle(plan.toe_deg)))
    phrases.extend(adjusters_said(plan.adjusters, speech))
    if plan.bushes:
        phrases.append(bushes_said(plan.bushes, speech))
    if plan.rolled_lips:
        phrases.append(speech.say("arch lips rolled"))
    return phrases


def plan_sentence(plan: PlannedSetting, speech: Speech = ENGLISH) -> str:
    """One axle's planned settings in one sentence."""
    axle = speech.say("Front" if plan.axle == Axle.FRONT else "Rear")
    return f"{axle}: {', '.join(plan_phrases(plan, speech))}."
