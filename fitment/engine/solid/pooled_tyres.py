"""Several measurements of one make and size of tyre, pooled into what the next one will be.

A shop measures the tyres that it mounts. Each reading has its own error, and no two tyres of
a make are alike; what a check needs is the size of a tyre not measured yet. So the
standard uncertainty here is that of the *next* tyre: s · sqrt(1 + 1/n), where s is the spread
of a single reading about the mean. With few readings their own spread says little, and it is
weighed with the spread that a shop may expect. Millimetres, rim widths in inches.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array
from common.units import MM_PER_INCH
from fitment.engine.defaults import WIDTH_MEASURED, WIDTH_PER_RIM_WIDTH

EXPECTED_SPREAD_MM = WIDTH_MEASURED.value / math.sqrt(2.0)
"""Spread of one reading expected beforehand: one measured tyre then says the width of the next
to the default for measured widths."""

EXPECTED_WEIGHT = 2.0
"""How many readings the expected spread counts for."""

DIAMETER_SPREAD_MM = 1.0
"""The same for diameters: a tape round the crown, and pressure."""

SAME_RIM_IN = 0.26
"""A traced section serves on rims no further than this from the one it was traced on, inches."""

TRACE_POINTS = 61
"""Points of a pooled section."""

Trace = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Pooled:
    """The mean of ``count`` readings, and the standard uncertainty of the next tyre."""

    mean_mm: float
    sigma_mm: float
    count: int
    spread_mm: float | None  # of the readings alone; None for fewer than two


@dataclass(frozen=True)
class Measured:
    """One measured tyre; None where something was not read."""

    rim_in: float
    width_mm: float | None = None
    diameter_mm: float | None = None
    tread_mm: float | None = None
    shoulder_mm: float | None = None
    trace: Trace = ()


@dataclass(frozen=True)
class PooledTyre:
    """What all measurements of a tyre come to; widths are on a rim of ``rim_in``."""

    rim_in: float
    width: Pooled | None
    diameter: Pooled | None
    tread: Pooled | None
    shoulder: Pooled | None
    trace: Trace


def pooled(readings: Sequence[float], expected_spread_mm: float) -> Pooled | None:
    """Mean and uncertainty of the next one; None for no reading."""
    count = len(readings)
    if count == 0:
        return None
    values = np.asarray(readings, float)
    spread = float(np.std(values, ddof=1)) if count > 1 else None
    squares = EXPECTED_WEIGHT * expected_spread_mm**2
    if spread is not None:
        squares += (count - 1) * spread**2
    single = squares / (EXPECTED_WEIGHT + count - 1)
    return Pooled(
        mean_mm=float(np.mean(values)),
        sigma_mm=math.sqrt(single * (1.0 + 1.0 / count)),
        count=count,
        spread_mm=spread,
    )


def pooled_tyre(measured: Sequence[Measured]) -> PooledTyre | None:
    """All measurements of one tyre; None for none.

    Widths, and treads with them, are carried to the rim that was measured most often (of
    equals, the narrowest) by 0.4 of the rim's width (UN R30, 6.1.1.1). Sections are pooled only
    among those traced on that rim.
    """
    if not measured:
        return None
    rims = [one.rim_in for one in measured]
    rim = min(rims, key=lambda one: (-rims.count(one), one))

    def carried(one: Measured) -> float:
        return WIDTH_PER_RIM_WIDTH * MM_PER_INCH * (rim - one.rim_in)

    widths = [one.width_mm + carried(one) for one in measured if one.width_mm is not None]
    diameters = [one.diameter_mm for one in measured if one.diameter_mm is not None]
    treads = [one.tread_mm for one in measured if one.tread_mm is not None]
    shoulders = [one.shoulder_mm for one in measured if one.shoulder_mm is not None]
    traces = [one.trace for one in measured if one.trace and abs(one.rim_in - rim) < SAME_RIM_IN]
    return PooledTyre(
        rim_in=rim,
        width=pooled(widths, EXPECTED_SPREAD_MM),
        diameter=pooled(diameters, DIAMETER_SPREAD_MM),
        tread=pooled(treads, EXPECTED_SPREAD_MM),
        shoulder=pooled(shoulders, EXPECTED_SPREAD_MM),
        trace=mean_trace(traces),
    )


def mean_trace(traces: Sequence[Trace]) -> Trace:
    """Mean of traced sections, point by point at equal shares of their length; empty for none.

    A single trace is kept as it was drawn.
    """
    if not traces:
        return ()
    if len(traces) == 1:
        return tuple(traces[0])
    mean = np.mean([_even(trace) for trace in traces], axis=0)
    return tuple((round(float(b), 2), round(float(r), 2)) for b, r in mean)


def _even(trace: Trace) -> Array:
    """A trace (n, 2) as TRACE_POINTS points at equal shares of its length."""
    points = np.asarray(trace, float)
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    wanted = np.linspace(0.0, length[-1], TRACE_POINTS)
    return np.stack([np.interp(wanted, length, points[:, i]) for i in (0, 1)], axis=-1)
