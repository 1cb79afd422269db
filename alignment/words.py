"""The names of means, adjusters and corners, and planned settings said in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from alignment.geometry.units import format_degrees, format_mm, format_number
from alignment.models import PlanAxle, PlannedSetting
from shop.models import Corner

ROD = "rod"
ROD_PREFIX = "rod:"
RODS = "rods_mm"

#: How a camber can be reached: the word kept, what the form offers, and how it reads.
MEANS: tuple[tuple[str, str, str], ...] = (
    ("top_mount", "Top mount moved inboard", "by the top mount"),
    ("lower_arm", "Lower arm made longer (shims, longer arm)", "by the lower arm"),
    ("upper_arm", "Upper arm made shorter", "by the upper arm"),
    ("knuckle", "Bolts between strut and knuckle", "at the knuckle bolts"),
    (ROD, "One rod of a multi-link axle", "by the rod"),
)
_MEANS_READ = {word: read for word, _, read in MEANS}

#: Adjusters that can be stated by hand: label in forms and tables, and unit.
ADJUSTER_LABELS: dict[str, tuple[str, str]] = {
    "ride_height_mm": ("Ride height, change", "mm"),
    "bump_stop_mm": ("Packer under the bump stop", "mm"),
    "top_mount_in_mm": ("Top mount inboard", "mm"),
    "top_mount_back_mm": ("Top mount rearward", "mm"),
    "lower_arm_out_mm": ("Lower arm outward", "mm"),
    "upper_arm_in_mm": ("Upper arm inward", "mm"),
    "knuckle_camber_deg": ("Knuckle bolts, angle", "deg"),
    "toe_link_mm": ("Toe link", "mm"),
}

CORNER_WORDS: dict[str, str] = {value: str(label).lower() for value, label in Corner.choices}


def adjuster_label(name: str) -> str:
    """An adjuster's name for people; a name of the shop's own stands as it is."""
    if name.startswith(ROD_PREFIX):
        return f"Rod “{name.removeprefix(ROD_PREFIX)}”"
    return ADJUSTER_LABELS[name][0] if name in ADJUSTER_LABELS else name


def means_words(camber_by: str) -> str:
    """ "by the lower arm"; empty when no means is named."""
    if camber_by.startswith(ROD_PREFIX):
        return f"by the rod “{camber_by.removeprefix(ROD_PREFIX)}”"
    return _MEANS_READ.get(camber_by, f"by {camber_by}" if camber_by else "")


def adjusters_said(adjusters: Mapping[str, Any]) -> Iterator[str]:
    """Adjusters stated by hand, one phrase each, in the order of ``ADJUSTER_LABELS``."""
    for name, (label, unit) in ADJUSTER_LABELS.items():
        value = adjusters.get(name)
        if value is None:
            continue
        if name == "ride_height_mm":
            yield _height_said(value)
        else:
            shown = format_degrees(value) if unit == "deg" else format_mm(value)
            yield f"{label[0].lower()}{label[1:]} {shown}"
    for rod, millimetres in sorted((adjusters.get(RODS) or {}).items()):
        yield f"rod “{rod}” {format_mm(millimetres)}"


def _height_said(change_mm: float) -> str:
    if change_mm == 0:
        return "ride height unchanged"
    word = "lowered" if change_mm < 0 else "raised"
    return f"{word} by {format_number(abs(change_mm), 1).lstrip('+')} mm"


def plan_phrases(plan: PlannedSetting) -> list[str]:
    """What one axle is to be set to, as phrases in the order of the work."""
    phrases = []
    if plan.camber_deg is not None:
        phrases.append(f"camber {format_degrees(plan.camber_deg)} {means_words(plan.camber_by)}")
    else:
        phrases.append("camber as the adjusters give it")
    if plan.caster_deg is not None:
        phrases.append(f"caster {format_degrees(plan.caster_deg)}")
    phrases.append(f"toe {format_degrees(plan.toe_deg)} per wheel")
    phrases.extend(adjusters_said(plan.adjusters))
    return phrases


def plan_sentence(plan: PlannedSetting) -> str:
    """One axle's planned settings in one sentence."""
    axle = "Front" if plan.axle == PlanAxle.FRONT else "Rear"
    return f"{axle}: {', '.join(plan_phrases(plan))}."
