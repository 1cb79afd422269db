"""Combinations of wheel, tyre and spacer, and the solids that they have in common. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from common.units import MM_PER_INCH
from fitment.engine.model import Tyre, Wheel
from fitment.engine.search.batch_distance import Rims, Tangents, tangents
from fitment.engine.solid.designation import BadSize
from fitment.engine.solid.mounted import BadSection, Mounted, mounted


@dataclass(frozen=True)
class Combos:
    """Combinations (n,) as indices into wheels, tyres and spacers."""

    wheels: tuple[Wheel, ...]
    tyres: tuple[Tyre, ...]
    spacers_mm: tuple[float, ...]
    wheel: Index
    tyre: Index
    spacer: Index

    def __len__(self) -> int:
        return len(self.wheel)

    def at(self, index: int) -> tuple[Wheel, Tyre]:
        """Wheel on its spacer, and tyre, of one combination."""
        wheel = self.wheels[int(self.wheel[index])]
        spacer = self.spacers_mm[int(self.spacer[index])]
        return replace(wheel, spacer_mm=spacer), self.tyres[int(self.tyre[index])]


@dataclass(frozen=True)
class Solids:
    """Solids of combinations (n,), each worked out once for all that share it.

    ``row`` (n,) numbers tyres on a rim in one plane: ``pair`` (rows,) the tyre on its rim,
    ``centre`` (rows,) the plane of its centre, outboard of the hub's face. ``sizes``, ``tyres`` and
    ``rim_mm`` are by pair. ``rim`` (n,) numbers ``rims``, wheels on a spacer. ``impossible`` (n,)
    marks tyres that cannot be mounted on their wheel; some other size stands in for theirs.
    """

    sizes: tuple[Mounted, ...]
    tyres: tuple[Tyre, ...]
    rim_mm: tuple[float, ...]
    row: Index
    pair: Index
    centre: Array
    rim: Index
    rims: Rims
    impossible: Flags

    def tangents(self, fine: bool) -> Tangents:
        """Every tyre on its rim as tangents, few or many."""
        return tangents(self.sizes, self.rim_mm, self.tyres, fine)

    @cached_property
    def fine(self) -> Tangents:
        return self.tangents(True)

    @cached_property
    def traced(self) -> Flags:
        """Which pairs have a section that was traced."""
        return np.array([bool(tyre.profile) for tyre in self.tyres], bool)


def solids_of(combos: Combos) -> Solids | None:
    """The solids of some combinations; None where no tyre can be mounted on its wheel."""
    rims = [(wheel.diameter_in, wheel.rim_mm, wheel.seat_radius_mm) for wheel in combos.wheels]
    kinds = sorted(set(rims))
    numbered = {rim: number for number, rim in enumerate(kinds)}
    kind = np.array([numbered[rim] for rim in rims], int)[combos.wheel]
    many = len(combos.tyres)
    pairs, pair = np.unique(kind * many + combos.tyre, return_inverse=True)
    sizes = [_mounted(*kinds[int(one) // many], combos.tyres[int(one) % many]) for one in pairs]
    known = [size for size in sizes if size is not None]
    if not known:
        return None
    offset = np.array([wheel.offset_mm for wheel in combos.wheels])
    centre = np.array(combos.spacers_mm)[combos.spacer] - offset[combos.wheel]
    centres, centre_at = np.unique(np.round(centre, 4), return_inverse=True)
    rows, row = np.unique(pair * len(centres) + centre_at, return_inverse=True)
    spacers = len(combos.spacers_mm)
    wheels, rim = np.unique(combos.wheel * spacers + combos.spacer, return_inverse=True)
    return Solids(
        sizes=tuple(size or known[0] for size in sizes),
        tyres=tuple(combos.tyres[int(one) % many] for one in pairs),
        rim_mm=tuple(kinds[int(one) // many][1] for one in pairs),
        row=row,
        pair=rows // len(centres),
        centre=centres[rows % len(centres)],
        rim=rim,
        rims=Rims.of(
            [combos.wheels[one // spacers] for one in wheels],
            [combos.spacers_mm[one % spacers] for one in wheels],
        ),
        impossible=np.array([size is None for size in sizes], bool)[pair],
    )


def _mounted(diameter_in: float, rim_mm: float, seat_mm: float, tyre: Tyre) -> Mounted | None:
    wheel = Wheel(
        diameter_in, rim_mm / MM_PER_INCH, 0.0, width_mm=rim_mm, rim_diameter_mm=2 * seat_mm
    )
    try:
        return mounted(wheel, tyre)
    except (BadSize, BadSection):
        return None
