"""An answer as plain text for a terminal: the sentences, then one table a corner."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from alignment.geometry.adjuster_units import adjuster_message
from alignment.text.render import SHOP, Reader, render
from common.corners import CORNER_NAMES
from common.message import message
from fitment.engine.findings import most_of_it, reach
from fitment.engine.model import Answer, Assumed, CornerAnswer, SpotAnswer
from fitment.text.render import check_text, sentences


def answer_text(answer: Answer, reader: Reader = SHOP) -> str:
    """The whole answer; ends without a newline. Lengths in tables are millimetres."""
    say = reader.speech.say
    lines = [answer.label] if answer.label else []
    verdict = render(message(f"verdict.{answer.verdict}"), reader)
    lines += [say("verdict: {verdict}", verdict=verdict), str(check_text(answer, reader))]
    chance = render(message("chance.touch", touch_share=answer.any_touch_chance), reader)
    lines.append(say("may touch anywhere: {chance}", chance=chance))
    for name, corner in answer.corners.items():
        lines += ["", *_corner(name, corner, reader)]
    return "\n".join(lines)


def _corner(name: str, corner: CornerAnswer, reader: Reader) -> Iterator[str]:
    say = reader.speech.say
    verdict = render(message(f"verdict.{corner.verdict}"), reader)
    chance = render(message("chance.touch", touch_share=corner.any_touch_chance), reader)
    words = say("{verdict}, may touch {chance}", verdict=verdict, chance=chance)
    yield f"{name}, {say(CORNER_NAMES[name])}: {words}"
    static = corner.static
    yield "  " + say(
        "static: camber {camber}, toe {toe}, caster {caster}, inclination {inclination}",
        camber=_angle(static.camber_deg, reader),
        toe=_angle(static.toe_deg, reader),
        caster=_angle(static.caster_deg, reader),
        inclination=_angle(static.inclination_deg, reader),
    )
    if corner.adjusters:
        yield "  " + say("adjusters: {list}", list=", ".join(_adjusters(corner, reader)))
    if corner.places:
        rows = [_head(reader), *(_row(spot, reader) for spot in corner.places)]
        yield from (f"  {line}" for line in _table(rows))
    yield from (f"  {sentences([reach(short)], reader)}" for short in corner.out_of_reach)
    for reason in corner.uncovered:
        yield "  " + say("not measured: {reason}", reason=render(reason, reader))
    for spot in corner.places:
        if spot.note is not None:
            yield f"  {spot.place}: {render(spot.note, reader)}"
    for spot in corner.places:
        if most := most_of_it(spot):
            yield f"  {reader.speech.may_say(spot.place)}: {render(most, reader)}"
    for item in corner.assumed:
        yield "  " + say("assumed: {words}", words=assumed_text(item, reader))
    for note in corner.notes:
        yield "  " + say("note: {note}", note=render(note, reader))


def assumed_text(item: Assumed, reader: Reader = SHOP) -> str:
    """An uncertainty that was not stated, with the default used and its reason."""
    return f"{item.what} ±{reader.speech.plain(item.value)} {item.unit}, {item.reason}"


def _adjusters(corner: CornerAnswer, reader: Reader) -> Iterator[str]:
    for name, value in corner.adjusters.items():
        rows = (
            {f"rod:{rod}": length for rod, length in value.items()}
            if isinstance(value, Mapping)
            else {name: value}
        )
        for key, figure in rows.items():
            unit = "°" if key.endswith("_deg") else " mm"
            words = render(adjuster_message(key), reader)
            yield f"{words} {reader.speech.number(figure, 2, signed=True)}{unit}"


def _head(reader: Reader) -> tuple[str, ...]:
    say = reader.speech.say
    return (
        say("spot"),
        say("verdict"),
        say("clearance"),
        say("at least"),
        say("needed"),
        "±",
        say("may touch"),
        say("bump"),
        say("steering"),
        say("load"),
    )


def _row(spot: SpotAnswer, reader: Reader) -> tuple[str, ...]:
    speech = reader.speech
    return (
        speech.may_say(spot.place),
        render(message(f"verdict.{spot.verdict}"), reader),
        speech.number(spot.clearance_mm, 2) if spot.is_measured else speech.say("not measured"),
        "–" if math.isnan(spot.certified_mm) else speech.number(spot.certified_mm, 2),
        speech.plain(spot.needed_mm),
        speech.number(spot.sigma_mm, 2),
        render(message("chance.touch", touch_share=spot.touch_chance), reader),
        speech.number(spot.at.travel_mm, 1, signed=True),
        speech.number(spot.at.steer_deg, 1, signed=True),
        render(message(f"load.{spot.at.load}"), reader) if spot.at.load else "",
    )


def _table(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Columns as wide as their widest cell; words to the left, figures to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (
            cell.ljust(width) if index in (0, 1, 9) else cell.rjust(width)
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        yield "  ".join(cells).rstrip()


def _angle(value: float | None, reader: Reader) -> str:
    if value is None:
        return reader.speech.say("none")
    return f"{reader.speech.number(value, 3, signed=True)}°"
