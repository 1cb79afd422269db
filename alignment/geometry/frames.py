"""Wheel planes, rotations and the meridian half-plane of a wheel.

Corner frame: x forward, y outboard, z up, millimetres; the same formulas serve left and
right because the right side is mirrored. Angles in this module are radians unless a name
ends in ``_deg``. Camber is negative with the top inboard, toe positive with the front edge
inboard; both are angles of the wheel plane as ISO 8855:2011 defines them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Flags = NDArray[np.bool_]


def spin_axis(camber: ArrayLike, toe: ArrayLike) -> Array:
    """Outboard unit spin axis, shape (..., 3), of wheels at the given camber and toe (rad)."""
    camber, toe = np.broadcast_arrays(np.asarray(camber, float), np.asarray(toe, float))
    cos_camber = np.cos(camber)
    return np.stack([np.sin(toe) * cos_camber, np.cos(toe) * cos_camber, -np.sin(camber)], axis=-1)


def camber_of(axis: Array) -> Array:
    """Camber (rad) of unit spin axes of shape (..., 3)."""
    camber: Array = -np.arcsin(np.clip(axis[..., 2], -1.0, 1.0))
    return camber


def toe_of(axis: Array) -> Array:
    """Toe (rad) of unit spin axes of shape (..., 3)."""
    toe: Array = np.arctan2(axis[..., 0], axis[..., 1])
    return toe


def wheel_axes(axis: Array) -> tuple[Array, Array]:
    """Up and forward unit vectors of the wheel plane, each (..., 3).

    ``up`` is the vertical made square to the spin axis, ``forward`` is axis × up by
    components, which points to the front on both sides of the car.
    """
    up = np.array([0.0, 0.0, 1.0]) - axis[..., 2:3] * axis
    up = up / np.linalg.norm(up, axis=-1, keepdims=True)
    return up, cross(axis, up)


def rotation(vector: ArrayLike) -> Array:
    """Rotation matrices (..., 3, 3) of rotation vectors (..., 3) in radians (Rodrigues)."""
    v = np.asarray(vector, float)
    angle2 = np.sum(v * v, axis=-1)[..., None, None]
    angle = np.sqrt(angle2)
    small = angle < 1e-6
    safe = np.where(small, 1.0, angle)
    sine = np.where(small, 1.0 - angle2 / 6.0, np.sin(safe) / safe)
    versine = np.where(small, 0.5 - angle2 / 24.0, (1.0 - np.cos(safe)) / (safe * safe))
    k = skew(v)
    matrices: Array = np.eye(3) + sine * k + versine * (k @ k)
    return matrices


def cross(a: Array, b: Array) -> Array:
    """Cross products of vectors (..., 3) that broadcast; several times faster than numpy's own."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    x = ay * bz - az * by
    product = np.empty((*x.shape, 3))
    product[..., 0] = x
    product[..., 1] = az * bx - ax * bz
    product[..., 2] = ax * by - ay * bx
    return product


def skew(v: Array) -> Array:
    """Cross-product matrices (..., 3, 3): ``skew(v) @ w == cross(v, w)``."""
    k = np.zeros((*v.shape[:-1], 3, 3))
    k[..., 0, 1], k[..., 0, 2] = -v[..., 2], v[..., 1]
    k[..., 1, 0], k[..., 1, 2] = v[..., 2], -v[..., 0]
    k[..., 2, 0], k[..., 2, 1] = -v[..., 1], v[..., 0]
    return k


def turn_about_forward(angle: float) -> Array:
    """Rx(angle): rotation (3, 3) about the forward axis, right-handed by components."""
    return rotation([angle, 0.0, 0.0])


def meridian(points: Array, hub: Array, axis: Array) -> tuple[Array, Array]:
    """Collapse points onto the meridian half-plane of a wheel.

    ``points`` (..., 3) against hub-face centres ``hub`` and unit spin axes ``axis`` that
    broadcast with them. Returns (axial, radius): axial from the hub face, outboard positive;
    radius from the spin axis, never negative.
    """
    x = points[..., 0] - hub[..., 0]
    y = points[..., 1] - hub[..., 1]
    z = points[..., 2] - hub[..., 2]
    axial = x * axis[..., 0] + y * axis[..., 1] + z * axis[..., 2]
    radius2 = x * x + y * y + z * z - axial * axial
    return axial, np.sqrt(np.maximum(radius2, 0.0))


def cylindrical_point(clock: Array, radius: Array, axial: Array, axis: Array) -> Array:
    """Points (..., 3) about a hub at the origin, from clock angle (rad), radius and axial (mm).

    ``axis`` (3,) is the spin axis of the pose in which the reading was taken.
    """
    up, forward = wheel_axes(axis)
    points: Array = (
        axial[..., None] * axis
        + (radius * np.cos(clock))[..., None] * up
        + (radius * np.sin(clock))[..., None] * forward
    )
    return points
