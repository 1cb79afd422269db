"""Features that a search by hollows misses: drawn round random corners, the same for a seed.

Edges with several near places, corners of bare rims, clouds of lone points, tubes. Each is laid out
about the wheel in a pose of the envelope, so that it comes near somewhere, and given a thickness
that brings it to a gap drawn beforehand wherever there is room for one.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fitment.engine.model import BODY, EDGE, LINK, POINTS, Check, Corner, Feature, Tyre, Wheel
from tests.engine.brute import Array, Brute
from tests.engine.random_corners import random_check, the_corner, with_corner

Rng = np.random.Generator

ZIGZAG, BARE, CLOUD, TUBE = "zigzag", "bare corner", "cloud", "tube"
KINDS = (ZIGZAG, BARE, CLOUD, TUBE)
#: Wheels whose flange stands out beside a tyre stretched over it: width, tyre.
STRETCHED = ((11.0, "225/40R18", 18.0), (9.0, "205/40R17", 17.0), (10.0, "215/40R18", 18.0))
#: Draws of a feature, of which the first with room is taken.
DRAWS = 6
#: Lone points in a cloud, and how many are drawn to find as many that come about as near.
CLOUD_POINTS, CLOUD_DRAWS = 45, 270
#: How far along the wheel's outline the next point of a zigzag lies at most, in its short pieces.
NEXT = 1500


def hard_check(seed: int) -> Check:
    """A check of one corner with one or two features of a kind that goes by the seed."""
    rng = np.random.default_rng([77, seed])
    kind = KINDS[seed % len(KINDS)]
    check = random_check(seed // len(KINDS))
    corner = the_corner(check)
    if kind == BARE or (kind == TUBE and rng.random() < 0.5):
        corner = _bare(rng, corner)
    corner = replace(corner, survey=replace(corner.survey, features=()))
    brute = Brute(corner, check.duty)
    draw = {ZIGZAG: _zigzag, BARE: _past_a_corner, CLOUD: _cloud, TUBE: _tube}[kind]
    draws = zip(*(draw(rng, brute) for _ in range(DRAWS)), strict=True)
    laid = [_roomiest(brute, several) for several in draws]
    features = tuple(_at_a_gap(rng, feature, least) for feature, least in laid)
    return with_corner(check, replace(corner, survey=replace(corner.survey, features=features)))


def _bare(rng: Rng, corner: Corner) -> Corner:
    width, size, diameter = STRETCHED[rng.integers(len(STRETCHED))]
    wheel = Wheel(diameter, width, float(rng.integers(15, 45)), barrel_mm=12.0)
    return replace(corner, wheel=wheel, tyre=Tyre(size))


def _pose(rng: Rng, brute: Brute) -> tuple[Array, Array]:
    """Hub centre and spin axis of a pose, most often at an end of the envelope."""
    limits = brute.corner.limits
    low, high = np.radians(-limits.steer_out_deg), np.radians(limits.steer_in_deg)
    steer = low + (high - low) * rng.choice([0.0, 1.0, 0.5, rng.random()])
    share = rng.choice([0.0, 1.0, rng.random()])
    hub, spin = brute.poses(np.array([steer]), np.array([share]))
    return hub[0], spin[0]


def _about(pose: tuple[Array, Array], axial: float, radius: float, clock: float) -> Array:
    """The point at these places about a wheel in a pose; clock in rad."""
    hub, spin = pose
    up = np.array([0.0, 0.0, 1.0]) - spin[2] * spin
    up /= np.linalg.norm(up)
    point: Array = (
        hub + axial * spin + radius * (np.cos(clock) * up + np.sin(clock) * np.cross(spin, up))
    )
    return point


def _outline(
    rng: Rng, brute: Brute, out_mm: float, last: int | None = None
) -> tuple[float, float, int]:
    """A place (a, r) so far outside a random piece of the section's boundary, and that piece.

    With a ``last`` piece it is one near that.
    """
    start, end = brute.section.start, brute.section.end
    outer = np.flatnonzero(start[:, 1] > brute.section.r_r - 20.0)
    pick = int(rng.choice(outer))
    if last is not None:
        near = outer[np.abs(outer - last) <= NEXT]
        pick = int(rng.choice(near))
    run = end[pick] - start[pick]
    out = np.array([run[1], -run[0]]) / np.linalg.norm(run)
    a, r = start[pick] + out_mm * out
    return float(a), float(r), pick


def _zigzag(rng: Rng, brute: Brute) -> list[Feature]:
    """Edges of a few points each that come near the wheel in several places."""
    laid = []
    for name in ("first zigzag", "second zigzag"):
        pose, clock = _pose(rng, brute), rng.uniform(-np.pi, np.pi)
        points, last = [], None
        for _ in range(int(rng.integers(2, 6))):
            a, r, last = _outline(rng, brute, float(rng.uniform(5.0, 70.0)), last)
            clock += rng.uniform(-0.3, 0.3)
            points.append(tuple(_about(pose, a, max(r, 30.0), clock)))
        laid.append(Feature(name, BODY, EDGE, xyz_mm=tuple(points)))
    return laid


def _past_a_corner(rng: Rng, brute: Brute) -> list[Feature]:
    """Edges that pass a bare flange's corner, its ends well away from it."""
    laid, section = [], brute.section
    for name in ("first bracket", "second bracket"):
        pose, clock = _pose(rng, brute), rng.uniform(-np.pi, np.pi)
        side = float(rng.choice([-1.0, 1.0]))
        corner = np.array([section.shift + side * section.edge, section.r_r + 17.5])
        slant = rng.uniform(0.15, 0.85) * np.pi / 2
        out = np.array([side * np.cos(slant), np.sin(slant)])
        along = np.array([-out[1] * side, out[0] * side])
        middle = corner + rng.uniform(0.5, 12.0) * out
        turn = rng.uniform(-0.15, 0.15)
        ends = [middle + by * along for by in (-rng.uniform(8, 60), rng.uniform(8, 60))]
        points = [
            tuple(_about(pose, float(a), max(float(r), 30.0), clock + way * turn))
            for (a, r), way in zip(ends, (-1, 1), strict=True)
        ]
        far = tuple(_about(pose, float(ends[1][0]) + side * 90.0, 420.0, clock + 2 * turn))
        laid.append(Feature(name, BODY, EDGE, xyz_mm=(*points, far)))
    return laid


