"""Sentences for questions about readings and planned settings that are seldom true.

What a technician confirmed is kept as messages, and is said in the language of whoever looks.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from alignment.text.render import (
    SHOP,
    Reader,
    Sentence,
    mm,
    number,
    plain,
    render,
    sentence,
    setting_deg,
    with_unit,
)
from common.message import message_load

ROUND_MM = mm(0)
Kept = Sequence[Sequence[Mapping[str, Any]]]


def confirmed_said(kept: Kept, reader: Reader = SHOP) -> list[str]:
    """Questions that were confirmed, as ``RackVisit.accepted`` keeps them, a text each."""
    return [" ".join(render(message_load(told), reader) for told in asked) for asked in kept]


def either(value: tuple[Any, ...], reader: Reader, params: Mapping[str, Any]) -> str:
    """ "a, b or c" """
    names = [plain(one, reader, params) for one in value]
    if len(names) < 2:
        return "".join(names)
    return reader.speech.say("{names} or {last}", names=", ".join(names[:-1]), last=names[-1])


def moment(value: str, reader: Reader, _: Mapping[str, Any]) -> str:
    """A point in time, kept as ISO 8601 has it, in the shop's zone."""
    return reader.speech.moment(dt.datetime.fromisoformat(value))


QUESTIONS: dict[str, Sentence] = {
    # Names
    "quantity.camber": sentence("Camber"),
    "quantity.caster": sentence("Caster"),
    "quantity.sai": sentence("Steering axis inclination"),
    "quantity.toe": sentence("Toe"),
    "quantity.ride_height": sentence("Ride height"),
    "quantity.wheelbase": sentence("Wheelbase"),
    "quantity.track": sentence("Track width"),
    "quantity.pressure": sentence("Tyre pressure"),
    "quantity-at": sentence("{quantity}, {corner}"),
    "unit-word.minutes": sentence("minutes of arc"),
    "unit-word.mm": sentence("millimetres"),
    "unit-word.in": sentence("inches"),
    "unit-word.deg": sentence("degrees"),
    "unit-word.centimetres": sentence("centimetres"),
    "unit-and-angle": sentence("{unit} ({angle})", angle=setting_deg),
    "stage.before": sentence("Before the work"),
    "stage.between": sentence("In between"),
    "stage.after": sentence("After the work"),
    # How a question ends
    "question.correct": sentence("Correct?"),
    "question.decimal-point": sentence("Is a decimal point missing?"),
    "question.other-units": sentence(
        "The same figure would be plausible in {units}.", units=either
    ),
    "question.or-was-it": sentence("Or was it {others}?", others=either),
    # About one figure
    "question.unusual-angle": sentence("{quantity}: {figure} is unusual.", figure=setting_deg),
    "question.unusual-length": sentence("{quantity}: {figure} is unusual.", figure=ROUND_MM),
    "question.unusual-pressure": sentence(
        "{quantity}: {figure} is unusual.", figure=with_unit("bar", 1)
    ),
    "question.camber": sentence(
        "Camber of {angle}, {where}, is beyond ±{limit}°. In minutes of arc it would be "
        "{minutes}. Is the unit wrong or a decimal point missing?",
        angle=setting_deg,
        minutes=setting_deg,
    ),
    "question.positive-camber": sentence(
        "Camber of {angle}, {where}, has the top outboard. Is the minus missing?",
        angle=setting_deg,
    ),
    "question.higher": sentence(
        "Planned {length} higher, {where}. Lowering is negative.", length=ROUND_MM
    ),
    "question.lower": sentence(
        "Planned {length} lower, {where}. Is the unit correct?", length=ROUND_MM
    ),
    "question.total-toe": sentence("Total toe of {angle} is high.", angle=setting_deg),
    "question.toe": sentence("Toe of {angle}, {corner}, is high.", angle=setting_deg),
    "question.planned-toe": sentence(
        "Toe of {angle} per wheel, {where}, is high.", angle=setting_deg
    ),
    "question.small-toe": sentence("Toe of {typed} {unit} is less than racks show."),
    # About several figures of one visit
    "question.total": sentence(
        "Total toe, {axle}, is typed as {total}, but the wheels add up to {sum}. Is one "
        "per wheel and the other a total?",
        total=setting_deg,
        sum=setting_deg,
    ),
    "question.sweep": sentence(
        "Caster, {corner}, is typed as {typed}; the sweep gives {swept}. The typed one is "
        "kept. Correct?",
        typed=setting_deg,
        swept=setting_deg,
    ),
    "question.sign": sentence(
        "{quantity}, {corner}: {read} read, {target} planned. Is the sign wrong?",
        read=setting_deg,
        target=setting_deg,
    ),
    "question.mirrored": sentence(
        "{quantity}, {axle}: {left} left, {right} right. Signs mean the same on both "
        "sides. Is one of them wrong?",
        left=setting_deg,
        right=setting_deg,
    ),
    "question.height-sides": sentence(
        "Ride height, {axle}: left and right differ by {length}. Correct?", length=ROUND_MM
    ),
    # About a visit beside others
    "question.same-readings": sentence(
        "The visit of {time} has exactly these readings. Is it the same one?", time=moment
    ),
    "question.same-visit": sentence(
        "{name} entered readings at {time}: {stage}. Open that visit to add to it. Is "
        "this another visit?",
        time=moment,
    ),
    "question.older-than-order": sentence(
        "These readings are from {read}; the order was opened on {opened}. Is the date correct?",
        read=moment,
        opened=moment,
    ),
    "question.older-than-part": sentence(
        "These readings are from {read}, but {part} was fitted {fitted}. Are they readings "
        "after the work?",
        read=moment,
        fitted=moment,
    ),
    "question.younger-than-part": sentence(
        "{part} was fitted {fitted}, before these readings. Are they readings before the work?",
        fitted=moment,
    ),
    "question.mileage": sentence(
        "The car had {km} km on {time}. Is {typed} km correct?",
        km=number(0),
        typed=number(0),
        time=moment,
    ),
    "question.swapped": sentence(
        "Left and right look swapped, {axle}: the other way round they would agree with "
        "the readings of {time}. Correct?",
        time=moment,
    ),
    "question.turned": sentence(
        "Camber, {corner}: {read}; it was {before} on {time}. Is the sign wrong?",
        read=setting_deg,
        before=setting_deg,
        time=moment,
    ),
}
