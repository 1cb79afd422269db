"""Hub poses of one setting as a smooth function of travel and steer: piecewise Chebyshev sums.

    hub, spin, rod ends (z, s) ≈ Σ_jk w_jk T_j(z) T_k(s),   error ≤ FIT_MM at LEVER_MM from it,

on rectangles of travel z and steer s, interpolated at Chebyshev points (Mason & Handscomb,
*Chebyshev Polynomials*, 2003, ch. 6). One rectangle serves a road car's linkage; near the end of
a linkage poses go like a square root, and rectangles are quartered until each is close enough.
What differs from the textbook: the error is measured, at poses off the nodes that are solved in
the same batch, and taken twice; and rectangles that the corner never visits are left out. It ends
when every rectangle holds, or with a refusal where one of ``DEPTH`` quarterings does not.

Poses beyond the rectangles are solved one by one. Measured curves are not smooth between their
rows but cheap, so of them only the turn about the steering axis is a sum. Millimetres; radians.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Protocol

import numpy as np

from alignment.geometry.bump_steer_sheet import MeasuredMotion, Overlay
from alignment.geometry.chebyshev_patch import Patch, Span, Stretch, basis, nodes, off_nodes
from alignment.geometry.frames import Array
from alignment.geometry.linkage import Unreachable
from alignment.geometry.motion import CurvesMotion, HubPoses, Motion, Settled, Steered
from common.message import Message, message

#: Nodes over travel and over steer.
TRAVEL_NODES, STEER_NODES = 9, 13
#: A map is this close to the motion, at this distance from the hub (mm).
FIT_MM, LEVER_MM = 0.005, 320.0
#: The largest error found off the nodes is taken so often.
SAFETY = 2.0
#: How often a rectangle is quartered at most.
DEPTH = 8


def _no_kinks() -> Array:
    return np.zeros((0, 2))


class HubMap(Protocol):
    """Hub poses at absolute travel (mm) and steer (rad), both (n,)."""

    def __call__(self, travel: Array, steer: Array) -> HubPoses: ...

    @property
    def error_mm(self) -> float:
        """How far the map is from the motion at LEVER_MM from the hub."""

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """Where it is smooth; together all that its corner visits."""

    @property
    def kinks(self) -> Array:
        """Travels at which the spin axis' way has a kink, and its size (rad/mm), (k, 2)."""


@dataclass(frozen=True)
class SolvedHub:
    """Every pose solved as asked for; raises Unreachable for one that cannot be reached."""

    motion: Motion
    settled: Settled
    stretches: tuple[Stretch, ...]
    rods: tuple[int, ...] = ()
    error_mm: float = 0.0
    kinks: Array = field(default_factory=_no_kinks)

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        angles, pick = np.unique(steer, return_inverse=True)
        steered = self.motion.steered(self.settled, np.zeros(len(angles), np.intp), angles)
        return with_rods(
            self.motion.travelled(self.settled, steered, pick.ravel(), travel), self.rods
        )


@dataclass(frozen=True)
class FittedHub:
    """Chebyshev sums where they hold, poses ``solved`` elsewhere."""

    patches: tuple[Patch, ...]
    solved: SolvedHub
    kinks: Array = field(default_factory=_no_kinks)

    @property
    def error_mm(self) -> float:
        """See HubMap."""
        return max(patch.error_mm for patch in self.patches)

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """See HubMap."""
        return tuple(patch.stretch for patch in self.patches)

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        first = self.patches[0]
        if len(self.patches) == 1 and first.stretch.holds(travel, steer).all():
            return _poses(first(travel, steer))
        values = np.empty((len(travel), first.weights.shape[2]))
        rest = np.ones(len(travel), bool)
        for patch in self.patches:
            here = np.flatnonzero(rest & patch.stretch.holds(travel, steer))
            if len(here):
                values[here] = patch(travel[here], steer[here])
                rest[here] = False
        if rest.any():
            poses = self.solved(travel[rest], steer[rest])
            values[rest] = _columns(poses)
        return _poses(values)


