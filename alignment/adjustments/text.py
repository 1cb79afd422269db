"""Adjustments in the units of the part that is adjusted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from alignment.geometry.adjuster_units import Hand, adjuster_message, turns_said
from alignment.geometry.adjustment_problem import Adjustment, Help, Missing
from alignment.text.labels import ROD_PREFIX, adjuster_here, adjuster_label
from alignment.text.render import Reader, render
from shop.languages import speech_of_page
from shop.languages.figures import fixed, format_degrees, format_number, short
from shop.languages.formatting import capital

#: What is adjusted, and the words for more and for less of it. They are kept with an accepted
#: adjustment, so they are the same in every language.
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


def quantity_label(name: str) -> str:
    """The name of camber, caster or toe, in the language of the page."""
    return {"camber": _("Camber"), "caster": _("Caster"), "toe": _("Toe")}[name]


@dataclass(frozen=True)
class Said:
    """One adjustment in words; ``exact`` in millimetres where a hand counts turns or shims."""

    what: str
    how: str
    exact: str = ""


def adjustment_text(move: Adjustment, hand: Hand | None = None, *, is_known: bool = True) -> Said:
    """An adjustment in the units counted by hand.

    ``is_known`` False: the part's position was not recorded, so the end position is left out.
    """
    hand = hand or Hand()
    name = move.adjuster
    if name == KNUCKLE:
        way = "inboard" if move.by < 0 else "outboard"
        said = f"wheel's top {fixed(abs(move.by), 1)}° {way}{_mark(move, hand, is_known=is_known)}"
        return Said("Knuckle bolts", said)
    what, more, less = _handled(name)
    way = more if move.by > 0 else less
    size = f"{_plain(abs(move.by))} mm"
    if hand.shim_mm and name in ("lower_arm_out_mm", "upper_arm_in_mm"):
        return Said(f"{what}, shims", *_shims(move, hand.shim_mm, is_known))
    if hand.turn_mm:
        # A link is wound out to make it longer.
        out = "out" if (move.by > 0) != (name == "upper_arm_in_mm") else "in"
        turns = turns_said(move.by / hand.turn_mm)
        return Said(what, f"{turns} {out}", f"{fixed(abs(move.by), 2)} mm {way}")
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
    """Adjustments that were kept, one phrase each."""
    return "; ".join(f"{move['what'].lower()}: {move['how']}" for move in adjustments)


def position_said(name: str, value: float, hand: Hand | None = None) -> str:
    """An adjuster's position: a mark where its part has marks, else millimetres or degrees."""
    if hand is not None and hand.mark:
        return _mark(Adjustment(name, value, value), hand, is_known=True).removeprefix(", to ")
    unit = "°" if name.endswith("_deg") else " mm"
    return f"{format_number(value, 1)}{unit}"


def _plain(value: float) -> str:
    """Millimetres to a tenth without idle zeros."""
    return short(value, 1)


def missing_said(missing: Missing) -> str:
    """Which target is out of reach, the nearest value and the rest, in a sentence."""
    return _("{quantity} {target} is out of reach. Nearest: {best}, {short} short.").format(
        quantity=quantity_label(missing.quantity),
        target=format_degrees(missing.wanted_deg),
        best=format_degrees(missing.best_deg),
        short=format_degrees(abs(missing.missing_deg), signed=False),
    )


def help_said(one: Help) -> str:
    """The part that would reach a target, and the position it would need."""
    name = one.adjuster
    speech = speech_of_page()
    unit = "°" if name.endswith("_deg") else " mm"
    values = {
        "part": capital(render(adjuster_message(name, "given-by"), Reader(speech))),
        "adjuster": speech.within(adjuster_here(name)),
        "position": f"{format_number(one.position, 1)}{unit}",
    }
    if one.low is None and one.high is None:
        return _("{part}: {adjuster} to {position}.").format(**values)
    return _("{part}: {adjuster} to {position}. The one fitted reaches {low} to {high}.").format(
        **values,
        low=format_number(one.low or 0.0, 1),
        high=f"{format_number(one.high or 0.0, 1)}{unit}",
    )
