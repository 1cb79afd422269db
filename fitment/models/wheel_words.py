"""The size of a wheel as people type it into a search."""

from __future__ import annotations

from typing import Any


def wheel_size_words(wheel: Any) -> str:
    """Either number first: ``9.5x18 18x9.5 ET35``. Widths in inches, the offset in mm."""
    width, rim = f"{float(wheel.width_in):g}", f"{float(wheel.diameter_in):g}"
    return f"{width}x{rim} {rim}x{width} ET{float(wheel.offset_mm):g}"
