"""Rims that the standard permits for a size of tyre.

A table by nominal width and aspect ratio, as standards of tyres and rims print it; no rule of
ratios stands for it, so a size that is not in it is not known. From memory of such tables: where
memory was not sure of an end, the narrower range stands, so that a rim that is permitted may be
refused and never the other way round. It holds for every rim diameter. Inches.
"""

from __future__ import annotations

from fitment.engine.solid.designation import Size

#: Nominal widths, mm, and their rims (least, most), in, by aspect ratio.
_TABLE: dict[int, dict[int, tuple[float, float]]] = {
    65: {
        155: (4.5, 5.5),
        165: (4.5, 6.0),
        175: (5.0, 6.0),
        185: (5.0, 6.5),
        195: (5.5, 7.0),
        205: (5.5, 7.5),
        215: (6.0, 7.5),
        225: (6.0, 8.0),
        235: (6.5, 8.5),
    },
    60: {
        175: (5.0, 6.0),
        185: (5.0, 6.5),
        195: (5.5, 7.0),
        205: (5.5, 7.5),
        215: (6.0, 7.5),
        225: (6.0, 8.0),
        235: (6.5, 8.5),
    },
    55: {
        175: (5.0, 6.0),
        185: (5.0, 6.5),
        195: (5.5, 7.0),
        205: (5.5, 7.5),
        215: (6.0, 7.5),
        225: (6.0, 8.0),
        235: (6.5, 8.5),
        245: (7.0, 8.5),
        255: (7.0, 9.0),
    },
    50: {
        195: (5.5, 7.0),
        205: (5.5, 7.5),
        215: (6.0, 7.5),
        225: (6.0, 8.0),
        235: (6.5, 8.5),
        245: (7.0, 8.5),
        255: (7.0, 9.0),
    },
    45: {
        195: (6.0, 7.5),
        205: (6.5, 7.5),
        215: (7.0, 8.0),
        225: (7.0, 8.5),
        235: (7.5, 9.0),
        245: (7.5, 9.0),
        255: (8.0, 9.5),
        265: (8.5, 10.0),
        275: (8.5, 10.5),
    },
    40: {
        195: (6.5, 7.5),
        205: (7.0, 8.0),
        215: (7.0, 8.5),
        225: (7.5, 9.0),
        235: (8.0, 9.5),
        245: (8.0, 9.5),
        255: (8.5, 10.0),
        265: (9.0, 10.5),
        275: (9.0, 11.0),
        285: (9.5, 11.0),
        295: (10.0, 11.5),
    },
    35: {
        215: (7.0, 8.5),
        225: (7.5, 9.0),
        235: (8.0, 9.5),
        245: (8.0, 9.5),
        255: (8.5, 10.0),
        265: (9.0, 10.5),
        275: (9.0, 11.0),
        285: (9.5, 11.0),
        295: (10.0, 11.5),
        305: (10.0, 11.5),
    },
    30: {
        225: (7.5, 9.0),
        235: (8.0, 9.5),
        245: (8.0, 9.5),
        255: (8.5, 10.0),
        265: (9.0, 10.0),
        275: (9.0, 10.5),
        285: (9.5, 10.5),
        295: (10.0, 11.0),
        305: (10.5, 11.5),
        315: (10.5, 11.5),
        325: (11.0, 12.0),
        335: (11.5, 12.5),
    },
    25: {
        285: (10.0, 11.0),
        295: (10.0, 11.0),
        305: (10.5, 12.0),
        315: (10.5, 12.0),
        325: (11.0, 12.5),
        335: (11.5, 13.0),
    },
}


def permitted_rims(size: Size) -> tuple[float, float] | None:
    """Narrowest and widest rim that the standard permits for a size; None where not known."""
    return _TABLE.get(round(size.aspect), {}).get(round(size.width_mm))
