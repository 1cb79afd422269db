"""Shape-preserving cubic interpolation of measured curves.

Piecewise cubic Hermite with the slopes of F. N. Fritsch and J. Butland (weighted harmonic mean;
*SIAM J. Sci. Stat. Comput.* 5, 1984) and the one-sided three-point end slopes that scipy's
``PchipInterpolator`` uses; written out because scipy takes a second to import and nothing else of
it is needed at run time. The tests compare the two.
"""

from __future__ import annotations

import numpy as np

from alignment.geometry.frames import Array


class Pchip:
    """Interpolates ``values`` (k, columns) over rising ``knots`` (k,), k at least 2."""

    def __init__(self, knots: Array, values: Array) -> None:
        self.knots, self.values = np.asarray(knots, float), np.asarray(values, float)
        width = np.diff(self.knots)[:, None]
        secant = np.diff(self.values, axis=0) / width
        if len(self.knots) == 2:
            self.slopes = np.repeat(secant, 2, axis=0)
            return
        before, after = secant[:-1], secant[1:]
        w1, w2 = 2 * width[1:] + width[:-1], width[1:] + 2 * width[:-1]
        turning = (before * after) <= 0
        safe_before, safe_after = (
            np.where(turning, 1.0, before),
            np.where(turning, 1.0, after),
        )
        inside = np.where(turning, 0.0, (w1 + w2) / (w1 / safe_before + w2 / safe_after))
        first = _end_slope(width[0], width[1], secant[0], secant[1])
        last = _end_slope(width[-1], width[-2], secant[-1], secant[-2])
        self.slopes = np.concatenate([first[None], inside, last[None]])

    def slope(self, at: Array) -> Array:
        """Derivatives (n, columns) at ``at`` (n,), on the piece that ``__call__`` takes there."""
        width, t, (y0, y1), (d0, d1) = self._piece(np.asarray(at, float))
        bend, twist = 3 * (y1 - y0) - 2 * d0 - d1, 2 * (y0 - y1) + d0 + d1
        result: Array = (d0 + t * (2 * bend + t * 3 * twist)) / width
        return result

    def __call__(self, at: Array) -> Array:
        """Values (n, columns) at ``at`` (n,), which must lie within the knots."""
        _, t, (y0, y1), (d0, d1) = self._piece(np.asarray(at, float))
        result: Array = y0 + t * (
            d0 + t * (3 * (y1 - y0) - 2 * d0 - d1 + t * (2 * (y0 - y1) + d0 + d1))
        )
        return result

    def _piece(self, at: Array) -> tuple[Array, Array, tuple[Array, Array], tuple[Array, Array]]:
        """Width of the piece at ``at``, share of it, and values and slopes (per piece) at its
        ends."""
        index = np.clip(np.searchsorted(self.knots, at, side="right") - 1, 0, len(self.knots) - 2)
        width = (self.knots[index + 1] - self.knots[index])[:, None]
        t = (at - self.knots[index])[:, None] / width
        y0, y1 = self.values[index], self.values[index + 1]
        d0, d1 = self.slopes[index] * width, self.slopes[index + 1] * width
        return width, t, (y0, y1), (d0, d1)


def _end_slope(h0: Array, h1: Array, s0: Array, s1: Array) -> Array:
    """Three-point slope at an end, limited so that the curve keeps its shape there."""
    slope = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1)
    slope = np.where(np.sign(slope) != np.sign(s0), 0.0, slope)
    steep = (np.sign(s0) != np.sign(s1)) & (np.abs(slope) > 3 * np.abs(s0))
    return np.where(steep, 3 * s0, slope)
