"""Does the survey cover what the wheel visits?

A spot that was not measured cannot be called clear. What has to be looked at follows from the solid
that wheel and tyre sweep over the use's envelope: above the wheel always, and wherever steering
takes it further than it goes straight ahead. By sectors of the clock about the survey's hub, on
both sides of the planned wheel's centre plane. Degrees and millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from alignment.geometry import frames
from alignment.geometry.frames import Array, Index
from alignment.geometry.motion import HubPoses
from common.message import Message, message
from fitment.engine.minimum.feature_curves import Course
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import BODY, INBOARD, OUTBOARD, Sector
from fitment.engine.solid.section import Section

#: Width of a sector; sectors are centred on its multiples.
SECTOR_DEG = 15.0
SECTORS = 24
#: Sectors this near to straight up want looking at on any corner.
ABOVE_DEG = {OUTBOARD: 45.0, INBOARD: 60.0}
#: Steering that takes the wheel so much further makes a sector want looking at.
FURTHER_MM = 10.0
#: What was measured this near to the swept solid counts as looked at.
NEAR_MM = 120.0
#: Sectors inboard between two that were looked at that may be left out.
BETWEEN = 2
#: Step along an edge, mm, and sampling of the solid: points of its outline, angles about its axis.
STEP_MM, OUTLINE, ROUND = 15.0, 13, 120

#: States of a sector that has to be looked at.
SEEN, OPEN, PASSED, MISSING = "seen", "open", "passed", "missing"

#: What is missing of a corner whose movement was not measured.
TYPICAL = message("open.movement")


def coverage(setting: Setting, section: Section) -> tuple[Sector, ...]:
    """Every sector that has to be looked at, with its state: outboard, then inboard, by clock."""
    poses, straight = _poses(setting)
    reach, still = _reach(setting, section, poses, straight)
    adds = np.maximum(reach - still, 0.0)
    seen = _seen(setting, section, poses)
    found: list[Sector] = []
    for row, side in enumerate((OUTBOARD, INBOARD)):
        wanted = np.abs(CLOCKS) <= ABOVE_DEG[side]
        wanted |= adds[row] >= FURTHER_MM
        states = [
            SEEN if seen[row, i] else OPEN if _is_open(setting, side, i, adds[row, i]) else MISSING
            for i in range(SECTORS)
        ]
        if side == INBOARD:
            states = _with_gaps_passed(states)
        found += [
            Sector(side, float(CLOCKS[i]), float(reach[row, i]), float(adds[row, i]), states[i])
            for i in np.flatnonzero(wanted)
        ]
    return tuple(found)


#: Middles of the sectors, rising.
CLOCKS = SECTOR_DEG * (np.arange(SECTORS) - SECTORS // 2 + 1)


def uncovered(setting: Setting, sectors: tuple[Sector, ...]) -> tuple[Message, ...]:
    """What is missing; empty when the survey covers the duty."""
    missing: list[Message] = []
    for side in (OUTBOARD, INBOARD):
        clocks = [s.clock_deg for s in sectors if s.side == side and s.state == MISSING]
        missing += [
            message(f"open.{side}", from_deg=low, to_deg=high) for low, high in joined_arcs(clocks)
        ]
    if all(course.feature.carried_by == BODY for course in setting.room.courses):
        missing.append(message("open.carried"))
    if setting.corner.suspension.typical:
        missing.append(TYPICAL)
    return tuple(missing)


def joined_arcs(clocks: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Arcs that adjacent sectors make, from where the first begins to where the last ends; their
    clock angles rise."""
    numbered = enumerate(clocks)
    for _, run in groupby(numbered, key=lambda one: one[1] - SECTOR_DEG * one[0]):
        arc = [clock for _, clock in run]
        yield arc[0] - SECTOR_DEG / 2, arc[-1] + SECTOR_DEG / 2


def _poses(setting: Setting) -> tuple[HubPoses, Index]:
    """Poses over the envelope, loaded ones included, and which of them are straight ahead."""
    envelope = setting.envelope
    bends = np.union1d(envelope.knots[:, 0], [0.0])
    between = [bends[:-1] + part * np.diff(bends) for part in (1 / 3, 2 / 3)]
    plain = np.meshgrid(np.union1d(bends, np.concatenate(between)), [0.0, 0.5, 1.0])
    grids = [plain, *(np.meshgrid(bends, [0.0, 1.0]) for _ in envelope.loads)]
    loaded = np.repeat(np.arange(envelope.kinds), [steer.size for steer, _ in grids])
    steer = np.concatenate([steer.ravel() for steer, _ in grids]) * envelope.steer_shares[loaded]
    share = np.concatenate([share.ravel() for _, share in grids])
    poses = envelope.poses(setting.room.hubs, steer, share, loaded)
    return poses, np.flatnonzero(steer == 0.0)


