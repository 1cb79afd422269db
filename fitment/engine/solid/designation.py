"""What the marking on a tyre says: size, measuring rim, load and speed.

Only sizes that name an aspect ratio are read; the dimensions of the others do not follow from
the marking, so they are refused with a reason. Millimetres, kilograms and km/h; rim
diameters and widths in inches, as marked.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from common.units import MM_PER_INCH
from fitment.engine.defaults import LARGEST_HEIGHT, WIDTH_PER_RIM_WIDTH

#: Nominal width, aspect ratio and rim code that any road tyre stays within.
WIDTHS_MM = (125, 425)
ASPECTS = (20, 85)
RIM_CODES = (10, 24)

_SIZE = re.compile(
    r"(?P<width>\d{3})/(?P<aspect>\d{2})\s?(?P<speed>[ZVH]?)(?P<build>[RBD])\s?"
    r"(?P<rim>\d{2}(?:\.5)?)",
    re.ASCII,
)
_SERVICE_PREFIX = re.compile(r"(?P<prefix>P|LT|T|ST)\s?(?=\d)", re.ASCII)

# Share of the nominal width that the measuring rim has, by least aspect ratio.
_MEASURING_RIM = ((75, 0.70), (60, 0.75), (50, 0.80), (45, 0.85), (30, 0.90), (0, 0.92))


class BadSize(ValueError):
    """A size designation from which no dimensions follow; the text says why."""


@dataclass(frozen=True)
class Size:
    """A radial tyre's nominal width (mm), aspect ratio (per cent) and rim code (in)."""

    width_mm: float
    aspect: float
    rim_in: float

    @property
    def section_height_mm(self) -> float:
        """Nominal height of the section, in whole millimetres."""
        return half_up(self.width_mm * self.aspect / 100.0)

    @property
    def overall_diameter_mm(self) -> float:
        """Design diameter of the new tyre (UN R30, 6.1.2), in whole millimetres."""
        return half_up(MM_PER_INCH * self.rim_in) + 2.0 * self.section_height_mm

    @property
    def largest_diameter_mm(self) -> float:
        """Tallest new tyre of this size that the standard lets pass (UN R30, 6.1.5)."""
        return half_up(MM_PER_INCH * self.rim_in) + 2.0 * LARGEST_HEIGHT * self.section_height_mm

    @property
    def theoretical_rim_mm(self) -> float:
        """Width of the rim on which the section has its nominal width (UN R30, 6.1.1.1)."""
        return (0.70 if self.aspect >= 50 else 0.85) * self.width_mm

    @property
    def measuring_rim_in(self) -> float:
        """Usual measuring rim for the aspect ratio, to the nearest half inch."""
        share = next(share for least, share in _MEASURING_RIM if self.aspect >= least)
        return half_up(2.0 * share * self.width_mm / MM_PER_INCH) / 2.0

    def section_width_mm(self, rim_in: float) -> float:
        """Nominal section width on a rim of ``rim_in`` inches, not rounded."""
        return self.width_mm + WIDTH_PER_RIM_WIDTH * (
            MM_PER_INCH * rim_in - self.theoretical_rim_mm
        )


def half_up(value: float) -> float:
    """Nearest whole number, halves upwards."""
    return float(math.floor(value + 0.5))


def size_of(designation: str) -> Size:
    """Read ``265/35R18``, also ``265/35 R18``, ``265/35ZR18`` and ``P265/35R18``.

    Raises BadSize, saying why nothing can be worked out from the marking.
    """
    text = designation.strip().upper()
    prefix = _SERVICE_PREFIX.match(text)
    if prefix and prefix["prefix"] != "P":
        raise BadSize(
            f"“{designation}” is marked {prefix['prefix']}: such tyres follow rules of their own; "
            "enter a passenger size with the measured width and diameter"
        )
    match = _SIZE.fullmatch(text, prefix.end() if prefix else 0)
    if match is None:
        raise BadSize(_why_unreadable(designation, text))
    if match["build"] != "R":
        raise BadSize(f"“{designation}” is not a radial tyre, and its dimensions differ")
    size = Size(float(match["width"]), float(match["aspect"]), float(match["rim"]))
    for value, (low, high), what in (
        (size.width_mm, WIDTHS_MM, "nominal width"),
        (size.aspect, ASPECTS, "aspect ratio"),
        (size.rim_in, RIM_CODES, "rim diameter"),
    ):
        if not low <= value <= high:
            raise BadSize(
                f"“{designation}” has {what} {value:g}, outside the range {low} to {high}"
            )
    return size


