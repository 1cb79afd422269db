"""Words of drawings and plots: at lines and axes, in the legend, and described for the blind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_noop as N_

from alignment.text.render import (
    Reader,
    Sentence,
    capital,
    commas,
    deg,
    mm,
    sentence,
    short_mm,
    unit_of_lengths,
)
from fitment.text.forms import signed_gap, signed_gap_with_unit

WHOLE_MM = mm(0, signed=True)
WHOLE_DEG = deg(signed=True)


def axis_figure(value: float, reader: Reader, params: Mapping[str, Any]) -> str:
    """A figure in the unit of its axis, with its sign; zero is plain."""
    written = reader.speech.number(value, params["places"], signed=True)
    return written if any(digit in written for digit in "123456789") else "0"


SECTION: dict[str, Sentence] = {
    "drawing.title": sentence(N_("Clearance of the wheel, {corner}")),
    "drawing.title-of": sentence(N_("{title}, {which}")),
    "drawing.gap-overlap": sentence(N_("{gap_mm} overlap"), gap_mm=signed_gap),
    "drawing.gap-contact": sentence(N_("{gap_mm} overlap"), gap_mm=signed_gap),
    "drawing.gap-unmeasured": sentence(N_("{gap_mm} unmeasured"), gap_mm=signed_gap),
    "drawing.gap-doubtful": sentence(N_("{gap_mm} doubtful"), gap_mm=signed_gap),
    "drawing.gap-tight": sentence(N_("{gap_mm} tight"), gap_mm=signed_gap),
    "drawing.gap-clear": sentence(N_("{gap_mm} clear"), gap_mm=signed_gap),
    "drawing.nearer": sentence(N_("{by_mm} nearer"), by_mm=mm(bare=True)),
    "drawing.farther": sentence(N_("{by_mm} farther"), by_mm=mm(bare=True)),
    "drawing.hub-face": sentence(N_("hub face")),
    "drawing.centre-plane": sentence(N_("centre plane")),
    "drawing.hub-face-and-centre-plane": sentence(N_("hub face and centre plane")),
    "drawing.spin-axis": sentence(N_("spin axis")),
    "drawing.outboard": sentence(N_("outboard")),
    "drawing.far-spot": sentence(N_("{spot} {gap_mm}"), gap_mm=signed_gap_with_unit),
    "legend.numbers": sentence(
        N_("Numbers are gaps in {unit}, the smallest over all travel and steering."),
        unit=unit_of_lengths,
    ),
    "legend.body-hatching": sentence(
        N_("Hatching rising to the right: what the body's edges sweep past the wheel.")
    ),
    "legend.body-line": sentence(N_("A thin line by itself: the path of a single measured point.")),
    "legend.hub-hatching": sentence(N_("Hatching falling to the right: moves with the hub.")),
    "legend.hub-cross": sentence(N_("A cross: a single measured point that moves with the hub.")),
    "legend.overlap": sentence(N_("Crossed hatching in a dotted line: overlap.")),
    "legend.other-dashed": sentence(
        N_(
            "Dashed: the other wheel and tyre. Nearer and farther say where this one stands "
            "beside it."
        )
    ),
    "legend.on-the-car-dashed": sentence(
        N_(
            "Dashed: the wheel and tyre that are on the car now. Nearer and farther say where the "
            "new ones stand beside them."
        )
    ),
    "legend.not-dimensioned": sentence(N_("Not dimensioned: {spots}."), spots=commas),
    "describe.section": sentence(
        N_(
            "Section through wheel and tyre from the spin axis up, outboard to the right. Around "
            "it, everything that comes near over all travel and steering."
        )
    ),
    "describe.spot": sentence(
        N_("{spot}: {gap_mm}, {verdict}, {pose}."), spot=capital, gap_mm=signed_gap_with_unit
    ),
    "describe.other-dashed": sentence(N_("A second wheel and tyre is drawn dashed.")),
}

AXES: dict[str, Sentence] = {
    "unit.mm": sentence(N_("mm")),
    "unit.in": sentence(N_("inches")),
    "axis.tick": sentence(N_("{value}"), value=axis_figure),
    "axis.mm": sentence(N_("{value} mm"), value=axis_figure),
    "axis.in": sentence(N_("{value} in"), value=axis_figure),
    "axis.deg": sentence(N_("{value}°"), value=axis_figure),
    "axis.mm-plain": sentence(N_("{value} mm")),
    "axis.in-plain": sentence(N_("{value} in")),
    "axis.over-travel": sentence(N_("travel from ride height, {unit} (+ bump)")),
    "axis.over-lock": sentence(N_("steering, degrees (+ front edge inward)")),
    "axis.of-camber": sentence(N_("camber, degrees")),
    "axis.of-toe": sentence(N_("toe of this wheel, degrees (+ in)")),
    "axis.of-caster": sentence(N_("caster, degrees")),
    "axis.of-track": sentence(N_("contact of this wheel outboard, {unit}")),
    "axis.of-outboard": sentence(N_("hub outboard, {unit}")),
    "axis.of-axle-toe": sentence(N_("toe of both wheels, degrees (+ in)")),
    "axis.clearance": sentence(N_("clearance at the {spot}, {unit}")),
    "mark.droop-stop": sentence(N_("droop stop")),
    "mark.bump-stop": sentence(N_("bump stop")),
    "mark.droop-used": sentence(N_("droop used")),
    "mark.bump-used": sentence(N_("bump used")),
    "mark.as-surveyed": sentence(N_("as surveyed")),
    "mark.ride-height": sentence(N_("ride height")),
    "mark.straight-ahead": sentence(N_("straight ahead")),
    "mark.lock-out": sentence(N_("full lock out")),
    "mark.lock-in": sentence(N_("full lock in")),
    "level.touches": sentence(N_("touches")),
    "level.needed": sentence(N_("{value} needed")),
}

CURVES: dict[str, Sentence] = {
    "curve.before": sentence(N_("before")),
    "curve.after": sentence(N_("after")),
    "curve.model": sentence(N_("model")),
    "curve.used": sentence(N_("used")),
    "curve.over-travel": sentence(N_("travel")),
    "curve.over-lock": sentence(N_("steering")),
    "curve.camber": sentence(N_("camber")),
    "curve.toe": sentence(N_("toe")),
    "curve.caster": sentence(N_("caster")),
    "curve.track": sentence(N_("the contact's shift outboard")),
    "curve.outboard": sentence(N_("the hub's shift outboard")),
    "curve.axle-toe": sentence(N_("toe of both wheels together")),
    "curve.title": sentence(N_("{corner}: {what}"), corner=capital),
    "curve-note.no-bump": sentence(
        N_("Bump stop not known: drawn {drawn_mm} into bump."), drawn_mm=mm(0)
    ),
    "curve-note.measured": sentence(
        N_("Measured from {from_mm} to {to_mm} of travel only."),
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
    ),
    "curve-note.travels": sentence(
        N_("{curve}: the suspension goes from {from_mm} to {to_mm} only."),
        curve=capital,
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
    ),
    "curve-note.steers": sentence(
        N_("{curve}: the linkage steers from {from_deg} to {to_deg} only."),
        curve=capital,
        from_deg=WHOLE_DEG,
        to_deg=WHOLE_DEG,
    ),
    "draw.no-steering": sentence(N_("this corner does not steer")),
    "draw.no-rack": sentence(N_("there is no steering rack ({curve})")),
    "draw.no-axis": sentence(N_("there is no steering axis ({curve})")),
    "draw.moves-with-wheel": sentence(N_("{spot} moves with the wheel")),
    "draw.no-loaded-poses": sentence(N_("this setting has no loaded poses")),
    "legend.one-rack": sentence(
        N_("The wheel across is taken as this one's mirror, on the same rack.")
    ),
    "legend.thick-dashed": sentence(N_("Thick: {thick}. Dashed: {dashed}.")),
    "legend.stop": sentence(N_("Hatched line: a stop.")),
    "legend.crosses-read": sentence(N_("Crosses: as read on the bump-steer sheet.")),
    "legend.end-figures": sentence(
        N_("The figures at the right are those at the ends of the lines.")
    ),
    "describe.curve": sentence(N_("{what} over {over}."), what=capital),
    "describe.line": sentence(
        N_("{line}: {first} at {first_at}, {middle} at {middle_at}, {last} at {last_at}."),
        line=capital,
    ),
    "describe.readings": sentence(N_("Readings marked with crosses: {count}.")),
    "describe.mark": sentence(N_("{mark} at {at}")),
    "describe.marks": sentence(N_("Marked: {marks}."), marks=commas),
}

MAPS: dict[str, Sentence] = {
    "map.title": sentence(N_("Clearance at the {spot}, {corner}")),
    "describe.map": sentence(
        N_("Clearance at the {spot} over travel from {from_mm} to {to_mm}."),
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
    ),
    "describe.map-steered": sentence(
        N_(
            "Clearance at the {spot} over travel from {from_mm} to {to_mm} and steering from "
            "{from_deg} to {to_deg}."
        ),
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
        from_deg=WHOLE_DEG,
        to_deg=WHOLE_DEG,
    ),
    "describe.least": sentence(
        N_("Least: {gap_mm}, {verdict}, {pose}."), gap_mm=signed_gap_with_unit
    ),
    "describe.poses": sentence(
        N_("Overlap: {touching}. Less than the {needed_mm} that are needed: {short}."),
        needed_mm=short_mm,
    ),
    "describe.no-poses": sentence(N_("no poses")),
    "describe.all-poses": sentence(N_("all poses")),
    "describe.some-poses": sentence(N_("about {part_share} of all poses")),
    "legend.map-lines": sentence(
        N_("Lines of equal clearance in mm inside the poses that the use visits.")
    ),
    "legend.map-touches": sentence(N_("Thick line: it touches.")),
    "legend.map-overlap": sentence(N_("Hatched: overlap.")),
    "legend.map-needed": sentence(
        N_("Short dashes: the {needed_mm} that are needed."), needed_mm=short_mm
    ),
    "legend.map-axes": sentence(N_("Long dashes and dots: ride height and straight ahead.")),
    "legend.map-curve": sentence(
        N_("Thick: clearance over travel. Hatched below zero: it touches.")
    ),
    "legend.map-height": sentence(N_("Long dashes and dots: ride height.")),
    "legend.map-dot": sentence(N_("Dot: the tightest moment.")),
    "legend.loaded": sentence(N_("With cornering load on the outside wheel.")),
    "legend.map-shift": sentence(
        N_("Corrected by {shift_mm} after the gap read on this car."), shift_mm=mm(1, signed=True)
    ),
}

MESSAGES = SECTION | AXES | CURVES | MAPS
