"""Arithmetic of alignment readings.

Angles are degrees, lengths millimetres. Per wheel: camber is negative with the top inboard
(positive with the top outboard, ISO 8855), toe is positive with the front edge inboard
(toe-in, ISO 8855:2011, 7.1.6), caster is positive with the top of the steering axis to the
rear. Left and right are those of a person sitting in the car.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

#: A coverage factor of two: about 95 in 100 (GUM, JCGM 100:2008, 6.3.3).
COVERAGE = 2.0

#: Sweeps narrower than this (degrees between the two ends) tell caster too badly to be used.
NARROWEST_SWEEP_DEG = 5.0


def total_toe(left_deg: float, right_deg: float) -> float:
    """Sum of the two wheels' toe, toe-in positive (ISO 8855:2011, 7.1.7)."""
    return left_deg + right_deg


def cross(left_deg: float, right_deg: float) -> float:
    """Left less right, for camber and caster; positive when the left reads more."""
    return left_deg - right_deg


def thrust_angle(left_rear_toe_deg: float, right_rear_toe_deg: float) -> float:
    """Angle of the rear axle's thrust axis to the centre line, positive when it points right.

    The axis bisects total rear toe: a rear left wheel with toe-in steers the rear axle to the
    right, a right one to the left.
    """
    return (left_rear_toe_deg - right_rear_toe_deg) / 2.0


def toe_against_thrust(left_deg: float, right_deg: float, thrust_deg: float) -> tuple[float, float]:
    """Front toe (left, right) measured from the thrust axis instead of the centre line.

    ``thrust_deg`` as ``thrust_angle`` gives it. Total toe does not change.
    """
    return left_deg - thrust_deg, right_deg + thrust_deg


def included_angle(camber_deg: float, inclination_deg: float) -> float:
    """Camber plus steering axis inclination, the angle between wheel plane and steering axis."""
    return camber_deg + inclination_deg


@dataclass(frozen=True)
class Setback:
    """How far the front right wheel stands behind the left: mm, and as an angle of the axle."""

    mm: float
    deg: float


def setback(left_wheelbase_mm: float, right_wheelbase_mm: float, track_mm: float) -> Setback:
    """Setback of the front axle from the wheelbase of each side and the front track.

    Positive when the front right wheel stands further back than the left (the wheelbase is
    shorter on the right). It is relative to the rear axle: a rear axle that sits askew shows too.
    Raises ValueError unless all three are positive.
    """
    if min(left_wheelbase_mm, right_wheelbase_mm, track_mm) <= 0:
        raise ValueError("wheelbases and track must be positive")
    behind = left_wheelbase_mm - right_wheelbase_mm
    return Setback(behind, math.degrees(math.atan2(behind, track_mm)))


def caster_from_sweep(
    camber_out_deg: float,
    camber_in_deg: float,
    steer_out_deg: float,
    steer_in_deg: float,
    inclination_deg: float = 0.0,
) -> float:
    """Caster (degrees) from camber at two steer angles of one wheel, without approximation.

    ``camber_out_deg`` is read with the wheel turned outward (front edge outboard) by
    ``steer_out_deg``, ``camber_in_deg`` with it turned inward by ``steer_in_deg``; both steer
    angles are given as positive numbers from straight ahead. With C1, T1 outward and C2, T2
    inward (T2 signed, negative):

        tan caster = (sin C1 - sin C2 + tan SAI (cos C1 cos T1 - cos C2 cos T2))
                     / (cos C1 sin T1 - cos C2 sin T2)

    It follows from the spin axis keeping its angle to the steering axis. The term with SAI is small
    for equal angles both ways; at others a degree of it is worth up to an eighth of one. Raises
    ValueError for a sweep below ``NARROWEST_SWEEP_DEG``.
    """
    if steer_out_deg + steer_in_deg < NARROWEST_SWEEP_DEG:
        raise ValueError(f"a sweep below {NARROWEST_SWEEP_DEG:g}° does not tell caster")
    c1, c2 = math.radians(camber_out_deg), math.radians(camber_in_deg)
    t1, t2 = math.radians(steer_out_deg), -math.radians(steer_in_deg)
    lean = math.tan(math.radians(inclination_deg))
    over = math.sin(c1) - math.sin(c2)
    over += lean * (math.cos(c1) * math.cos(t1) - math.cos(c2) * math.cos(t2))
    return math.degrees(
        math.atan(over / (math.cos(c1) * math.sin(t1) - math.cos(c2) * math.sin(t2)))
    )


def steering_offset(
    front_left_deg: float, front_right_deg: float, thrust_deg: float = 0.0
) -> float:
    """How far both front wheels point right of the thrust line with the steering wheel level.

    Front toe is counted from the centre line; leave ``thrust_deg`` at 0 for toe counted from the
    thrust line. Running straight, the driver turns the wheels back by this much, so the steering
    wheel stands to the left by it (times the steering ratio) when it is positive.
    """
    return (front_left_deg - front_right_deg) / 2.0 - thrust_deg


def scrub_m_per_km(toe_deg: float) -> float:
    """How far a wheel is dragged sideways per kilometre of straight road (m/km), unsigned."""
    return abs(1000.0 * math.tan(math.radians(toe_deg)))


@dataclass(frozen=True)
class Difference:
    """A difference of readings (degrees) and its expanded uncertainty, ``COVERAGE`` wide."""

    deg: float
    expanded_deg: float

    @property
    def is_told_by_the_rack(self) -> bool:
        """Whether the difference is larger than what the rack's accuracy could make of nothing."""
        return abs(self.deg) > self.expanded_deg


def accuracy_to_sigma(accuracy_deg: float) -> float:
    """Standard uncertainty of a rack that states ± ``accuracy_deg`` as limits.

    Limits without a distribution are taken as rectangular: a / √3 (GUM, JCGM 100:2008, 4.3.7).
    """
    if accuracy_deg < 0:
        raise ValueError("an accuracy is not negative")
    return accuracy_deg / math.sqrt(3.0)


def sigma_to_accuracy(sigma_deg: float) -> float:
    """The ± limits that stand for a standard uncertainty, as ``accuracy_to_sigma`` takes them."""
    return sigma_deg * math.sqrt(3.0)


def change(before_deg: float, after_deg: float, accuracy_deg: float) -> Difference:
    """After less before; both were read with the rack's accuracy, taken as independent."""
    sigma = math.sqrt(2.0) * accuracy_to_sigma(accuracy_deg)
    return Difference(after_deg - before_deg, COVERAGE * sigma)


def change_between(
    before_deg: float, after_deg: float, before_accuracy_deg: float, after_accuracy_deg: float
) -> Difference:
    """After less before, read on racks of two accuracies (limits), taken as independent."""
    sigma = math.hypot(
        accuracy_to_sigma(before_accuracy_deg), accuracy_to_sigma(after_accuracy_deg)
    )
    return Difference(after_deg - before_deg, COVERAGE * sigma)


def off_target(read_deg: float, target_deg: float, accuracy_deg: float) -> Difference:
    """Reading less target; only the reading is uncertain."""
    return Difference(read_deg - target_deg, COVERAGE * accuracy_to_sigma(accuracy_deg))


def beyond_tolerance(off_deg: float, tolerance_deg: float) -> float:
    """By how much a deviation leaves ± ``tolerance_deg``, with its sign; 0.0 inside."""
    excess = abs(off_deg) - tolerance_deg
    # A hundredth of a hundredth of a degree is arithmetic, not a deviation.
    return math.copysign(excess, off_deg) if excess > 1e-6 else 0.0