def _why_unreadable(designation: str, text: str) -> str:
    if re.fullmatch(r"P?\d{3}\s?[ZVH]?R\s?\d{2}", text, re.ASCII):
        return (
            f"“{designation}” names no aspect ratio, so its dimensions do not follow from it; "
            "measure section width and diameter, and give the nearest size that names one"
        )
    if re.fullmatch(r"\d{2}(\.\d+)?\s?X\s?\d+(\.\d+)?.*", text, re.ASCII):
        return (
            f"“{designation}” is a size in inches and does not follow the metric formula; "
            "measure section width and diameter, and give the nearest metric size"
        )
    return f"“{designation}” is not a size like 265/35R18"


# --- Load and speed -----------------------------------------------------------------------

FIRST_LOAD_INDEX = 60
_LOADS_KG = (
    *(250, 257, 265, 272, 280, 290, 300, 307, 315, 325),
    *(335, 345, 355, 365, 375, 387, 400, 412, 425, 437),
    *(450, 462, 475, 487, 500, 515, 530, 545, 560, 580),
    *(600, 615, 630, 650, 670, 690, 710, 730, 750, 775),
    *(800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030),
    *(1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360),
    1400,
)
LOAD_INDEX_KG: dict[int, int] = dict(enumerate(_LOADS_KG, start=FIRST_LOAD_INDEX))
"""Load in kilograms by load index, UN R30 Annex 4."""

SPEED_SYMBOL_KMH: dict[str, int] = {
    "J": 100,
    "K": 110,
    "L": 120,
    "M": 130,
    "N": 140,
    "P": 150,
    "Q": 160,
    "R": 170,
    "S": 180,
    "T": 190,
    "U": 200,
    "H": 210,
    "V": 240,
    "W": 270,
    "Y": 300,
}
"""Top speed by speed symbol."""

# Full load up to the first speed, then a straight line down to the share at the top speed.
_FADE: dict[str, tuple[float, float]] = {
    "V": (210.0, 0.91),
    "W": (240.0, 0.85),
    "Y": (270.0, 0.85),
}


class BadMarking(ValueError):
    """A load index, speed symbol or speed that the tables do not hold."""


def load_capacity_kg(load_index: int, speed_symbol: str, speed_kmh: float = 0.0) -> float:
    """Load that one tyre may carry at a speed. Raises BadMarking beyond the tables."""
    if load_index not in LOAD_INDEX_KG:
        raise BadMarking(
            f"load index {load_index} is outside {FIRST_LOAD_INDEX} to {max(LOAD_INDEX_KG)}"
        )
    symbol = speed_symbol.upper()
    if symbol not in SPEED_SYMBOL_KMH:
        raise BadMarking(f"speed symbol “{speed_symbol}” is not one of the table")
    top = float(SPEED_SYMBOL_KMH[symbol])
    if speed_kmh > top:
        raise BadMarking(f"a tyre marked {symbol} is not made for {speed_kmh:g} km/h")
    full = float(LOAD_INDEX_KG[load_index])
    fade_from, share_at_top = _FADE.get(symbol, (top, 1.0))
    if speed_kmh <= fade_from:
        return full
    return full * (1.0 - (1.0 - share_at_top) * (speed_kmh - fade_from) / (top - fade_from))
