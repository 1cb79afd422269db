"""A room check for the customer, in their language and units: its sentence and its drawings.

The engine speaks English millimetres. A stored check keeps its answer and its drawings as plain
data, so the same answer is said and lettered again here. In English millimetres the sentence is,
letter for letter, the one of ``fitment.engine.words``; a test holds the two together.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import replace
from textwrap import wrap
from typing import TYPE_CHECKING

from common.corners import CORNER_NAMES
from common.verdicts import Verdict
from fitment.drawings.stored import BESIDE, scene_load
from fitment.engine import checkfile
from fitment.engine.drawing.captions import LABEL_CHARACTERS
from fitment.engine.drawing.scene import Dimension, Part, ScaleBar, Scene, Words
from fitment.engine.model import (
    BODY,
    Answer,
    CornerAnswer,
    OutOfReach,
    SpotAnswer,
)
from fitment.engine.words import READINGS, SAME_CAR_READING, adjuster_words, worst_spot
from shop.languages import Speech
from shop.languages.speech import INCHES, MILLIMETRES, MINUS, MM_PER_INCH

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck


SHOP, CUSTOMER = "shop", "customer"
#: Length of the scale bar for those who think in inches.
BAR_IN = 4


def is_engines_own(speech: Speech) -> bool:
    """Whether this reader is spoken to as the engine speaks anyway."""
    return speech.language.is_english and speech.lengths == MILLIMETRES


def clearance_sentence(check: ClearanceCheck, speech: Speech) -> str:
    """What the check says, for people; as it was stored where that is the reader's own."""
    if is_engines_own(speech):
        return check.sentence
    if not check.answer:
        why = check.sentence.partition(": ")[2]
        return speech.say("The suspension as surveyed cannot be set as planned: {why}", why=why)
    said = answer_sentence(checkfile.answer_load(check.answer), speech)
    missing = unmeasured_sentence(check.unmeasured, speech)
    return f"{said} {missing}".strip()


def unmeasured_sentence(corners: Iterable[str], speech: Speech) -> str:
    """What is not known for want of a survey; empty if every corner has one."""
    names = [speech.say(CORNER_NAMES[corner]) for corner in corners]
    if not names:
        return ""
    return speech.say_many(
        "The {corners} corner has never been surveyed, so nothing can be said about the room "
        "there.",
        "The {corners} corners have never been surveyed, so nothing can be said about the room "
        "there.",
        len(names),
        corners=speech.listed(names),
    )


# ---- sentences


def answer_sentence(answer: Answer, speech: Speech) -> str:
    """The verdict, what decides it, and what is out of reach."""
    if not answer.corners:
        return speech.say("Nothing was checked.")
    same = [name for name, corner in answer.corners.items() if corner.verdict == answer.verdict]
    first = min(same or answer.corners, key=lambda name: _least(answer.corners[name]))
    sentences = [f"{_corner(first, speech)}: {_corner_clause(answer.corners[first], speech)}."]
    others = [speech.say(CORNER_NAMES[name]) for name in same if name != first]
    if others and answer.verdict == Verdict.CLEAR:
        sentences.append(speech.say("More room at {corners}.", corners=speech.listed(others)))
    elif others:
        also = speech.say(_ALSO[answer.verdict])
        sentences.append(f"{_capital(speech.listed(others))}: {also}.")
    for name, corner in answer.corners.items():
        sentences += [
            f"{_corner(name, speech)}: {_reach(short, speech)}" for short in corner.out_of_reach
        ]
    return " ".join(sentences)


_ALSO = {
    Verdict.CONTACT: "touches as well",
    Verdict.UNMEASURED: "unmeasured as well",
    Verdict.DOUBTFUL: "doubtful as well",
    Verdict.TIGHT: "tight as well",
}


def _corner(name: str, speech: Speech) -> str:
    return _capital(speech.say(CORNER_NAMES[name]))


