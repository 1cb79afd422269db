"""A target sheet as a table."""

from __future__ import annotations

from dataclasses import dataclass

from alignment.geometry.units import format_mm, format_number
from alignment.models import Quantity, TargetFigure, TargetSheet
from alignment.text.labels import camber_method_text
from common.corners import AXLES


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
            return format_mm(value, 0, signed=difference).removesuffix(" mm")
        return format_number(value, 2)

    def tolerance(value: float | None) -> str:
        if value is None:
            return "not judged"
        return f"±{value:.0f}" if is_length else f"±{value:.2f}"

    return FigureRow(
        title=f"{figure.get_quantity_display()}, {figure.axle}",
        unit="mm" if is_length else "degrees",
        left=shown(figure.left),
        right=shown(figure.right),
        cross=shown(figure.cross, difference=True),
        left_tolerance=tolerance(figure.left_tolerance),
        right_tolerance=tolerance(figure.right_tolerance),
        cross_tolerance=tolerance(figure.cross_tolerance),
        note=camber_method_text(camber_method),
    )
