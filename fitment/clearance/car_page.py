"""The whole car of a stored check: its corners side by side, and what differs between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext_lazy

from common.corners import AXLE_NAMES, CORNER_NAMES, FRONT, REAR
from fitment.clearance.curve_pages import CannotPlot, asked
from fitment.clearance.page import drawn
from fitment.engine import checkfile
from fitment.engine.deciding import worst_spot
from fitment.engine.model import CornerAnswer
from fitment.engine.mounting.law import with_usual
from fitment.engine.whole_car import ALL, TyrePair, car_view
from fitment.models import ClearanceCheck, CornerSurvey, ShopLaw
from fitment.mounting.services.facts import drive_of, figure_of
from fitment.surveys.services import MIRROR_SIGMA_MM
from fitment.text.render import corner_text, reason_text
from shop.languages.figures import short


@dataclass(frozen=True)
class CornerTile:
    """One corner: its drawing, its verdict, and what decides it."""

    corner: str
    name: str
    answer: CornerAnswer
    sentence: str
    place: str
    drawing: SafeString


def car_page(check: ClearanceCheck) -> dict[str, Any]:
    """Context of the page; drawings are those that were kept with the check."""
    answer = checkfile.answer_load(check.answer)
    corners = [
        CornerTile(
            corner=name,
            name=CORNER_NAMES[name],
            answer=answer.corners[name],
            sentence=corner_text(name, answer.corners[name]),
            place=worst.place if (worst := worst_spot(answer.corners[name])) else "",
            drawing=drawn(check, name)[0],
        )
        for name in CORNER_NAMES
        if name in answer.corners
    ]
    context: dict[str, Any] = {"check": check, "order": check.order, "corners": corners}
    car_model = check.order.vehicle.car_model
    drive = drive_of(car_model, with_usual(ShopLaw.load().law()))
    try:
        view = car_view(asked(check), answer, drive)
    except CannotPlot as cannot:
        return context | {"cannot": reason_text(cannot)}
    return context | {
        "view": view,
        "pairs": [_pair(pair) for pair in view.tyres],
        "drive": drive,
        "limit_percent": figure_of(drive).value,
        "drive_words": DRIVE_WORDS[drive.driven],
        "car_model": car_model,
        "mirrored": mirrored_corners(check),
        "missing_names": [CORNER_NAMES[name] for name in view.missing],
    }


#: What the drive turns, in words.
DRIVE_WORDS = {
    FRONT: gettext_lazy("The front axle is driven."),
    REAR: gettext_lazy("The rear axle is driven."),
    ALL: gettext_lazy("All four wheels are driven, and the drive joins the axles."),
    "": gettext_lazy(
        "It is not recorded which axle is driven, so tyres are not held against the drive."
    ),
}


def _pair(pair: TyrePair) -> dict[str, Any]:
    """Tyres that stand beside each other, in words, with the difference in per cent."""
    words = {**AXLE_NAMES, **CORNER_NAMES}
    limit = f"{short(100 * pair.drive.most_apart)} %"
    asks = f"joined by the drive, within {limit}" if pair.joined else "not joined by the drive"
    if pair.is_beyond:
        asks = f"joined by the drive, further apart than {limit}"
    return {
        "names": " against ".join(words[name] for name in pair.names),
        "one": pair.circumference_mm[0],
        "other": pair.circumference_mm[1],
        "percent": 100 * pair.off,
        "ratio": pair.ratio,
        "wanted": pair.wanted,
        "asks": asks,
    }


@dataclass(frozen=True)
class Mirrored:
    """A corner whose survey was taken over from the other side, and what that adds (mm)."""

    name: str
    other: str
    version: int
    sigma_mm: float = MIRROR_SIGMA_MM


def mirrored_corners(check: ClearanceCheck) -> list[Mirrored]:
    """Corners of a check that stand on the other side's survey.

    A check keeps what was measured, not which version that was: the version is found by it.
    """
    car_model = check.order.vehicle.car_model
    if car_model is None:
        return []
    surveys = CornerSurvey.objects.filter(car_model=car_model, mirrored_from__isnull=False)
    found: dict[str, Mirrored] = {}
    for survey in surveys.select_related("mirrored_from").order_by("version"):
        asked_of, source = check.inputs["corners"].get(survey.corner), survey.mirrored_from
        if source and asked_of and asked_of["survey"] == survey.document["survey"]:
            found[survey.corner] = Mirrored(survey.corner_name, source.corner_name, source.version)
    return [found[corner] for corner in CORNER_NAMES if corner in found]
