"""Words of drawings and plots: at lines and axes, in the legend, and described for the blind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from alignment.text.render import (
    Reader,
    Sentence,
    capital,
    commas,
    deg,
    mm,
    semicolons,
    sentence,
    short_mm,
    tenths,
    unit_of_lengths,
)
from fitment.text.forms import signed_gap, signed_gap_with_unit

WHOLE_MM = mm(0, signed=True)
WHOLE_DEG = deg(signed=True)


def axis_figure(value: float, reader: Reader, params: Mapping[str, Any]) -> str:
    """A figure in the unit of its axis, with its sign; zero is plain."""
    written = reader.speech.number(value, params["places"], signed=True)
    return written if any(digit in written for digit in "123456789") else "0"


def axis_size(value: float, reader: Reader, params: Mapping[str, Any]) -> str:
    """A figure in the unit of its axis, without a sign unless it is below zero."""
    return reader.speech.number(value, params["places"])


SECTION: dict[str, Sentence] = {
    "drawing.title": sentence("Clearance of the wheel, {corner}"),
    "drawing.title-of": sentence("{title}, {which}"),
    "drawing.gap-overlap": sentence("{gap_mm} overlap", gap_mm=signed_gap),
    "drawing.gap-contact": sentence("{gap_mm} overlap", gap_mm=signed_gap),
    "drawing.gap-doubtful": sentence("{gap_mm} doubtful", gap_mm=signed_gap),
    "drawing.gap-tight": sentence("{gap_mm} tight", gap_mm=signed_gap),
    "drawing.gap-clear": sentence("{gap_mm} clear", gap_mm=signed_gap),
    "drawing.nearer": sentence("{by_mm} nearer", by_mm=mm(bare=True)),
    "drawing.farther": sentence("{by_mm} farther", by_mm=mm(bare=True)),
    "drawing.hub-face": sentence("hub face"),
    "drawing.centre-plane": sentence("centre plane"),
    "drawing.hub-face-and-centre-plane": sentence("hub face and centre plane"),
    "drawing.spin-axis": sentence("spin axis"),
    "drawing.outboard": sentence("outboard"),
    "drawing.far-spot": sentence("{spot} {gap_mm}", gap_mm=signed_gap_with_unit),
    "legend.numbers": sentence(
        "Numbers are gaps in {unit}, the smallest over all travel and steering.",
        unit=unit_of_lengths,
    ),
    "legend.not-measured": sentence(
        "Not measured, so without a gap: {spots}. The inside of the wheel is drawn as is usual."
    ),
    "legend.body-hatching": sentence(
        "Hatching rising to the right: what the body's edges sweep past the wheel."
    ),
    "legend.body-line": sentence("A thin line by itself: the path of a single measured point."),
    "legend.hub-hatching": sentence("Hatching falling to the right: moves with the hub."),
    "legend.hub-cross": sentence("A cross: a single measured point that moves with the hub."),
    "legend.overlap": sentence("Crossed hatching in a dotted line: overlap."),
    "legend.other-dashed": sentence(
        "Dashed: the other wheel and tyre. Nearer and farther say where this one stands beside it."
    ),
    "legend.on-the-car-dashed": sentence(
        "Dashed: the wheel and tyre that are on the car now. Nearer and farther say where the "
        "new ones stand beside them."
    ),
    "legend.not-dimensioned": sentence("Not dimensioned: {spots}.", spots=commas),
    "describe.section": sentence(
        "Section through wheel and tyre from the spin axis up, outboard to the right. Around "
        "it, everything that comes near over all travel and steering."
    ),
    "describe.spot": sentence(
        "{spot}: {gap_mm}, {verdict}, {pose}.", spot=capital, gap_mm=signed_gap_with_unit
    ),
    "describe.spot-not-measured": sentence("{spot}: not measured.", spot=capital),
    "describe.other-dashed": sentence("A second wheel and tyre is drawn dashed."),
}

AXES: dict[str, Sentence] = {
    "unit.mm": sentence("mm"),
    "unit.in": sentence("inches"),
    "axis.tick": sentence("{value}", value=axis_figure),
    "axis.mm": sentence("{value} mm", value=axis_figure),
    "axis.in": sentence("{value} in", value=axis_figure),
    "axis.deg": sentence("{value}°", value=axis_figure),
    "axis.mm-plain": sentence("{value} mm"),
    "axis.in-plain": sentence("{value} in"),
    "axis.over-travel": sentence("travel from ride height, {unit} (+ bump)"),
    "axis.over-lock": sentence("steering, degrees (+ front edge inward)"),
    "axis.of-camber": sentence("camber, degrees"),
    "axis.of-toe": sentence("toe of this wheel, degrees (+ in)"),
    "axis.of-caster": sentence("caster, degrees"),
    "axis.of-track": sentence("contact of this wheel outboard, {unit}"),
    "axis.of-outboard": sentence("hub outboard, {unit}"),
    "axis.of-axle-toe": sentence("toe of both wheels, degrees (+ in)"),
    "axis.clearance": sentence("clearance at the {spot}, {unit}"),
    "mark.droop-stop": sentence("droop stop"),
    "mark.bump-stop": sentence("bump stop"),
    "mark.droop-used": sentence("droop used"),
    "mark.bump-used": sentence("bump used"),
    "mark.as-surveyed": sentence("as surveyed"),
    "mark.ride-height": sentence("ride height"),
    "mark.straight-ahead": sentence("straight ahead"),
    "mark.lock-out": sentence("full lock out"),
    "mark.lock-in": sentence("full lock in"),
    "level.touches": sentence("touches"),
    "level.needed": sentence("{value} needed"),
}

CURVES: dict[str, Sentence] = {
    "curve.before": sentence("before"),
    "curve.after": sentence("after"),
    "curve.model": sentence("model"),
    "curve.used": sentence("used"),
    "curve.over-travel": sentence("travel"),
    "curve.over-lock": sentence("steering"),
    "curve.camber": sentence("camber"),
    "curve.toe": sentence("toe"),
    "curve.caster": sentence("caster"),
    "curve.track": sentence("the contact's shift outboard"),
    "curve.outboard": sentence("the hub's shift outboard"),
    "curve.axle-toe": sentence("toe of both wheels together"),
    "curve.title": sentence("{corner}: {what}", corner=capital),
    "curve-note.no-bump": sentence(
        "Bump stop not known: drawn {drawn_mm} into bump.", drawn_mm=mm(0)
    ),
    "curve-note.measured": sentence(
        "Measured from {from_mm} to {to_mm} of travel only.",
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
    ),
    "curve-note.travels": sentence(
        "{curve}: the suspension goes from {from_mm} to {to_mm} only.",
        curve=capital,
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
    ),
    "curve-note.steers": sentence(
        "{curve}: the linkage steers from {from_deg} to {to_deg} only.",
        curve=capital,
        from_deg=WHOLE_DEG,
        to_deg=WHOLE_DEG,
    ),
    "draw.no-steering": sentence("this corner does not steer"),
    "draw.no-rack": sentence("there is no steering rack ({curve})"),
    "draw.no-axis": sentence("there is no steering axis ({curve})"),
    "draw.moves-with-wheel": sentence("{spot} moves with the wheel"),
    "draw.no-loaded-poses": sentence("this setting has no loaded poses"),
    "legend.one-rack": sentence(
        "The wheel across is taken as this one's mirror, on the same rack."
    ),
    "legend.thick-dashed": sentence("Thick: {thick}. Dashed: {dashed}."),
    "legend.stop": sentence("Hatched line: a stop."),
    "legend.crosses-read": sentence("Crosses: as read on the bump-steer sheet."),
    "legend.end-figures": sentence("The figures at the right are those at the ends of the lines."),
    "describe.curve": sentence("{what} over {over}.", what=capital),
    "describe.line": sentence(
        "{line}: {first} at {first_at}, {middle} at {middle_at}, {last} at {last_at}.",
        line=capital,
    ),
    "describe.readings": sentence("Readings marked with crosses: {count}."),
    "describe.mark": sentence("{mark} at {at}"),
    "describe.marks": sentence("Marked: {marks}.", marks=commas),
}

MAPS: dict[str, Sentence] = {
    "map.title": sentence("Clearance at the {spot}, {corner}"),
    "describe.map": sentence(
        "Clearance at the {spot} over travel from {from_mm} to {to_mm}.",
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
    ),
    "describe.map-steered": sentence(
        "Clearance at the {spot} over travel from {from_mm} to {to_mm} and steering from "
        "{from_deg} to {to_deg}.",
        from_mm=WHOLE_MM,
        to_mm=WHOLE_MM,
        from_deg=WHOLE_DEG,
        to_deg=WHOLE_DEG,
    ),
    "describe.least": sentence("Least: {gap_mm}, {verdict}, {pose}.", gap_mm=signed_gap_with_unit),
    "describe.poses": sentence(
        "Overlap: {touching}. Less than the {needed_mm} that are needed: {short}.",
        needed_mm=short_mm,
    ),
    "describe.no-poses": sentence("no poses"),
    "describe.all-poses": sentence("all poses"),
    "describe.some-poses": sentence("about {part_share} of all poses"),
    "legend.map-lines": sentence(
        "Lines of equal clearance in mm inside the poses that the use visits."
    ),
    "legend.map-touches": sentence("Thick line: it touches."),
    "legend.map-overlap": sentence("Hatched: overlap."),
    "legend.map-needed": sentence(
        "Short dashes: the {needed_mm} that are needed.", needed_mm=short_mm
    ),
    "legend.map-axes": sentence("Long dashes and dots: ride height and straight ahead."),
    "legend.map-curve": sentence("Thick: clearance over travel. Hatched below zero: it touches."),
    "legend.map-height": sentence("Long dashes and dots: ride height."),
    "legend.map-dot": sentence("Dot: the tightest moment."),
    "legend.load-outside": sentence("With cornering load on the outside wheel."),
    "legend.load-inside": sentence("With cornering load on the inside wheel."),
    "legend.load-braking": sentence("Under hard braking."),
    "legend.map-shift": sentence(
        "Corrected by {shift_mm} after the gap read on this car.", shift_mm=mm(1, signed=True)
    ),
}

SECTORS: dict[str, Sentence] = {
    "sectors.title": sentence("Where the wheel goes, and what was looked at, {corner}"),
    "sectors.outboard": sentence("outboard of the wheel"),
    "sectors.inboard": sentence("inboard of the wheel"),
    "sectors.arc": sentence("{from_deg} to {to_deg}", from_deg=WHOLE_DEG, to_deg=WHOLE_DEG),
    "sectors.none-missing": sentence("all looked at"),
    "sectors.outboard-seen": sentence("Outboard, measured: {arcs}.", arcs=commas),
    "sectors.outboard-open": sentence("Outboard, looked at and empty: {arcs}.", arcs=commas),
    "sectors.outboard-passed": sentence("Outboard, between two measured: {arcs}.", arcs=commas),
    "sectors.outboard-missing": sentence("Outboard, to be looked at: {arcs}.", arcs=commas),
    "sectors.inboard-seen": sentence("Inboard, measured: {arcs}.", arcs=commas),
    "sectors.inboard-open": sentence("Inboard, looked at and empty: {arcs}.", arcs=commas),
    "sectors.inboard-passed": sentence("Inboard, between two measured: {arcs}.", arcs=commas),
    "sectors.inboard-missing": sentence("Inboard, to be looked at: {arcs}.", arcs=commas),
    "describe.sectors": sentence(
        "Two dials round the wheel, seen from outside with the front to the right: the sectors "
        "that the wheel visits, out to where it sweeps. Angles from straight up, plus to the front."
    ),
    "legend.sectors": sentence(
        "Seen from outside, the front to the right; angles from straight up, plus to the front. "
        "A sector reaches as far as the wheel sweeps."
    ),
    "legend.sector-seen": sentence("Thick: measured near the wheel."),
    "legend.sector-open": sentence("Dashed: looked at, and empty."),
    "legend.sector-passed": sentence("Thin: a short gap between two that were measured."),
    "legend.sector-missing": sentence("Hatched with a dotted edge: to be looked at."),
    "legend.sector-straight": sentence("Thin line inside: as far as it goes straight ahead."),
}

WINDOWS: dict[str, Sentence] = {
    "axis.size": sentence("{value}", value=axis_size),
    "window.title-offset": sentence("Offset window, {corner}"),
    "window.title-width": sentence("Width window, {corner}"),
    "window.over-offset": sentence("wheel offset, mm"),
    "window.over-width": sentence("section width on this rim, mm"),
    "window.clearance": sentence("clearance, {unit}"),
    "window.now": sentence("as tried"),
    "window.spot-of": sentence("{spot}, {corner}"),
    "window.offset-between": sentence(
        "offset {low_mm} to {high_mm} clears: {length_mm} mm",
        low_mm=tenths,
        high_mm=tenths,
        length_mm=tenths,
    ),
    "window.offset-from": sentence("offset {low_mm} mm and more clears", low_mm=tenths),
    "window.offset-to": sentence("offset up to {high_mm} mm clears", high_mm=tenths),
    "window.offset-all": sentence(
        "clears all the way, offset {low_mm} to {high_mm} mm", low_mm=tenths, high_mm=tenths
    ),
    "window.spacer-between": sentence(
        "spacer {low_mm} to {high_mm} mm clears", low_mm=tenths, high_mm=tenths
    ),
    "window.spacer-from": sentence("spacer {low_mm} mm and more clears", low_mm=tenths),
    "window.width-between": sentence(
        "width {low_mm} to {high_mm} clears: {length_mm} mm",
        low_mm=tenths,
        high_mm=tenths,
        length_mm=tenths,
    ),
    "window.width-from": sentence("width {low_mm} mm and more clears", low_mm=tenths),
    "window.width-to": sentence("width up to {high_mm} mm clears", high_mm=tenths),
    "window.width-all": sentence(
        "clears all the way, width {low_mm} to {high_mm} mm", low_mm=tenths, high_mm=tenths
    ),
    "describe.window-offset": sentence(
        "Clearance over wheel offset from {low_mm} mm to {high_mm} mm; tried is {now_mm} mm.",
        low_mm=tenths,
        high_mm=tenths,
        now_mm=tenths,
    ),
    "describe.window-width": sentence(
        "Clearance over section width from {low_mm} mm to {high_mm} mm; tried is {now_mm} mm.",
        low_mm=tenths,
        high_mm=tenths,
        now_mm=tenths,
    ),
    "describe.window-spot": sentence(
        "{spot}: {first} at the lower end, {now} as tried, {last} at the upper end.", spot=capital
    ),
    "describe.window-clears": sentence("{what}.", what=capital),
    "legend.window-exact": sentence(
        "Every {step_mm}, and where an interval ends, is a full check; between those a curve is "
        "within {between_mm} of the line. The band is the uncertainty.",
        step_mm=short_mm,
        between_mm=mm(1),
    ),
    "legend.window-missing": sentence(
        "Nothing here is called clear, because a corner is not fully measured: {what}.",
        what=semicolons,
    ),
    "legend.window-unknown": sentence(
        "Not measured, so no interval speaks for it: {spots}.", spots=commas
    ),
    "legend.window-nothing": sentence("Nothing in this range clears."),
}

POSES: dict[str, Sentence] = {
    "pose-drawing.section": sentence("Section, {corner}, {pose}"),
    "pose-drawing.side": sentence("From the side, {corner}, {pose}"),
    "pose-said.spot": sentence(
        "{pose}: {gap_mm} at the {spot}.", pose=capital, gap_mm=signed_gap_with_unit
    ),
    "pose-said.none": sentence("{pose}: no spot was measured.", pose=capital),
    "pose-said.not-visited": sentence(
        "The use does not go to the pose that was asked for; the nearest one is shown."
    ),
    "drawing.not-measured": sentence("not measured"),
    "drawing.at-clock": sentence("clock {clock_deg}", clock_deg=WHOLE_DEG),
    "drawing.to-the-front": sentence("front"),
    "describe.pose": sentence("Pose: {pose}."),
    "describe.spot-here": sentence("{spot}: {gap_mm}.", spot=capital, gap_mm=signed_gap_with_unit),
    "describe.pose-section": sentence(
        "Section through wheel and tyre from the spin axis up, outboard to the right, with every "
        "spot where it is in this pose."
    ),
    "describe.side": sentence(
        "The wheel from outboard, the tyre in thick line, with the edge of the body and what lies "
        "behind the wheel. Marks stand at every 30° of the clock."
    ),
    "describe.side-spot": sentence(
        "The spot that decides is the {spot}, at {clock_deg} from straight up, plus to the front, "
        "{radius_mm} from the middle of the hub.",
        clock_deg=WHOLE_DEG,
        radius_mm=mm(0),
    ),
    "legend.pose-numbers": sentence(
        "Numbers are gaps in {unit} in this pose.", unit=unit_of_lengths
    ),
    "legend.side": sentence(
        "From outboard; clock angles from straight up, plus to the front. Hatched: the body."
    ),
    "legend.side-hidden": sentence("Dashed: behind the wheel."),
}

MESSAGES = POSES | SECTION | AXES | CURVES | MAPS | SECTORS | WINDOWS
