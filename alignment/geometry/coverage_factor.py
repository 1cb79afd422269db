"""Coverage factors: how many standard uncertainties hold about 95 in 100.

Two where the standard uncertainty is known; more where it was itself estimated from a few
readings, by Student's t (GUM, JCGM 100:2008, G.3 and table G.2, 95.45 %; from memory, held against
computed quantiles by a test).
"""

from __future__ import annotations

from alignment.geometry.readings import COVERAGE

#: For 1 to 10 degrees of freedom.
FEW = (13.968, 4.527, 3.307, 2.869, 2.649, 2.517, 2.429, 2.366, 2.320, 2.284)


def coverage_factor(degrees_of_freedom: int) -> float:
    """Factor for a standard uncertainty that so many degrees of freedom tell.

    From ten up by the expansion about the normal distribution (Abramowitz and Stegun, 26.7.5),
    good to 0.001. Raises ValueError without any.
    """
    if degrees_of_freedom < 1:
        raise ValueError("a scatter without degrees of freedom tells no uncertainty")
    if degrees_of_freedom <= len(FEW):
        return FEW[degrees_of_freedom - 1]
    z, n = COVERAGE, degrees_of_freedom
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / n + second / n**2 + third / n**3
