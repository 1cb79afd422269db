"""The size that a tyre takes on a particular wheel.

Resolves what was measured, what the maker states and what follows from the size
designation into one set of dimensions. Millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

from common.numerals import fixed
from common.units import MM_PER_INCH
from fitment.engine import defaults
from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.designation import size_of


class BadSection(ValueError):
    """Wheel and tyre dimensions that cannot describe one section; ``field`` names the culprit."""

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(reason)
        self.field = field


@dataclass(frozen=True)
class Mounted:
    """Dimensions of a mounted tyre.

    ``nominal_width`` and ``nominal_diameter`` tell that the figure follows from the
    designation alone.
    """

    section_width_mm: float
    overall_diameter_mm: float
    tread_width_mm: float
    shoulder_drop_mm: float
    rim_radius_mm: float
    nominal_width: bool
    nominal_diameter: bool

    @property
    def tyre_radius_mm(self) -> float:
        """Radius over the crown."""
        return self.overall_diameter_mm / 2

    @property
    def section_height_mm(self) -> float:
        """Height of the section over the bead seat of this wheel."""
        return self.tyre_radius_mm - self.rim_radius_mm

    @property
    def widest_radius_mm(self) -> float:
        """Radius at which the section is widest: halfway up."""
        return self.rim_radius_mm + self.section_height_mm / 2


def mounted(wheel: Wheel, tyre: Tyre) -> Mounted:
    """Dimensions of ``tyre`` on ``wheel``. Raises BadSize or BadSection where none follow."""
    size = size_of(tyre.size)
    nominal, diameter = tyre.section_width_mm is None, tyre.overall_diameter_mm
    if tyre.section_width_mm is None:
        if tyre.measuring_rim_in is not None:
            raise BadSection(
                "measuring_rim_in", "a measuring rim means nothing without the section width on it"
            )
        width = size.section_width_mm(wheel.rim_mm / MM_PER_INCH)
    elif tyre.measuring_rim_in is None:
        width = tyre.section_width_mm
    else:
        on_rim = wheel.rim_mm - MM_PER_INCH * tyre.measuring_rim_in
        width = tyre.section_width_mm + defaults.WIDTH_PER_RIM_WIDTH * on_rim
    across = size.overall_diameter_mm if diameter is None else diameter
    if tyre.largest_allowed:
        width *= defaults.LARGEST_WIDTH
        width += defaults.RIB_WIDTH_MM if tyre.protective_rib else 0.0
        tallest = size.largest_diameter_mm * (defaults.SNOW_DIAMETER if tyre.snow else 1.0)
        across = max(across, tallest)
    across += 2 * (tyre.growth_mm - tyre.worn_mm)
    rim_radius = wheel.seat_radius_mm
    height = across / 2 - rim_radius
    shoulder = defaults.SHOULDERS[tyre.shoulder or "medium"]
    result = Mounted(
        section_width_mm=width,
        overall_diameter_mm=across,
        tread_width_mm=shoulder.tread_share * width
        if tyre.tread_width_mm is None
        else tyre.tread_width_mm,
        shoulder_drop_mm=shoulder.drop(height)
        if tyre.shoulder_drop_mm is None
        else tyre.shoulder_drop_mm,
        rim_radius_mm=rim_radius,
        nominal_width=nominal,
        nominal_diameter=diameter is None,
    )
    if height <= defaults.FLANGE_HEIGHT_MM:
        raise BadSection(
            "overall_diameter_mm",
            f"a tyre {result.overall_diameter_mm:g} mm across does not stand above the flange "
            f"of a {wheel.diameter_in:g} in wheel",
        )
    if width <= 0:
        raise BadSection(
            "section_width_mm", f"the section would be {fixed(width, 1)} mm wide on this wheel"
        )
    if not 0 < result.tread_width_mm < width:
        raise BadSection(
            "tread_width_mm",
            f"a tread of {fixed(result.tread_width_mm, 1)} mm is not narrower than the section, "
            f"{fixed(width, 1)} mm",
        )
    if not 0 < result.shoulder_drop_mm < height / 2:
        raise BadSection(
            "shoulder_drop_mm",
            f"a shoulder {fixed(result.shoulder_drop_mm, 1)} mm below the crown lies past the "
            f"widest point, {fixed(height / 2, 1)} mm below it",
        )
    return result
