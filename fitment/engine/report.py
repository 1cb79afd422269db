"""An answer as plain text for a terminal: one table a corner, then the sentence."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from common.corners import CORNER_NAMES
from fitment.engine.model import Answer, CornerAnswer, SpotAnswer
from fitment.engine.remark_text import chance_text, most_of_it, remark_text
from fitment.engine.words import adjuster_words, check_sentence, reach_sentence

_HEAD = (
    "place",
    "verdict",
    "clearance",
    "certified",
    "needed",
    "sigma",
    "may touch",
    "bump",
    "steer",
    "load",
)


def answer_text(answer: Answer) -> str:
    """The whole answer; ends without a newline."""
    lines = [answer.label] if answer.label else []
    lines += [f"verdict: {answer.verdict}", check_sentence(answer)]
    lines.append(f"may touch anywhere: {chance_text(answer.any_touch_chance)}")
    lines += [remark_text(remark) for remark in answer.remarks]
    for name, corner in answer.corners.items():
        lines += ["", *_corner(name, corner)]
    return "\n".join(lines)


def _corner(name: str, corner: CornerAnswer) -> Iterator[str]:
    chance = chance_text(corner.any_touch_chance)
    yield f"{name}, {CORNER_NAMES.get(name, name)}: {corner.verdict}, may touch {chance}"
    static = corner.static
    yield (
        f"  static: camber {_angle(static.camber_deg)}, toe {_angle(static.toe_deg)}, "
        f"caster {_angle(static.caster_deg)}, inclination {_angle(static.inclination_deg)}"
    )
    if corner.adjusters:
        yield f"  adjusters: {', '.join(_adjusters(corner.adjusters))}"
    if corner.places:
        yield from (f"  {line}" for line in _table([_HEAD, *map(_row, corner.places)]))
    yield from (f"  {reach_sentence(short)}" for short in corner.out_of_reach)
    yield from (f"  unmeasured: {reason}" for reason in corner.uncovered)
    yield from (f"  {place.place}: {place.note}" for place in corner.places if place.note)
    yield from (
        f"  assumed: {item.what} ±{item.value:g} {item.unit}, {item.reason}"
        for item in corner.assumed
    )
    yield from (
        f"  {place.place}, {most_of_it(place)}" for place in corner.places if place.uncertainty
    )
    yield from (f"  note: {note}" for note in corner.notes)
    yield from (f"  note: {remark_text(remark)}" for remark in corner.remarks)


def _adjusters(adjusters: Mapping[str, float | Mapping[str, float]]) -> Iterator[str]:
    for name, value in adjusters.items():
        rows = (
            {f"rod:{rod}": length for rod, length in value.items()}
            if isinstance(value, Mapping)
            else {name: value}
        )
        for key, figure in rows.items():
            words = adjuster_words(key)
            yield f"{words.name} {figure:+.2f} {words.unit}".rstrip()


def _row(place: SpotAnswer) -> tuple[str, ...]:
    return (
        place.place,
        place.verdict,
        _figure(place.clearance_mm, ".2f"),
        _figure(place.certified_mm, ".2f"),
        f"{place.needed_mm:g}",
        _figure(place.sigma_mm, ".2f"),
        chance_text(place.touch_chance),
        f"{place.at.travel_mm:+.1f}",
        f"{place.at.steer_deg:+.1f}",
        "loaded" if place.at.loaded else "",
    )


def _table(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Columns as wide as their widest cell; words to the left, figures to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (
            cell.ljust(width) if index in (0, 1, len(row) - 1) else cell.rjust(width)
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        yield "  ".join(cells).rstrip()


def _angle(value: float | None) -> str:
    return "none" if value is None else f"{value:+.3f}°"


def _figure(value: float, form: str) -> str:
    return format(value, form) if math.isfinite(value) else "unknown"
