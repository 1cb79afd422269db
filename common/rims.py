"""Rims by their code in inches. Millimetres."""

from __future__ import annotations

from common.units import MM_PER_INCH

#: What is added to a code in inches for the diameter that is specified for its bead seat, from this
#: code up: ISO 4000-1, from memory; 14 to 20 are 354.8, 380.2, 405.6, 436.6, 462.0, 487.4, 512.8.
TO_SPECIFIED_MM = ((17.0, 4.8), (0.0, -0.8))


def specified_diameter_mm(code: float) -> float:
    """Diameter of the bead seat of a rim of this code; codes between whole inches follow none."""
    if code != int(code):
        return MM_PER_INCH * code
    more = next(mm for least, mm in TO_SPECIFIED_MM if code >= least)
    return round(MM_PER_INCH * code + more, 1)
