"""Rims that the standard permits for a size of tyre.

A table by nominal width and aspect ratio, as standards of tyres and rims print it; no rule of
ratios stands for it, so a size that is not in it is not known. From memory of such tables: where
memory was not sure of an end, the narrower range stands, so that a rim that is permitted may be
refused and never the other way round. It holds for every rim diameter. Inches.
"""

from __future__ import annotations

from fitment.engine.solid.designation import Size

#: Rims, in, by nominal width, mm, and aspect ratio.
_PRINTED = """
     65        60        55        50        45        40        35        30        25
155  4.5-5.5   .         .         .         .         .         .         .         .
165  4.5-6     .         .         .         .         .         .         .         .
175  5-6       5-6       5-6       .         .         .         .         .         .
185  5-6.5     5-6.5     5-6.5     .         .         .         .         .         .
195  5.5-7     5.5-7     5.5-7     5.5-7     6-7.5     6.5-7.5   .         .         .
205  5.5-7.5   5.5-7.5   5.5-7.5   5.5-7.5   6.5-7.5   7-8       .         .         .
215  6-7.5     6-7.5     6-7.5     6-7.5     7-8       7-8.5     7-8.5     .         .
225  6-8       6-8       6-8       6-8       7-8.5     7.5-9     7.5-9     7.5-9     .
235  6.5-8.5   6.5-8.5   6.5-8.5   6.5-8.5   7.5-9     8-9.5     8-9.5     8-9.5     .
245  .         .         7-8.5     7-8.5     7.5-9     8-9.5     8-9.5     8-9.5     .
255  .         .         7-9       7-9       8-9.5     8.5-10    8.5-10    8.5-10    .
265  .         .         .         .         8.5-10    9-10.5    9-10.5    9-10      .
275  .         .         .         .         8.5-10.5  9-11      9-11      9-10.5    .
285  .         .         .         .         .         9.5-11    9.5-11    9.5-10.5  10-11
295  .         .         .         .         .         10-11.5   10-11.5   10-11     10-11
305  .         .         .         .         .         .         10-11.5   10.5-11.5 10.5-12
315  .         .         .         .         .         .         .         10.5-11.5 10.5-12
325  .         .         .         .         .         .         .         11-12     11-12.5
335  .         .         .         .         .         .         .         11.5-12.5 11.5-13
"""


def _read(printed: str) -> dict[tuple[int, int], tuple[float, float]]:
    """Least and most rim by width and aspect ratio; no entry for a dot."""
    head, *rows = (line.split() for line in printed.strip().splitlines())
    table = {}
    for width, *cells in rows:
        for ratio, cell in zip(head, cells, strict=True):
            if cell != ".":
                least, _, most = cell.partition("-")
                table[int(width), int(ratio)] = float(least), float(most)
    return table


_TABLE = _read(_PRINTED)


def permitted_rims(size: Size) -> tuple[float, float] | None:
    """Narrowest and widest rim that the standard permits for a size; None where not known."""
    return _TABLE.get((round(size.width_mm), round(size.aspect)))