def _corner_clause(corner: CornerAnswer, speech: Speech) -> str:
    worst = worst_spot(corner)
    missing = "; ".join(_uncovered(reason.rstrip(". "), speech) for reason in corner.uncovered)
    if worst is not None and worst.verdict == Verdict.CONTACT:
        clause = spot_clause(worst, speech)
        others = sum(place.verdict == Verdict.CONTACT for place in corner.places) - 1
        if others:
            more = speech.say_many(
                "{count} more place touches", "{count} more places touch", others
            )
            clause += f"; {more}"
        if missing:
            clause += "; " + speech.say("beyond that unmeasured: {missing}", missing=missing)
        return clause
    if corner.verdict == Verdict.UNMEASURED and (missing or worst is None):
        why = missing or speech.say("nothing was surveyed here")
        return speech.say("unmeasured, so not known to clear: {why}", why=why)
    return speech.say(corner.verdict) if worst is None else spot_clause(worst, speech)


ARC = re.compile(r"(?P<what>.+) from (?P<start>[+-]\d+)° to (?P<end>[+-]\d+)° of clock")


def _uncovered(reason: str, speech: Speech) -> str:
    """What a survey leaves open; an arc is said with its two angles."""
    found = ARC.fullmatch(reason)
    if found is None:
        return speech.may_say(reason)
    if is_engines_own(speech):
        return reason
    start, end = (found[name].replace("-", MINUS) for name in ("start", "end"))
    if found["what"] == "nothing measured outboard":
        said = "nothing measured outboard from {start}° to {end}° of clock"
    else:
        said = "nothing measured inboard from {start}° to {end}° of clock"
    return speech.say(said, start=start, end=end)


def spot_clause(place: SpotAnswer, speech: Speech) -> str:
    """What happens at a place, by how much, and in which pose."""
    said = {
        "part": speech.may_say(place.part or "tyre"),
        "place": speech.may_say(place.place),
        "pose": pose_words(place, speech),
    }
    gap = place.clearance_mm
    if place.verdict == Verdict.UNMEASURED:
        why = place.note.rstrip(". ")
        return speech.say(
            "nothing can be said about the {place} ({why})",
            place=said["place"],
            why=speech.may_say(why)
            if why
            else speech.say("the back of the spokes and the barrel were not measured"),
        )
    if place.verdict == Verdict.CONTACT:
        return speech.say(
            "the {part} touches the {place}, {overlap} too close, {pose}",
            overlap=_length(-gap, speech),
            **said,
        )
    if place.verdict == Verdict.DOUBTFUL:
        return speech.say(
            "the {part} may touch the {place}: {gap} of room, give or take {sigma} ({chance} "
            "chance of touching), {pose}; {reading} would settle most of it",
            gap=_length(gap, speech),
            sigma=_length(place.sigma_mm, speech),
            chance=_per_cent(place.touch_chance, speech),
            reading=_reading(place, speech),
            **said,
        )
    if place.verdict == Verdict.TIGHT:
        return speech.say(
            "the {part} passes the {place} with {gap} where {needed} is wanted, {pose}",
            gap=_below_needed(place, speech),
            needed=_needed(place.needed_mm, speech),
            **said,
        )
    return speech.say(
        "the {part} clears the {place} by {gap}, {pose}", gap=_length(gap, speech), **said
    )


def _length(mm: float, speech: Speech) -> str:
    """Whole millimetres or hundredths of an inch; never a bare nothing."""
    step = MM_PER_INCH / 100 if speech.lengths == INCHES else 1.0
    if round(mm / step) <= 0:
        return speech.say("less than {length}", length=speech.length(step, 0))
    return speech.length(mm, 0)


def _below_needed(place: SpotAnswer, speech: Speech) -> str:
    """Rounded so that it never reads like the margin that it misses."""
    step = MM_PER_INCH / 100 if speech.lengths == INCHES else 1.0
    if round(place.clearance_mm / step) * step < place.needed_mm:
        return _length(place.clearance_mm, speech)
    return _length(math.floor(place.clearance_mm / step) * step, speech)


def _needed(mm: float, speech: Speech) -> str:
    if speech.lengths == INCHES:
        return speech.length(mm, 0)
    return f"{speech.plain(float(mm))} mm"


