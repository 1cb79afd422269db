"""Moves as a technician says them, in the units of the part that is moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from alignment.geometry.adjuster_units import Hand, turns_said
from alignment.geometry.adjustment_problem import TOE_LINK, Adjustment, Help, Missing
from alignment.geometry.units import format_degrees, format_number
from alignment.text.labels import ROD_PREFIX, adjuster_label

#: What is moved, and the words for more and for less of it.
HANDLED: dict[str, tuple[str, str, str]] = {
    "top_mount_in_mm": ("Top mount", "inboard", "outboard"),
    "top_mount_back_mm": ("Top mount", "rearward", "forward"),
    "lower_arm_out_mm": ("Lower arm", "longer", "shorter"),
    "upper_arm_in_mm": ("Upper arm", "shorter", "longer"),
    "toe_link_mm": ("Toe link", "longer", "shorter"),
    "ride_height_mm": ("Body", "higher", "lower"),
    "bump_stop_mm": ("Bump packers", "thicker", "thinner"),
}
KNUCKLE = "knuckle_camber_deg"
#: Parts that give more of an adjuster, by its name.
GIVEN_BY: dict[str, str] = {
    "top_mount_in_mm": "a top mount with more room to slide inboard",
    "top_mount_back_mm": "a top mount that also slides to front and rear",
    "lower_arm_out_mm": "shims at the lower arm, or an arm of another length",
    "upper_arm_in_mm": "an upper arm of adjustable length",
    KNUCKLE: "an eccentric bolt at the knuckle",
    TOE_LINK: "a toe link with more thread",
}
QUANTITY_WORDS = {"toe": "Toe", "camber": "Camber", "caster": "Caster"}


@dataclass(frozen=True)
class Said:
    """One move in words: what to do, and the same in millimetres where a hand counts otherwise."""

    what: str
    how: str
    exact: str = ""


def adjustment_text(move: Adjustment, hand: Hand | None = None, *, is_known: bool = True) -> Said:
    """A move in the hand's units. ``is_known`` False: nobody recorded where the part stands, so
    only the way from there is said, not the mark where it ends."""
    hand = hand or Hand()
    name = move.adjuster
    if name == KNUCKLE:
        way = "inboard" if move.by < 0 else "outboard"
        said = f"wheel's top {abs(move.by):.1f}° {way}{_mark(move, hand, is_known=is_known)}"
        return Said("Knuckle bolts", said)
    what, more, less = _handled(name)
    way = more if move.by > 0 else less
    size = f"{_plain(abs(move.by))} mm"
    if hand.shim_mm and name in ("lower_arm_out_mm", "upper_arm_in_mm"):
        return Said(f"{what}, shims", *_shims(move, hand.shim_mm, is_known))
    if hand.turn_mm:
        # A link that grows is wound out.
        out = "out" if (move.by > 0) != (name == "upper_arm_in_mm") else "in"
        turns = turns_said(move.by / hand.turn_mm)
        return Said(what, f"{turns} {out}", f"{abs(move.by):.2f} mm {way}")
    return Said(
        what, f"{size} {way}{_mark(move, hand, is_known=is_known)}{_end(move, hand, is_known)}"
    )


def _handled(name: str) -> tuple[str, str, str]:
    if name.startswith(ROD_PREFIX):
        return adjuster_label(name), "longer", "shorter"
    return HANDLED.get(name, (adjuster_label(name), "more", "less"))


def _shims(move: Adjustment, shim_mm: float, is_known: bool) -> tuple[str, str]:
    count = round(abs(move.by) / shim_mm)
    do = "add" if move.by > 0 else "take out"
    shims = f"{count} shim of" if count == 1 else f"{count} shims of"
    how = f"{do} {shims} {_plain(shim_mm)} mm"
    if is_known:
        how += f", {_plain(move.start)} → {_plain(move.end)} mm"
    return how, f"{_plain(abs(move.by))} mm"


def _mark(move: Adjustment, hand: Hand, *, is_known: bool) -> str:
    if not hand.mark or not is_known:
        return ""
    halves = round(2 * move.end / hand.mark) / 2
    place = format_number(halves, 0 if halves == int(halves) else 1) if halves else "0"
    return f", to mark {place}"


def _end(move: Adjustment, hand: Hand, is_known: bool) -> str:
    if hand.mark or not is_known or move.adjuster in ("ride_height_mm", "bump_stop_mm"):
        return ""
    return f", to {format_number(move.end, 1)} mm" if move.start else ""


def adjustments_said(adjustments: Sequence[Mapping[str, Any]]) -> str:
    """Moves that were kept, one phrase each."""
    return "; ".join(f"{move['what'].lower()}: {move['how']}" for move in adjustments)


def position_said(name: str, value: float, hand: Hand | None = None) -> str:
    """Where an adjuster stands: a mark where its part has marks, else millimetres or degrees."""
    if hand is not None and hand.mark:
        return _mark(Adjustment(name, value, value), hand, is_known=True).removeprefix(", to ")
    unit = "°" if name.endswith("_deg") else " mm"
    return f"{format_number(value, 1)}{unit}"


def _plain(value: float) -> str:
    """Millimetres to a tenth without idle zeros."""
    return f"{value:.1f}".removesuffix(".0")


def missing_said(missing: Missing) -> str:
    """What cannot be met, how near it comes, and what is missing, in a sentence."""
    name = QUANTITY_WORDS[missing.quantity]
    return (
        f"{name} {format_degrees(missing.wanted_deg)} is out of reach: "
        f"{format_degrees(missing.best_deg)} is the nearest, "
        f"{abs(missing.missing_deg):.2f}° short."
    )


def help_said(one: Help) -> str:
    """What part would give it, and how far it would have to go."""
    name = one.adjuster
    if name.startswith(ROD_PREFIX):
        part = f"a rod “{name.removeprefix(ROD_PREFIX)}” of adjustable length"
    else:
        part = GIVEN_BY.get(name, adjuster_label(name).lower())
    unit = "°" if name.endswith("_deg") else " mm"
    reach = f"{adjuster_label(name).lower()} to {format_number(one.position, 1)}{unit}"
    if one.low is None and one.high is None:
        return f"{part[0].upper()}{part[1:]}: {reach}."
    low = format_number(one.low or 0.0, 1)
    high = format_number(one.high or 0.0, 1)
    return f"{part[0].upper()}{part[1:]}: {reach}, the one fitted gives {low} to {high}{unit}."
