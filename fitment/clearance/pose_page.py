"""A checked corner in one pose after another: what the page with the sliders shows.

Everything is worked out from the check's own inputs, with the engine's own clearances.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from alignment.geometry.linkage import Unreachable
from alignment.text.render import SHOP, Reader, render
from common.message import Message, message
from common.numerals import for_machines
from fitment.clearance.curve_pages import CannotPlot, asked
from fitment.clearance.side_view import side_scene_at, title_of
from fitment.drawings.drawn import Drawing, svg_of
from fitment.engine.curves.at_pose import (
    CornerAtPose,
    PoseRange,
    corner_at_pose,
    fixed_poses,
    pose_range,
)
from fitment.engine.deciding import worst_spot
from fitment.engine.drawing.pose_drawing import pose_scene
from fitment.engine.findings import pose_of
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import CornerAnswer, PoseAt
from fitment.text.corner_names import corner_said
from fitment.text.lettering import letter_for, lettered_for
from fitment.text.render import reason_text

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck


class PoseForm(forms.Form):
    """A pose to be looked at: travel in mm from ride height, steering in degrees."""

    travel = forms.FloatField(label=_("Bump travel, mm from ride height"))
    steer = forms.FloatField(label=_("Steering, degrees (+ front edge inward)"), required=False)

    def clean_steer(self) -> float:
        """Straight ahead where no steering was asked for."""
        return self.cleaned_data["steer"] or 0.0

    @property
    def pose(self) -> PoseAt:
        """The pose that was asked for; for a form that is valid."""
        return PoseAt(self.cleaned_data["travel"], self.cleaned_data["steer"])


@dataclass(frozen=True)
class PoseView:
    """One pose: what it says in a sentence, and both drawings."""

    said: str
    section: Drawing
    side: Drawing


@dataclass(frozen=True)
class Slider:
    """One slider: its name, label, whole bounds and where it stands."""

    name: str
    label: str
    low: int
    high: int
    value: str


def poses_page(
    check: ClearanceCheck, corner: str, answer: CornerAnswer, form: PoseForm, *, alone: bool
) -> dict[str, Any]:
    """Context of the page; ``alone`` leaves out the fixed poses, which do not change."""
    context: dict[str, Any] = {
        "check": check,
        "order": check.order,
        "corner": corner,
        "corner_name": corner_said(corner),
        "form": form,
    }
    if not answer.places:
        return context | {"cannot": _("This corner's survey holds no spots.")}
    try:
        question = asked(check)
        setting = setting_of(corner, question.corners[corner], question.duty)
    except CannotPlot as cannot:
        return context | {"cannot": str(cannot)}
    except (Unreachable, RestsOnStops) as cannot:
        return context | {"cannot": reason_text(cannot)}
    worst = worst_spot(answer)
    tightest = worst.at if worst else PoseAt(0.0, 0.0)
    if form.is_valid():
        pose = corner_at_pose(setting, answer.places, form.pose)
    else:
        pose = corner_at_pose(setting, answer.places, tightest, load=tightest.load)
    shown = pose_view(corner, pose, id_prefix=f"pose-{check.pk}-{corner.lower()}")
    context |= {"pose": shown, "sliders": list(_sliders(form, pose_range(setting), pose.at))}
    if not alone:
        context["fixed"] = list(_fixed(check, corner, setting, answer, tightest))
    return context


def _fixed(
    check: ClearanceCheck, corner: str, setting: Setting, answer: CornerAnswer, tightest: PoseAt
) -> Iterator[PoseView]:
    """Three poses that tell most, for those who move no slider."""
    prefix = f"fixed-{check.pk}-{corner.lower()}"
    for number, at in enumerate(fixed_poses(setting, tightest)):
        load = at.load if at is tightest else None
        pose = corner_at_pose(setting, answer.places, at, load=load)
        yield pose_view(corner, pose, id_prefix=f"{prefix}-{number}")


def _sliders(form: PoseForm, span: PoseRange, at: PoseAt) -> Iterator[Slider]:
    """The sliders, whole numbers that hold the range; one alone for a wheel that does not steer."""
    bounds = {"travel": (span.low_mm, span.high_mm, at.travel_mm)}
    if span.steers:
        bounds["steer"] = (span.out_deg, span.in_deg, at.steer_deg)
    for name, (low, high, value) in bounds.items():
        label = str(form.fields[name].label)
        yield Slider(name, label, math.floor(low), math.ceil(high), for_machines(value, 1))


def pose_view(
    corner: str, pose: CornerAtPose, *, id_prefix: str, reader: Reader = SHOP
) -> PoseView:
    """A pose as a page shows it."""
    section = pose_scene(pose, title=title_of("section", corner, pose), letter=letter_for(reader))
    drawings = []
    for name, scene in (("section", section), ("side", side_scene_at(corner, pose))):
        shown = lettered_for(scene, reader)
        svg = svg_of(shown, id_prefix=f"{id_prefix}-{name}")
        drawings.append(Drawing(shown.title, svg, shown.legend))
    said = " ".join(render(one, reader) for one in pose_said(pose))
    return PoseView(said, *drawings)


def pose_said(pose: CornerAtPose) -> Iterator[Message]:
    """The pose and the spot with the least to spare in it; and whether another was asked for."""
    at = pose.at
    told = pose_of(at.travel_mm, at.steer_deg, load=at.load)
    tightest = pose.tightest
    if tightest is None:
        yield message("pose-said.none", pose=told)
    else:
        spot = pose.spots[tightest]
        yield message("pose-said.spot", pose=told, gap_mm=spot.clearance_mm, spot=spot.place)
    if not pose.is_as_wanted:
        yield message("pose-said.not-visited")
