"""The conditions of a visit on the spec sheet: rack, pressures, adjusters."""

from __future__ import annotations

import re
from typing import Any

from django.utils.translation import gettext_noop as _
from reportlab.platypus import KeepTogether, Spacer

from alignment.models import Quantity, RackVisit
from alignment.text.labels import adjuster_said
from alignment.visits.comparison import positions_in_order
from alignment.visits.data import Comparison
from shop.languages import Speech
from shop.models import Corner
from shop.paper.pdf_styles import Styles, ruled_table, speech_on, text


def conditions_lines(comparison: Comparison, speech: Speech) -> list[str]:
    """The conditions of each visit, in a line of its own."""
    lines = []
    for title, visit in (
        (_("Before"), comparison.before),
        (comparison.after_title, comparison.after),
    ):
        if visit is not None:
            said = "; ".join(conditions_said(visit, speech))
            lines.append(f"{speech.say(title)}: {said}.")
    return lines


def conditions_said(visit: RackVisit, speech: Speech) -> list[str]:
    """Time, rack and state of the car; what was not noted is stated as such."""
    say = speech.say
    rack = say("rack {name}", name=visit.rack_name) if visit.rack_name else say("rack not noted")
    said = [
        speech.moment(visit.at),
        say(
            "{rack}, good for ±{angle}",
            rack=rack,
            angle=speech.angle(visit.accuracy_deg, signed=False),
        ),
        say("technician {name}", name=visit.technician.shown_name),
        say("steering wheel straight ahead and held")
        if visit.steering_ahead
        else say("steering wheel not noted as straight ahead"),
    ]
    if visit.level:
        said.append(say("rack level, plates free, springs settled"))
    pressures = _pressures(visit, speech)
    if pressures:
        said.append(say("tyre pressures {figures}", figures=pressures))
    if visit.fuel:
        said.append(say("fuel and load: {words}", words=visit.fuel))
    if visit.ballast:
        said.append(say("ballast: {words}", words=visit.ballast))
    if visit.temperature_c is not None:
        said.append(say("{figure} °C", figure=speech.number(visit.temperature_c, 0)))
    if visit.mileage_km is not None:
        said.append(speech.distance(visit.mileage_km))
    return said


def _pressures(visit: RackVisit, speech: Speech) -> str:
    """What was noted in words, and what was read at each wheel."""
    values = visit.values()
    read = [
        f"{speech.within(speech.say(label))} "
        f"{speech.bare_pressure(values[corner, Quantity.PRESSURE])}"
        for corner, label in Corner.choices
        if (corner, Quantity.PRESSURE) in values
    ]
    figures = f"{', '.join(read)} {speech.pressure_unit}" if read else ""
    return "; ".join(part for part in (visit.tyre_pressure, figures) if part)


def positions_table(comparison: Comparison, styles: Styles) -> list[Any]:
    """Where the adjusters stood, before and after, by wheel, for the next alignment."""
    speech = speech_on(styles)
    say = speech.say
    before, after = _typed(comparison.before), _typed(comparison.after)
    names = list(dict.fromkeys(name for _, name in (*after, *before)))
    if not names:
        return []
    head = [say("Adjuster"), *(say(str(label)) for label in Corner.labels)]
    rows = [
        [
            adjuster_said(name, speech),
            *(_moved(before.get((c, name)), after.get((c, name)), speech) for c in Corner.values),
        ]
        for name in names
    ]
    title = say("Adjusters: where they stood before → where they were left")
    table = ruled_table(styles, head, rows, (3.2, 2, 2, 2, 2))
    return [Spacer(1, 5), KeepTogether([text(title, styles["head"]), Spacer(1, 2), table])]


def _moved(before: str | None, after: str | None, speech: Speech) -> str:
    """ "2 marks → 1 mark"; one figure where only one was noted, marked if it is the old one."""
    old = units_said(before, speech) if before else ""
    new = units_said(after, speech) if after else ""
    if old and new:
        return new if old == new else f"{old} → {new}"
    return new or (f"{old} →" if old else "–")


def units_said(typed: str, speech: Speech) -> str:
    """What was typed with its units and decimal marks in the reader's language."""
    figures = re.sub(r"(?<=\d)[.,](?=\d)", speech.language.point, typed.replace("-", "−"))
    return re.sub(r"[A-Za-z]+", lambda word: speech.may_say(word[0]), figures)


def _typed(visit: RackVisit | None) -> dict[tuple[str, str], str]:
    if visit is None:
        return {}
    return {(p.corner, p.adjuster): p.shown for p in positions_in_order(visit)}
