"""Facts that mounting checks hold against each other: hub, what a car asks, what is fitted.

None, like an empty text, means that it is not recorded. Lengths in millimetres, rim sizes in
inches, kilograms, km/h.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from common.units import MM_PER_INCH
from fitment.engine.solid.designation import LOAD_INDEX_KG, SPEED_SYMBOL_KMH

STUD, BOLT = "stud", "bolt"
OPEN, CLOSED = "open", "closed"
"""Forms of wheel nuts: open at the end, or closed over the stud."""
SEATS = ("cone60", "cone90", "ball12", "ball13", "ball14", "flat", "shank")
"""Seats that wheel nuts and bolts are made with, and the wheels to suit them."""

_THREAD = re.compile(
    r"M\s?(?P<size>\d{1,2}(?:[.,]\d)?)\s?[x×*]\s?(?P<pitch>\d(?:[.,]\d{1,2})?)", re.I
)
_INCH_THREAD = re.compile(r"(?P<a>\d)/(?P<b>\d{1,2})\s?[-x×]\s?(?P<count>\d{2})", re.I)


@dataclass(frozen=True)
class Thread:
    """A thread's diameter and pitch, mm."""

    size_mm: float
    pitch_mm: float


@dataclass(frozen=True)
class Hub:
    """What the wheel bolts to. ``length_mm``: a stud's part that stands out of the hub face, or a
    bolt's shank under its seat. ``thread_depth_mm``: how far a bolt may reach behind the hub face;
    ``nut_depth_mm``: from a closed nut's seat to its end."""

    bolt_count: int | None = None
    bolt_circle_mm: float | None = None
    bore_mm: float | None = None
    thread: str = ""
    seat: str = ""
    fastener: str = ""
    length_mm: float | None = None
    thread_depth_mm: float | None = None
    nut: str = ""
    nut_depth_mm: float | None = None


@dataclass(frozen=True)
class Needs:
    """What the car asks of one axle: markings of its papers and the originals."""

    axle: str
    load_index: int | None = None
    speed_symbol: str = ""
    axle_load_kg: float | None = None
    top_speed_kmh: float | None = None
    tyre_size: str = ""
    offset_mm: float | None = None


@dataclass(frozen=True)
class Fitted:
    """What an order mounts on one axle. ``diameter_mm`` is that of the tyre on this wheel.

    ``pad_mm`` is the wheel's thickness between mounting face and nut seat; ``seat``, ``thread``,
    ``length_mm``, ``nut`` and ``nut_depth_mm`` are those of other nuts, bolts or studs than the
    car's own, where some are fitted. The ring fills the wheel's bore.
    """

    wheel: str
    tyre: str
    bolt_count: int | None = None
    bolt_circle_mm: float | None = None
    bore_mm: float | None = None
    wheel_seat: str = ""
    pad_mm: float | None = None
    load_rating_kg: float | None = None
    offset_mm: float = 0.0
    width_in: float = 0.0
    spacer_mm: float = 0.0
    ring_inner_mm: float | None = None
    ring_outer_mm: float | None = None
    seat: str = ""
    thread: str = ""
    length_mm: float | None = None
    nut: str = ""
    nut_depth_mm: float | None = None
    load_index: str = ""
    speed_symbol: str = ""
    rim_min_in: float | None = None
    rim_max_in: float | None = None
    diameter_mm: float | None = None


def thread_of(text: str) -> Thread | None:
    """``M12×1.5`` or ``1/2-20`` as a thread; None where it cannot be read."""
    metric = _THREAD.search(text)
    if metric:
        size, pitch = (float(metric[name].replace(",", ".")) for name in ("size", "pitch"))
        return Thread(size, pitch)
    inch = _INCH_THREAD.search(text)
    if inch and float(inch["b"]):
        return Thread(
            MM_PER_INCH * float(inch["a"]) / float(inch["b"]), MM_PER_INCH / float(inch["count"])
        )
    return None


def load_index_of(text: str) -> int | None:
    """The single-fitment load index in a marking such as ``94``, ``94XL`` or ``98/96``."""
    found = re.match(r"\s*(\d{2,3})", text)
    index = int(found[1]) if found else None
    return index if index in LOAD_INDEX_KG else None


def speed_symbol_of(text: str) -> str:
    """The speed symbol in a marking such as ``Y`` or ``(Y)``; empty where there is none."""
    letter = text.strip().strip("()").upper()
    return letter if letter in SPEED_SYMBOL_KMH else ""