@dataclass(frozen=True)
class MeasuredHub:
    """A map of the bare model with a measured sheet laid over it."""

    bare: HubMap
    overlay: Overlay
    static_travel: float

    @property
    def error_mm(self) -> float:
        """See HubMap."""
        return self.bare.error_mm

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """See HubMap: the bare map's, cut at the sheet's rows."""
        knots = [part.knots for part in self.overlay.added if part is not None]
        cuts = np.concatenate([*knots, [self.overlay.low, self.overlay.high]])
        return tuple(part for stretch in self.bare.stretches for part in stretch.cut(cuts))

    @property
    def kinks(self) -> Array:
        """See HubMap: where the sheet ends."""
        return self.overlay.kinks()

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        static = np.full(len(travel), self.static_travel)
        return self.overlay.laid_on(self.bare(travel, steer), travel, static)


@dataclass(frozen=True)
class CurvesHub:
    """Measured curves as they are; ``weights`` (steer,) of the turn that gives a steer."""

    motion: CurvesMotion
    settled: Settled
    whole: Stretch
    weights: Array
    error_mm: float = 0.0
    kinks: Array = field(default_factory=_no_kinks)

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """See HubMap: cut at the table's rows."""
        return tuple(self.whole.cut(self.motion.curves.knots))

    def __call__(self, travel: Array, steer: Array) -> HubPoses:
        first = np.zeros(len(steer), np.intp)
        at_rest = np.full(len(steer), self.whole.travel[0])
        inside = self.whole.holds(at_rest, steer)
        held = np.empty(len(steer))
        span, count = self.whole.steer, len(self.weights)
        held[inside] = basis(steer[inside], span, count) @ self.weights
        if not inside.all():
            beyond = self.motion.steered(self.settled, first[~inside], steer[~inside])
            held[~inside] = beyond.held
        steered = Steered(first, steer, self.settled.hub[first], self.settled.turn[first], held)
        return self.motion.travelled(self.settled, steered, np.arange(len(steer)), travel)


def hub_map(
    motion: Motion,
    settled: Settled,
    travel_span: Span,
    steer_span: Span,
    rods: tuple[int, ...] = (),
    top: Callable[[Array], Array] | None = None,
) -> HubMap:
    """Hub poses of a single setting over a span of travel (mm) and of steer (rad).

    ``rods`` picks the rods of a linkage whose ends the poses shall carry, in that order. ``top``
    gives the highest travel that is visited at steers (n,), between whose bends it is straight;
    without it, poses are solved one by one where one rectangle does not hold. Raises Unreachable
    where a visited pose is at the end of the linkage or beyond it.
    """
    whole = Stretch(travel_span, steer_span)
    if isinstance(motion, MeasuredMotion):
        bare = hub_map(motion.bare, settled, travel_span, steer_span, rods, top)
        return MeasuredHub(bare, motion.overlay, float(settled.static_travel[0]))
    if isinstance(motion, CurvesMotion):
        return _curves_hub(motion, settled, whole)
    solved = SolvedHub(motion, settled, (whole,), rods)
    patch = _patch(solved, whole)
    if patch is not None:
        return FittedHub((patch,), solved)
    if top is None:
        return solved
    return FittedHub(tuple(_quartered(solved, whole, top, DEPTH)), solved)


def _quartered(
    solved: SolvedHub, stretch: Stretch, top: Callable[[Array], Array], depth: int
) -> list[Patch]:
    """Patches of what is visited of the quarters of a stretch. Raises Unreachable at the end."""
    patches = []
    for part in stretch.quarters():
        corners = np.linspace(*part.steer, 3)
        if np.max(top(corners)) < part.travel[0]:
            continue
        patch = _patch(solved, part)
        if patch is not None:
            patches.append(patch)
        elif depth > 1:
            patches += _quartered(solved, part, top, depth - 1)
        else:
            highest = np.minimum(top(corners), part.travel[1])
            solved(highest, corners)  # says what jams, if it is out of reach altogether
            raise Unreachable(_at_the_end(solved, part))
    return patches


