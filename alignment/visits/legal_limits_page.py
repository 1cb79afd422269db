"""Cautions by law on a visit's page: readings against limits around the maker's figures."""

from __future__ import annotations

from django.utils.translation import gettext as _

from alignment.geometry.limits import ToeJudged, toe_in_service
from alignment.models import Quantity, RackVisit, TargetSheet
from alignment.models.targets import TargetKind
from alignment.visits.services.derived_quantities import total_toe_of
from common.corners import AXLE_CORNERS
from shop.languages.figures import format_degrees
from shop.models import Axle, Use, WorkOrder


def beyond_limits(order: WorkOrder, visit: RackVisit | None) -> list[str]:
    """A sentence for each limit that the readings exceed, where the maker's value is known."""
    if visit is None:
        return []
    values = visit.values()
    total = total_toe_of(values, Axle.FRONT)
    sheet = maker_sheet(order) if total is not None else None
    figure = next(
        (
            one
            for one in (sheet.figures.all() if sheet else ())
            if (one.axle, one.quantity) == (Axle.FRONT, Quantity.TOE)
        ),
        None,
    )
    if total is None or sheet is None or figure is None:
        return []
    tolerance = figure.cross_tolerance
    if tolerance is None:
        tolerance = figure.left_tolerance + figure.right_tolerance
    wheels = sum((corner, Quantity.TOE) in values for corner in AXLE_CORNERS[Axle.FRONT])
    judged = toe_in_service(total, figure.cross, tolerance, visit.accuracy_deg, max(wheels, 1))
    if judged is None or not judged.is_beyond:
        return []
    return [_said(judged, sheet)]


def maker_sheet(order: WorkOrder) -> TargetSheet | None:
    """The current sheet of the vehicle maker's figures: of the order's use, else of the street,
    else of any."""
    sheets = TargetSheet.objects.filter(
        car_model_id=order.vehicle.car_model_id, kind=TargetKind.MAKER
    ).current()
    ranked = sorted(
        sheets.with_figures(), key=lambda sheet: (sheet.use != order.use, sheet.use != Use.STREET)
    )
    return ranked[0] if ranked else None


def _said(judged: ToeJudged, sheet: TargetSheet) -> str:
    text = (
        _(
            "Front total toe, {toe}, exceeds the federal in-service limit of the United States: "
            "{document}, {rule}, here ±{limit} from “{source}”, version {number}. Elsewhere local "
            "law decides."
        )
        if judged.is_told
        else _(
            "Front total toe, {toe}, exceeds the federal in-service limit of the United States by "
            "less than the rack's accuracy: {document}, {rule}, here ±{limit} from “{source}”, "
            "version {number}. Elsewhere local law decides."
        )
    )
    return text.format(
        toe=format_degrees(judged.total_deg),
        document=judged.rule.document,
        rule=judged.rule.words,
        limit=format_degrees(judged.limit_deg, signed=False),
        source=sheet.source,
        number=sheet.version,
    )