def _reach(
    setting: Setting, section: Section, poses: HubPoses, straight: Index
) -> tuple[Array, Array]:
    """Farthest radius (2, sectors) about the survey's hub that the solid sweeps, by side: in all
    poses, and in those ``straight`` ahead."""
    outline = np.concatenate([section.start, section.end])
    ways = np.radians(np.linspace(-80.0, 80.0, OUTLINE))
    far = np.argmax(outline @ np.stack([np.sin(ways), np.cos(ways)]), axis=0)
    a, r = outline[np.unique(far)].T
    angle = np.arange(ROUND) * 2 * np.pi / ROUND
    up, forward = frames.wheel_axes(poses.spin)
    around = np.cos(angle)[:, None, None] * up + np.sin(angle)[:, None, None] * forward
    points = poses.hub + a[:, None, None, None] * poses.spin + r[:, None, None, None] * around
    side, sector, radius = _placed(setting, points)
    ahead = side[..., straight], sector[..., straight], radius[..., straight]
    return _farthest(side, sector, radius), _farthest(*ahead)


def _farthest(side: Index, sector: Index, radius: Array) -> Array:
    """The largest radius (2, sectors) of each sector."""
    reach = np.zeros(2 * SECTORS)
    np.maximum.at(reach, (side * SECTORS + sector).ravel(), radius.ravel())
    return reach.reshape(2, SECTORS)


def _placed(setting: Setting, points: Array) -> tuple[Index, Index, Array]:
    """Side (0 outboard), sector and radius of points (..., 3) about the hub of the survey."""
    spin = setting.room.rest_spin
    up, forward = frames.wheel_axes(spin)
    wheel = setting.corner.wheel
    across, ahead, above = points @ spin, points @ forward, points @ up
    side = np.where(across >= wheel.spacer_mm - wheel.offset_mm, 0, 1)
    clock = np.degrees(np.arctan2(ahead, above))
    sector = (np.round(clock / SECTOR_DEG).astype(int) + SECTORS // 2 - 1) % SECTORS
    return side, sector, np.hypot(ahead, above)


def _seen(setting: Setting, section: Section, poses: HubPoses) -> Array:
    """Which sectors (2, sectors) a body feature passes through near the swept solid."""
    parts = [_along(course) for course in setting.room.courses if course.feature.carried_by == BODY]
    seen = np.zeros((2, SECTORS), bool)
    if not parts:
        return seen
    points = np.concatenate(parts)
    axial, radius = frames.meridian(points, poses.hub[:, None], poses.spin[:, None])
    low, high, top = section.box
    beside = np.maximum(np.maximum(low - axial, axial - high), 0.0)
    apart = np.hypot(beside, np.maximum(radius - top, 0.0))
    pose = np.argmin(apart, axis=0)
    which = np.arange(len(points))
    gaps = section.distance(axial[pose, which], radius[pose, which])
    for row in np.flatnonzero((gaps > NEAR_MM) & (apart.min(axis=0) <= NEAR_MM)):
        near = apart[:, row] <= NEAR_MM
        gaps[row] = section.distance(axial[near, row], radius[near, row]).min()
    side, sector, _ = _placed(setting, points[gaps <= NEAR_MM])
    seen[side, sector] = True
    return seen


def _along(course: Course) -> Array:
    """Positions (n, 3) along an edge at steps of STEP_MM, or of lone points."""
    knots = np.arange(len(course.knots), dtype=float)
    at = course.at(knots)
    if not course.is_edge:
        return at
    length = np.linalg.norm(np.diff(at, axis=0), axis=1)
    parts = np.maximum(np.ceil(length / STEP_MM), 1).astype(int)
    along = [i + np.arange(n) / n for i, n in enumerate(parts)]
    return course.at(np.concatenate([*along, knots[-1:]]))


def _is_open(setting: Setting, side: str, sector: int, adds_mm: float) -> bool:
    """Whether a sector was looked into and found empty as far as the wheel goes."""
    clock = CLOCKS[sector]
    return any(
        arc.side == side
        and any(arc.from_deg <= turn <= arc.to_deg for turn in (clock, clock - 360, clock + 360))
        and arc.beyond_mm >= adds_mm
        for arc in setting.corner.survey.open
    )


def _with_gaps_passed(states: list[str]) -> list[str]:
    """Sectors round the clock, short gaps between two that were looked at passed over."""
    passed = list(states)
    for i, state in enumerate(states):
        if state != MISSING:
            continue
        before = next(k for k in range(1, SECTORS + 1) if states[i - k] != MISSING or k == SECTORS)
        after = next(
            k for k in range(1, SECTORS + 1) if states[(i + k) % SECTORS] != MISSING or k == SECTORS
        )
        if before + after - 1 <= BETWEEN:
            passed[i] = PASSED
    return passed