def _at_the_end(solved: SolvedHub, part: Stretch) -> Message:
    """Why a part of what is visited cannot be followed: its lock, or its travel, is the last."""
    steer = max(part.steer, key=abs)
    away = max(part.travel, key=abs) - float(solved.settled.static_travel[0])
    if steer != 0.0:
        return message(
            "stop.lock-at-the-end", steer_deg=float(np.degrees(steer)), travel_mm=float(away)
        )
    return message("stop.travel-at-the-end", travel_mm=float(away))


def _patch(solved: SolvedHub, stretch: Stretch) -> Patch | None:
    """The sum over a rectangle; None where a pose cannot be reached or the sum is not close."""
    travel, to_travel = nodes(stretch.travel, TRAVEL_NODES)
    steer, to_steer = nodes(stretch.steer, STEER_NODES)
    off_travel, off_steer = stretch.at(off_nodes(TRAVEL_NODES, STEER_NODES))
    count = len(travel) * len(steer)
    all_travel = np.concatenate([np.repeat(travel, len(steer)), off_travel])
    all_steer = np.concatenate([np.tile(steer, len(travel)), off_steer])
    try:
        values = _columns(solved(all_travel, all_steer))
    except Unreachable:
        return None
    table = values[:count].reshape(len(travel), len(steer), -1)
    weights = np.einsum("sj,tjk->tsk", to_steer, np.tensordot(to_travel, table, 1))
    patch = Patch(stretch, weights, 0.0)
    off = np.linalg.norm(
        (patch(off_travel, off_steer) - values[count:]).reshape(len(off_travel), -1, 3), axis=2
    )
    error = off[:, 0] + LEVER_MM * off[:, 1]
    if off.shape[1] > 2:
        error = np.maximum(error, off[:, 2:].max(axis=1) + LEVER_MM * off[:, 1])
    error_mm = SAFETY * float(error.max())
    return replace(patch, error_mm=error_mm) if error_mm <= FIT_MM else None


def _curves_hub(motion: CurvesMotion, settled: Settled, whole: Stretch) -> CurvesHub:
    """The map of measured curves, held against the motion like any other."""
    steer, to_steer = nodes(whole.steer, STEER_NODES)
    first = np.zeros(len(steer), np.intp)
    hub = CurvesHub(motion, settled, whole, to_steer @ motion.steered(settled, first, steer).held)
    _, off = whole.at(off_nodes(TRAVEL_NODES, STEER_NODES))
    travel = np.full(len(off), settled.static_travel[0])
    exact = motion.travelled(
        settled,
        motion.steered(settled, np.zeros(len(off), np.intp), off),
        np.arange(len(off)),
        travel,
    )
    got = hub(travel, off)
    error = np.linalg.norm(got.hub - exact.hub, axis=1)
    error += LEVER_MM * np.linalg.norm(got.spin - exact.spin, axis=1)
    return replace(hub, error_mm=SAFETY * float(error.max()))


def with_rods(poses: HubPoses, rods: tuple[int, ...]) -> HubPoses:
    """Poses that carry the ends of the picked rods alone."""
    rod_ends = poses.rod_ends[:, list(rods)] if rods and poses.rod_ends is not None else None
    return HubPoses(poses.hub, poses.spin, poses.axis, rod_ends)


def _columns(poses: HubPoses) -> Array:
    """Poses as columns (n, 6 + 6k): hub, spin, and the ends of k rods."""
    values = [poses.hub, poses.spin]
    if poses.rod_ends is not None:
        values.append(poses.rod_ends.reshape(len(poses.hub), -1))
    return np.concatenate(values, axis=1)


def _poses(columns: Array) -> HubPoses:
    """Poses of such columns, the spin axis made a unit vector again."""
    spin = columns[:, 3:6] / np.linalg.norm(columns[:, 3:6], axis=1, keepdims=True)
    rods = (columns.shape[1] - 6) // 6
    rod_ends = columns[:, 6:].reshape(len(columns), rods, 2, 3) if rods else None
    return HubPoses(columns[:, :3], spin, rod_ends=rod_ends)