def _tube(rng: Rng, brute: Brute) -> list[Feature]:
    """A rod of the linkage as a tube, and a thick bar across the rim's edge."""
    bar = replace(_past_a_corner(rng, brute)[0], place="bar", half_thickness_mm=8.0)
    rods = [name for name in brute.corner.suspension.rod_names if "upper" not in name]
    if not rods:
        return [bar]
    name = str(rng.choice(rods))
    return [bar, Feature("rod", LINK, EDGE, half_thickness_mm=9.0, link=name)]


def _cloud(rng: Rng, brute: Brute) -> list[Feature]:
    """Many lone points of one feature that all come about as near."""
    pose = _pose(rng, brute)
    points, clock = [], rng.uniform(-np.pi, np.pi)
    for _ in range(CLOUD_DRAWS):
        a, r, _ = _outline(rng, brute, float(rng.uniform(2.0, 40.0)))
        points.append(tuple(_about(pose, a, max(r, 30.0), clock + rng.uniform(-0.9, 0.9))))
    every = Feature("cloud", BODY, POINTS, xyz_mm=tuple(points))
    least = brute.rough_least(every)
    order = np.argsort(least)
    first = order[np.searchsorted(least[order], rng.uniform(0.5, 8.0)) :][:CLOUD_POINTS]
    if len(first) < CLOUD_POINTS:
        first = order[-CLOUD_POINTS:]
    picked = [points[index] for index in np.sort(first)]
    return [replace(every, xyz_mm=tuple(picked))]


def _roomiest(brute: Brute, several: tuple[Feature, ...]) -> tuple[Feature, float]:
    """The one of some features that has most room, and about how much, mm; at once the first that
    has any."""
    tried = []
    for feature in several:
        least = float(brute.rough_least(feature).min())
        tried.append((feature, least))
        if least > 0:
            break
    return max(tried, key=lambda one: one[1])


def _at_a_gap(rng: Rng, feature: Feature, least: float) -> Feature:
    """The feature with a thickness that brings it to a gap of some millimetres, if it has room."""
    wanted = float(rng.choice([rng.uniform(0.1, 1.5), rng.uniform(1.0, 12.0)]))
    room = least + feature.half_thickness_mm - wanted
    return replace(feature, half_thickness_mm=round(room, 3)) if room > 0 else feature
