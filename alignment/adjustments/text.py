"""Adjustments in the units of the part that is adjusted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from alignment.geometry.adjuster_units import HandSetting, adjuster_message, turns_message
from alignment.geometry.adjustment_problem import Adjustment, Help, Missing
from alignment.text.labels import ROD_PREFIX, adjuster_here, label_message
from alignment.text.render import Reader, render
from common.message import Message, message, message_load
from shop.languages import speech_of_page
from shop.languages.figures import format_degrees, format_number
from shop.languages.formatting import capital

#: What is adjusted, and the ways of more and of less of it, by the codes of their words.
HANDLED: dict[str, tuple[str, str, str]] = {
    "top_mount_in_mm": ("top-mount", "inboard", "outboard"),
    "top_mount_back_mm": ("top-mount", "rearward", "forward"),
    "lower_arm_out_mm": ("lower-arm", "longer", "shorter"),
    "upper_arm_in_mm": ("upper-arm", "shorter", "longer"),
    "toe_link_mm": ("toe-link", "longer", "shorter"),
    "ride_height_mm": ("body", "higher", "lower"),
    "bump_stop_mm": ("packers", "thicker", "thinner"),
}
#: Adjusters whose end position is said by the part that was chosen.
WITHOUT_END = ("ride_height_mm", "bump_stop_mm")
#: Decimals of lengths and angles that are kept.
KEPT_PLACES = 4
KNUCKLE = "knuckle_camber_deg"


def quantity_label(name: str) -> str:
    """The name of camber, caster or toe, in the language of the page."""
    return {"camber": _("Camber"), "caster": _("Caster"), "toe": _("Toe")}[name]


@dataclass(frozen=True)
class Said:
    """One adjustment; ``exact`` in millimetres where a hand counts turns or shims."""

    what: Message
    how: Message
    exact: Message | None = None


def adjustment_text(
    move: Adjustment, hand: HandSetting | None = None, *, is_known: bool = True
) -> Said:
    """An adjustment in the units counted by hand.

    ``is_known`` False: the part's position was not recorded, so the end position is left out.
    """
    hand = hand or HandSetting()
    name, by = move.adjuster, round(abs(move.by), KEPT_PLACES)
    if name == KNUCKLE:
        way = message("way.inboard" if move.by < 0 else "way.outboard")
        if hand.mark and is_known:
            turn = message("adjust.knuckle-to-mark", by_deg=by, way=way, mark=_mark(move, hand))
        else:
            turn = message("adjust.knuckle", by_deg=by, way=way)
        return Said(message("handled.knuckle"), turn)
    what, more, less = _handled(name)
    way = message(f"way.{more if move.by > 0 else less}")
    if hand.shim_mm and name in ("lower_arm_out_mm", "upper_arm_in_mm"):
        return _shims(move, hand.shim_mm, is_known)
    if hand.turn_mm:
        # A link is wound out to make it longer.
        out = "out" if (move.by > 0) != (name == "upper_arm_in_mm") else "in"
        turns = turns_message(move.by / hand.turn_mm)
        exact = message("adjust.exactly", by_mm=by, way=way)
        return Said(what, message(f"adjust.turn-{out}", turns=turns), exact)
    return Said(what, _by_length(move, hand, way, is_known=is_known))


def _handled(name: str) -> tuple[Message, str, str]:
    """What is adjusted, and the codes of more and of less of it."""
    if name.startswith(ROD_PREFIX):
        return label_message(name), "longer", "shorter"
    if name not in HANDLED:
        return label_message(name), "more", "less"
    code, more, less = HANDLED[name]
    return message(f"handled.{code}"), more, less


def _by_length(move: Adjustment, hand: HandSetting, way: Message, *, is_known: bool) -> Message:
    """So many millimetres one way, and to where if that is known."""
    by = round(abs(move.by), KEPT_PLACES)
    if hand.mark and is_known:
        return message("adjust.by-to-mark", by_mm=by, way=way, mark=_mark(move, hand))
    if is_known and not hand.mark and move.start and move.adjuster not in WITHOUT_END:
        return message("adjust.by-to", by_mm=by, way=way, end_mm=round(move.end, KEPT_PLACES))
    return message("adjust.by", by_mm=by, way=way)


def _shims(move: Adjustment, shim_mm: float, is_known: bool) -> Said:
    ends = {name: round(getattr(move, name), KEPT_PLACES) for name in ("start", "end")}
    how = message(
        f"adjust.shims-{'add' if move.by > 0 else 'take'}{'-to' if is_known else ''}",
        count=round(abs(move.by) / shim_mm),
        shim_mm=shim_mm,
        **({"start": ends["start"], "end_mm": ends["end"]} if is_known else {}),
    )
    arm = "lower" if move.adjuster == "lower_arm_out_mm" else "upper"
    exact = message("adjust.exactly-shims", by_mm=round(abs(move.by), KEPT_PLACES))
    return Said(message(f"handled.{arm}-arm-shims"), how, exact)


def _mark(move: Adjustment, hand: HandSetting) -> float:
    """The mark at which a part stands after a move, to half a mark."""
    return round(2 * move.end / (hand.mark or 1.0)) / 2


def adjustments_said(adjustments: Sequence[Mapping[str, Any]]) -> str:
    """Adjustments that were kept, one phrase each, in the language of the page."""
    return "; ".join(
        render(
            message("adjust.one", what=message_load(move["what"]), how=message_load(move["how"]))
        )
        for move in adjustments
    )


def position_said(name: str, value: float, hand: HandSetting | None = None) -> str:
    """An adjuster's position: a mark where its part has marks, else millimetres or degrees."""
    if hand is not None and hand.mark:
        return render(message("adjust.mark", mark=_mark(Adjustment(name, value, value), hand)))
    unit = "°" if name.endswith("_deg") else " mm"
    return f"{format_number(value, 1)}{unit}"


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
