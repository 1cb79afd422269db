"""Sentences for adjustments at the rack, in the units of the part that is adjusted.

An accepted adjustment keeps its message, so whoever reads it later reads it in their language.
"""

from __future__ import annotations

from alignment.text.labels import ADJUSTER_LABELS
from alignment.text.render import (
    Sentence,
    changed_mm,
    deg,
    mm,
    number,
    plural,
    sentence,
    short_number,
    small,
    tenths,
)

MARK = short_number(signed=True)
END_MM = mm(1, signed=True)

ADJUSTMENTS: dict[str, Sentence] = {
    # Adjusters as forms and tables name them
    **{f"adjuster-label.{name}": Sentence(label) for name, (label, _) in ADJUSTER_LABELS.items()},
    "adjuster-label.rod": sentence("Rod “{name}”"),
    "adjuster-label.other": sentence("{name}"),
    # What a hand takes hold of
    "handled.top-mount": sentence("Top mount"),
    "handled.lower-arm": sentence("Lower arm"),
    "handled.upper-arm": sentence("Upper arm"),
    "handled.lower-arm-shims": sentence("Lower arm, shims"),
    "handled.upper-arm-shims": sentence("Upper arm, shims"),
    "handled.toe-link": sentence("Toe link"),
    "handled.body": sentence("Body"),
    "handled.packers": sentence("Bump packers"),
    "handled.knuckle": sentence("Knuckle bolts"),
    # Which way
    "way.inboard": sentence("inboard"),
    "way.outboard": sentence("outboard"),
    "way.rearward": sentence("rearward"),
    "way.forward": sentence("forward"),
    "way.longer": sentence("longer"),
    "way.shorter": sentence("shorter"),
    "way.higher": sentence("higher"),
    "way.lower": sentence("lower"),
    "way.thicker": sentence("thicker"),
    "way.thinner": sentence("thinner"),
    "way.more": sentence("more"),
    "way.less": sentence("less"),
    # One adjustment
    "adjust.one": sentence("{what}: {how}", what=small),
    "adjust.by": sentence("{by_mm} {way}", by_mm=changed_mm),
    "adjust.by-to": sentence("{by_mm} {way}, to {end_mm}", by_mm=changed_mm, end_mm=END_MM),
    "adjust.by-to-mark": sentence("{by_mm} {way}, to mark {mark}", by_mm=changed_mm, mark=MARK),
    "adjust.mark": sentence("mark {mark}", mark=MARK),
    "adjust.knuckle": sentence("wheel's top {by_deg} {way}", by_deg=deg(1)),
    "adjust.knuckle-to-mark": sentence(
        "wheel's top {by_deg} {way}, to mark {mark}", by_deg=deg(1), mark=MARK
    ),
    "adjust.turn-out": sentence("{turns} out"),
    "adjust.turn-in": sentence("{turns} in"),
    "adjust.shims-add": plural(
        "add {count} shim of {shim_mm}", "add {count} shims of {shim_mm}", shim_mm=changed_mm
    ),
    "adjust.shims-take": plural(
        "take out {count} shim of {shim_mm}",
        "take out {count} shims of {shim_mm}",
        shim_mm=changed_mm,
    ),
    "adjust.shims-add-to": plural(
        "add {count} shim of {shim_mm}, {start} → {end_mm}",
        "add {count} shims of {shim_mm}, {start} → {end_mm}",
        shim_mm=changed_mm,
        start=tenths,
        end_mm=changed_mm,
    ),
    "adjust.shims-take-to": plural(
        "take out {count} shim of {shim_mm}, {start} → {end_mm}",
        "take out {count} shims of {shim_mm}, {start} → {end_mm}",
        shim_mm=changed_mm,
        start=tenths,
        end_mm=changed_mm,
    ),
    "adjust.exactly": sentence("{by_mm} {way}", by_mm=mm(2)),
    "adjust.exactly-shims": sentence("{by_mm}", by_mm=changed_mm),
    "adjust.learned": sentence("{by} {unit}", by=number(2, signed=True)),
    "turns.less": sentence("less than half a flat"),
    "turns.one": sentence("{number} turn"),
    "turns.many": sentence("{number} turns"),
    # Options by what they adjust
    "option.by": sentence("by {names}", names=small),
    "option.toe-link": sentence("by the toe link alone"),
    "option.as-it-stands": sentence("as it stands"),
}
