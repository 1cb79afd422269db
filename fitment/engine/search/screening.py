"""One setting's room against very many combinations of wheel, tyre and spacer, roughly.

A room does not depend on the wheel, so it is sampled once, and every combination is held against
the front of the room. A rough clearance is never less than the true one, so nothing good is lost;
:mod:`fitment.engine.search.following` lowers those of promising combinations. Millimetres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array, Flags, Index
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import HARD
from fitment.engine.search.batch_distance import (
    COARSE_MM,
    COARSE_MORE,
    FAR_MM,
    FINE_MM,
    FINE_MORE,
    Floats,
    Rims,
)
from fitment.engine.search.combos import Combos, Solids, solids_of
from fitment.engine.search.pruning import Core, Samples, front, near_rims, samples_of
from fitment.engine.uncertainty.this_car import shift_of, shifts

#: Sampling of a room for very many combinations, and for a few thousand.
DENSE, LIGHT = 6, 2
#: Widths of the bands of centre planes whose tyres share a front.
BAND_MM = 24.0
#: Combinations weighed at once.
CHUNK = 128
#: How far inside the tread and beside the bead the core of a range of tyres ends, mm.
CORE_MARGIN_MM = 4.0
#: Samples this far above the tops of rims are kept for them, mm.
ABOVE_RIMS_MM = 40.0


@dataclass(frozen=True)
class View:
    """A room as some combinations see it.

    ``band`` (rows of the solids,) numbers bands of centre planes, ``fronts`` holds by band the
    samples that can be nearest to its tyres, ``near`` those that come near rims.
    """

    samples: Samples
    band: Index
    fronts: Mapping[int, Samples]
    near: Samples


@dataclass(frozen=True)
class Weighed:
    """Combinations (n,) held against one setting.

    ``gaps`` (n, features) is the most clearance that there can be, -inf where a tyre cannot be
    mounted; ``moments`` (n, features, 2) the steer and share of height of what was followed down,
    else nan. Following changes both in place. ``needed`` and ``shift`` are by feature; ``solids``
    and ``view`` are None where no combination can be mounted.
    """

    setting: Setting
    combos: Combos
    places: tuple[str, ...]
    needed: Array
    shift: Array
    gaps: Array
    moments: Array
    solids: Solids | None
    view: View | None

    @property
    def impossible(self) -> Flags:
        """Which tyres (n,) cannot be mounted on their wheel."""
        return np.ones(len(self.combos), bool) if self.solids is None else self.solids.impossible


def weigh(setting: Setting, combos: Combos, finer: int = DENSE) -> Weighed:
    """Hold combinations against a setting's room; its samples lie ``finer`` times closer."""
    duty = setting.duty
    features = [course.feature for course in setting.room.courses]
    needed = [duty.needed_hard_mm if f.surface == HARD else duty.needed_soft_mm for f in features]
    shift = shift_of(setting.corner, shifts(setting.corner, duty)[0])
    solids = solids_of(combos) if len(combos) else None
    view = None if solids is None else _view(setting, solids, finer)
    if solids is None or view is None:
        gaps = np.full((len(combos), len(features)), -np.inf)
    else:
        gaps = _rough(solids, view, len(features)) + shift - setting.room.half_thickness_mm
        gaps[solids.impossible] = -np.inf
    return Weighed(
        setting=setting,
        combos=combos,
        places=tuple(feature.place for feature in features),
        needed=np.array(needed),
        shift=shift,
        gaps=gaps,
        moments=np.full((len(combos), len(features), 2), np.nan),
        solids=solids,
        view=view,
    )


def _view(setting: Setting, solids: Solids, finer: int) -> View:
    samples = samples_of(setting.room, finer)
    least = solids.centre.min(initial=0.0)
    band = np.floor((solids.centre - least) / BAND_MM).astype(int)
    cores = {int(one): _core(solids, np.flatnonzero(band == one)) for one in np.unique(band)}
    return View(
        samples=samples,
        band=band,
        fronts={one: front(samples, core) for one, core in cores.items()},
        near=near_rims(samples, float(solids.rims.top.max(initial=0.0)) + ABOVE_RIMS_MM),
    )


def _core(solids: Solids, rows: Index) -> Core:
    """What all tyres of some rows have in common."""
    sizes = [solids.sizes[one] for one in np.unique(solids.pair[rows])]
    half = min(size.tread_width_mm for size in sizes) / 2 - CORE_MARGIN_MM
    centre = solids.centre[rows]
    left, right = centre.max() - half, centre.min() + half
    if left > right:
        left = right = (left + right) / 2
    bottom = max(size.rim_radius_mm for size in sizes) + CORE_MARGIN_MM
    top = min(size.tyre_radius_mm - size.shoulder_drop_mm for size in sizes) - CORE_MARGIN_MM
    return Core(left, right, min(bottom, top), max(bottom, top))


def _rough(solids: Solids, view: View, features: int) -> Array:
    """Most distance (n, features), by tyre and by rim apart and then together."""
    by_tyre = np.full((len(solids.pair), features), np.inf)
    traced = solids.traced[solids.pair]
    coarse = solids.tangents(False)
    for band, seen in view.fronts.items():
        for is_traced in (False, True):
            some = np.flatnonzero((view.band == band) & (traced == is_traced))
            tyres = solids.fine if is_traced else coarse
            error = FINE_MM if is_traced else COARSE_MM
            more = FINE_MORE if is_traced else COARSE_MORE
            for first in range(0, len(some), CHUNK):
                rows = some[first : first + CHUNK]
                pair = solids.pair[rows]
                gap = tyres.distance(
                    pair, solids.centre[rows], seen.axial, seen.radius, traced=is_traced
                )
                least = _least_by_feature(gap, seen.spots.which, features)
                least += more * np.maximum(least - FAR_MM, 0.0)
                by_tyre[rows] = least + (tyres.slack_mm[pair] + error)[:, None]
    by_rim = _by_rim(solids.rims, view.near, features)
    together: Array = np.minimum(by_tyre[solids.row], by_rim[solids.rim])
    return together


def _by_rim(rims: Rims, near: Samples, features: int) -> Array:
    """Distance (rims, features) from wheels to what comes near them."""
    found = np.full((len(rims.centre), features), np.inf)
    if len(near.axial):
        for first in range(0, len(found), CHUNK // 4):
            rows = np.arange(first, min(first + CHUNK // 4, len(found)))
            gap = rims.distance(rows, near.axial, near.radius)
            found[rows] = _least_by_feature(gap, near.spots.which, features)
    return found


def _least_by_feature(gap: Array | Floats, which: Index, count: int) -> Array:
    """Least over the samples (k, p) of every feature, (k, features); inf where there are none."""
    least = np.full((len(gap), count), np.inf)
    if len(which):
        starts = np.flatnonzero(np.concatenate([[True], np.diff(which) > 0]))
        least[:, which[starts]] = np.minimum.reduceat(gap, starts, axis=1)
    return least
