"""Several measured wheels of one model, pooled into what the next one will be.

As with tyres, the standard uncertainty is that of the next wheel of the kind. Millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitment.engine.defaults import OFFSET
from fitment.engine.solid.pooled_tyres import Pooled, pooled

ONE_MEASURED_MM: dict[str, float] = {
    "width": 0.7,
    "flange": 0.5,
    "offset": OFFSET.value,
    "barrel": 1.0,
    "spoke": 1.0,
    "pad": 0.3,
}
"""Standard uncertainty of the next wheel once one was measured with callipers, straightedge and
tape; shop judgement."""

TRACE_POINTS = 25
"""Points of a pooled trace along the spokes."""

Trace = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class MeasuredWheel:
    """One measured wheel; None where something was not read. A trace is (axial, radius)."""

    width_mm: float | None = None
    flange_mm: float | None = None
    back_mm: float | None = None
    offset_mm: float | None = None
    barrel_radius_mm: float | None = None
    pad_mm: float | None = None
    trace: Trace = ()


@dataclass(frozen=True)
class PooledWheel:
    """What all measurements of a wheel come to. ``spoke_sigma_mm`` is that of the trace."""

    width: Pooled | None
    flange: Pooled | None
    offset: Pooled | None
    barrel_radius: Pooled | None
    pad: Pooled | None
    trace: Trace
    traces: int
    spoke_sigma_mm: float | None


def pooled_wheel(
    measured: Sequence[MeasuredWheel], *, width_mm: float, flange_mm: float
) -> PooledWheel | None:
    """All measurements of one wheel; None for none.

    Back spacing gives the offset by the width over the flanges of the same wheel; ``width_mm``
    and ``flange_mm`` of the catalogue stand in where those were not read.
    """
    if not measured:
        return None
    traces = [one.trace for one in measured if one.trace]
    trace, sigma = mean_trace(traces)
    return PooledWheel(
        width=_pool("width", [one.width_mm for one in measured]),
        flange=_pool("flange", [one.flange_mm for one in measured]),
        offset=_pool("offset", [_offset(one, width_mm, flange_mm) for one in measured]),
        barrel_radius=_pool("barrel", [one.barrel_radius_mm for one in measured]),
        pad=_pool("pad", [one.pad_mm for one in measured]),
        trace=trace,
        traces=len(traces),
        spoke_sigma_mm=sigma,
    )


def _pool(what: str, readings: Sequence[float | None]) -> Pooled | None:
    return pooled([one for one in readings if one is not None], spread_of(what))


def spread_of(what: str) -> float:
    """Spread of one reading that is expected beforehand."""
    return ONE_MEASURED_MM[what] / math.sqrt(2.0)


def _offset(one: MeasuredWheel, width_mm: float, flange_mm: float) -> float | None:
    """Offset as read, or from back spacing: mounting face to centre plane, outboard positive."""
    if one.offset_mm is not None:
        return one.offset_mm
    if one.back_mm is None:
        return None
    width = width_mm if one.width_mm is None else one.width_mm
    flange = flange_mm if one.flange_mm is None else one.flange_mm
    return one.back_mm - (width + 2 * flange) / 2


def mean_trace(traces: Sequence[Trace]) -> tuple[Trace, float | None]:
    """Mean back of the spokes at even radii that all traces reach, and its uncertainty.

    A single trace is kept as it was drawn; () and None for none.
    """
    if not traces:
        return (), None
    if len(traces) == 1:
        return tuple(traces[0]), ONE_MEASURED_MM["spoke"]
    rows = [np.asarray(trace, float) for trace in traces]
    first, last = max(row[0, 1] for row in rows), min(row[-1, 1] for row in rows)
    radii = np.linspace(first, max(first, last), TRACE_POINTS)
    axial = np.stack([np.interp(radii, row[:, 1], row[:, 0]) for row in rows])
    each = [pooled(list(column), spread_of("spoke")) for column in axial.T]
    known = [one for one in each if one is not None]
    sigma = math.sqrt(sum(one.sigma_mm**2 for one in known) / len(known))
    points = zip(axial.mean(axis=0), radii, strict=True)
    return tuple((round(float(a), 2), round(float(r), 2)) for a, r in points), sigma