def _per_cent(chance: float, speech: Speech) -> str:
    share = 100 * chance
    if share < 1:
        return speech.say("under 1 %")
    return speech.say("over 99 %") if share > 99 else f"{share:.0f} %"


def pose_words(place: SpotAnswer, speech: Speech) -> str:
    """Where in travel and steering a place is tightest."""
    if place.carried_by != BODY:
        return speech.say("in every pose, since both move together")
    travel, steer = place.at.travel_mm, place.at.steer_deg
    words = [_travel(travel, speech)]
    if abs(steer) >= 0.5:
        said = "{angle} of lock inward" if steer > 0 else "{angle} of lock outward"
        words.append(speech.say(said, angle=f"{abs(steer):.0f}°"))
    elif abs(travel) < 0.5:
        words.append(speech.say("straight ahead"))
    if place.at.loaded:
        words.append(speech.say("loaded in a bend"))
    return ", ".join(words)


def _travel(travel: float, speech: Speech) -> str:
    if abs(travel) < 0.5:
        return speech.say("at ride height")
    said = "{length} into bump" if travel > 0 else "{length} into droop"
    return speech.say(said, length=speech.length(abs(travel), 0))


def _reading(place: SpotAnswer, speech: Speech) -> str:
    """The reading that would cut the doubt of a place most."""
    if not place.uncertainty:
        return speech.say(SAME_CAR_READING)
    worst = max(place.uncertainty, key=lambda share: share.mm)
    if worst.source in READINGS:
        return speech.say(READINGS[worst.source])
    return speech.say("a closer reading of the {source}", source=speech.may_say(worst.source))


def _reach(short: OutOfReach, speech: Speech) -> str:
    words = adjuster_words(short.adjuster)
    places = 1

    def figure(value: float, *, signed: bool = True) -> str:
        if words.unit == "°":
            return f"{speech.number(value, places, signed=signed)}°"
        return speech.length(value, places, signed=signed)

    return speech.say(
        "out of reach: {adjuster} is needed at {needed}, the parts fitted allow {least} to {most}, "
        "short by {short}; {parts} would give it.",
        adjuster=speech.may_say(words.name),
        needed=figure(short.needed),
        least=figure(short.min),
        most=figure(short.max),
        short=figure(abs(short.short_by), signed=False),
        parts=speech.may_say(words.given_by),
    )


def _least(corner: CornerAnswer) -> float:
    worst = worst_spot(corner)
    gap = math.inf if worst is None else worst.clearance_mm
    return -math.inf if math.isnan(gap) else gap


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# ---- drawings


def corners_said(corners: Iterable[str], speech: Speech) -> str:
    """ "left front and right front" """
    return speech.listed([speech.say(CORNER_NAMES[corner]) for corner in corners])


def room_drawing(check: ClearanceCheck, corner: str, speech: Speech) -> Scene:
    """The drawing of one corner, lettered for this reader."""
    reader = SHOP if speech.lengths == INCHES else CUSTOMER
    scenes = check.scenes[corner]
    beside = scenes.get(BESIDE[reader])
    scene = scene_load(beside or scenes[reader])
    if is_engines_own(speech):
        return scene
    answer = checkfile.answer_load(check.answer).corners[corner] if check.answer else None
    name = speech.say(CORNER_NAMES[corner])
    return replace(
        scene,
        title=speech.say("Room of the {corner} wheel", corner=name),
        description=description(answer, speech, beside is not None)
        if answer
        else scene.description,
        legend=tuple(_legend(line, speech) for line in scene.legend),
        parts=tuple(_lettered(part, speech) for part in scene.parts),
    )


def description(corner: CornerAnswer, speech: Speech, other: bool = False) -> str:
    """What the drawing shows, for those who cannot see it."""
    lines = [
        speech.say(
            "Section through wheel and tyre from the spin axis up, outboard to the right. Around "
            "it, everything that comes near over all travel and steering."
        )
    ]
    for place in sorted(corner.places, key=lambda place: place.clearance_mm):
        gap = speech.length(place.clearance_mm, 0, signed=True)
        lines.append(
            f"{speech.may_say(place.place)}: {gap}, {speech.say(place.verdict)}, "
            f"{pose_words(place, speech)}."
        )
    if other:
        lines.append(speech.say("A second wheel and tyre is drawn dashed."))
    return " ".join(lines)


