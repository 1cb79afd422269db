"""A target sheet as a table."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from alignment.models import Quantity, TargetFigure, TargetSheet
from alignment.text.labels import camber_method_text
from common.corners import AXLES
from shop.languages import speech_of_page
from shop.languages.figures import format_number


@dataclass(frozen=True)
class FigureRow:
    """One quantity of a sheet as text, with its tolerances."""

    title: str
    unit: str
    left: str
    right: str
    cross: str
    left_tolerance: str
    right_tolerance: str
    cross_tolerance: str
    note: str = ""


def figure_rows(sheet: TargetSheet) -> list[FigureRow]:
    """The sheet's figures, front axle first."""
    figures = sorted(sheet.figures.all(), key=lambda f: (AXLES.index(f.axle), f.pk))
    return [_row(figure, sheet) for figure in figures]


def _row(figure: TargetFigure, sheet: TargetSheet) -> FigureRow:
    is_length = figure.quantity == Quantity.RIDE_HEIGHT
    camber_method = (
        sheet.camber_by.get(figure.axle, "") if figure.quantity == Quantity.CAMBER else ""
    )

    def shown(value: float, *, difference: bool = False) -> str:
        if is_length:
            return format_number(value, 0, signed=difference)
        return format_number(value, 2)

    def tolerance(value: float | None) -> str:
        if value is None:
            return _("not judged")
        return "±" + format_number(value, 0 if is_length else 2, signed=False)

    return FigureRow(
        title=f"{figure.get_quantity_display()}, {_(figure.axle)}",
        unit="mm" if is_length else _("degrees"),
        left=shown(figure.left),
        right=shown(figure.right),
        cross=shown(figure.cross, difference=True),
        left_tolerance=tolerance(figure.left_tolerance),
        right_tolerance=tolerance(figure.right_tolerance),
        cross_tolerance=tolerance(figure.cross_tolerance),
        note=camber_method_text(camber_method, speech_of_page()),
    )