def _lettered(part: Part, speech: Speech) -> Part:
    if isinstance(part, Words):
        return replace(part, lines=tuple(_lines(part.lines, speech)))
    if isinstance(part, Dimension):
        return replace(
            part, value=replace(part.value, lines=tuple(_lines(part.value.lines, speech)))
        )
    if isinstance(part, ScaleBar) and speech.lengths == INCHES:
        return replace(part, length_mm=BAR_IN * MM_PER_INCH, words=f"{BAR_IN} in")
    return part


def _lines(lines: tuple[tuple[str, str], ...], speech: Speech) -> list[tuple[str, str]]:
    """The place's name, which the layout broke, put together, said and broken again."""
    name = " ".join(text for text, style in lines if style == "label")
    said = wrap(speech.may_say(name), LABEL_CHARACTERS) if name else []
    rest = [(_text(text, speech), style) for text, style in lines if style != "label"]
    return [*((text, "label") for text in said), *rest]


GAP = re.compile(r"(?P<sign>[+−]?)(?P<mm>\d+(?:\.\d+)?) (?P<word>\w+)")


def _text(text: str, speech: Speech) -> str:
    """ "+6.2 clear", or words that stand alone."""
    found = GAP.fullmatch(text)
    if found is None:
        return speech.may_say(text)
    return f"{found['sign']}{_figure(found['mm'], speech)} {speech.say(found['word'])}"


def _figure(mm: str, speech: Speech) -> str:
    places = len(mm.partition(".")[2])
    if speech.lengths == INCHES:
        return speech.bare_length(float(mm), 0)
    return speech.number(float(mm), places)


NOT_DIMENSIONED = "Not dimensioned: "
NUMBERS_ARE = "Numbers are gaps in {unit}, the smallest over all travel and lock."


def _legend(line: str, speech: Speech) -> str:
    if line == NUMBERS_ARE.format(unit="mm"):
        return speech.say(NUMBERS_ARE, unit=speech.length_word)
    if line.startswith(NOT_DIMENSIONED):
        gaps = line.removeprefix(NOT_DIMENSIONED).removesuffix(".").split(", ")
        said = [_far(gap, speech) for gap in gaps]
        return speech.say("Not dimensioned: {gaps}.", gaps=", ".join(said))
    return speech.say(line)


def _far(gap: str, speech: Speech) -> str:
    """ "inner panel +77 mm" """
    found = re.fullmatch(r"(?P<place>.+) (?P<sign>[+−]?)(?P<mm>[\d.]+) mm", gap)
    if found is None:
        return gap
    figure = f"{found['sign']}{_figure(found['mm'], speech)} {speech.length_unit}"
    return f"{speech.may_say(found['place'])} {figure}"


# ---- curves


def curve_lettered(scene: Scene, speech: Speech) -> Scene:
    """A plot with its words said; its units are those that it was drawn in."""
    if speech.language.is_english:
        return scene
    return replace(
        scene,
        description=speech.say(
            "{what}: a plot over the travel of the wheel, before and after. The figures at the "
            "ends of the lines are printed beside them.",
            what=scene.title,
        ),
        legend=tuple(_curve_legend(line, speech) for line in scene.legend),
        parts=tuple(_plotted(part, speech) for part in scene.parts),
    )


def _plotted(part: Part, speech: Speech) -> Part:
    if not isinstance(part, Words):
        return part
    said = ((_number_or_words(text, speech), style) for text, style in part.lines)
    return replace(part, lines=tuple(said))


def _number_or_words(text: str, speech: Speech) -> str:
    if re.fullmatch(r"[+−]?\d+(\.\d+)?( ?[°a-z]+)?", text):
        return text.replace(".", speech.language.point)
    return speech.may_say(text)


def _curve_legend(line: str, speech: Speech) -> str:
    return speech.may_say(line)
