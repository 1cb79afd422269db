"""Answers as JSON, and back.

The keys of the open format come first; those that this program adds for its drawings and
sentences follow. A figure that could not be worked out is null. ``clearance_mm`` of a place that
is not ``measured`` is to the usual shape of a wheel in the place of the unknown one, as long as
that is a gap: an overlap with a shape that was not measured is none, and null. ``supposed_mm`` has
both, for programs that compare solids. Such a place has no bound, uncertainty or chance.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

from alignment.geometry.hub_position import Seat
from common.message import message_dump, message_load
from common.verdicts import Verdict
from fitment.engine.model import (
    Answer,
    Assumed,
    CornerAnswer,
    Effect,
    OutOfReach,
    PoseAt,
    Sector,
    SigmaParts,
    SpotAnswer,
    StaticAnswer,
    UncertaintyPart,
    without_clearance,
)

Json = dict[str, Any]

FORMAT_KEY = "archroom_answer"
FORMAT = 1


def answer_dump(answer: Answer) -> Json:
    """The answer as a JSON document."""
    return {
        FORMAT_KEY: FORMAT,
        "label": answer.label,
        "verdict": answer.verdict,
        "any_touch_chance": _number(answer.any_touch_chance),
        "corners": {name: _corner(corner) for name, corner in answer.corners.items()},
        "notes": [message_dump(note) for note in answer.notes],
    }


def _corner(corner: CornerAnswer) -> Json:
    static = corner.static
    return {
        "verdict": corner.verdict,
        "any_touch_chance": _number(corner.any_touch_chance),
        "static": {
            "camber_deg": _number(static.camber_deg),
            "toe_deg": _number(static.toe_deg),
            "caster_deg": _number(static.caster_deg),
            "inclination_deg": _number(static.inclination_deg),
            "hub_mm": [_number(value) for value in static.hub_mm],
        },
        "adjusters": {
            name: dict(value) if isinstance(value, Mapping) else value
            for name, value in corner.adjusters.items()
        },
        "out_of_reach": [
            {
                "adjuster": short.adjuster,
                "needed": short.needed,
                "min": short.min,
                "max": short.max,
                "short_by": short.short_by,
            }
            for short in corner.out_of_reach
        ],
        "places": [spot_dump(place) for place in corner.places],
        "uncovered": [message_dump(reason) for reason in corner.uncovered],
        "sectors": [asdict(sector) for sector in corner.sectors],
        "assumed": [
            {
                "what": item.what,
                "value": item.value,
                "unit": item.unit,
                "reason": item.reason,
            }
            for item in corner.assumed
        ],
        "notes": [message_dump(note) for note in corner.notes],
        "seat": None if corner.seat is None else asdict(corner.seat),
        "levers": [
            {**asdict(effect), "by_place": list(effect.by_place)} for effect in corner.effects
        ],
    }


def spot_dump(place: SpotAnswer) -> Json:
    return {
        "place": place.place,
        "clearance_mm": _clearance(place),
        "certified_mm": _number(place.certified_mm),
        "needed_mm": place.needed_mm,
        "sigma_mm": _number(place.sigma_mm),
        "sigma_parts_mm": {
            "survey": _number(place.sigma_parts.survey_mm),
            "between_cars": _number(place.sigma_parts.between_cars_mm),
            "job": _number(place.sigma_parts.job_mm),
        },
        "touch_chance": _number(place.touch_chance),
        "verdict": place.verdict,
        "at": {
            "travel_mm": place.at.travel_mm,
            "steer_deg": place.at.steer_deg,
            "loaded": place.at.loaded,
        },
        "load": place.at.load,
        "measured": place.is_measured,
        "supposed_mm": _number(place.supposed_mm),
        "carried_by": place.carried_by,
        "surface": place.surface,
        "nearest_mm": [_number(value) for value in place.nearest_mm],
        "touch_mm": [_number(value) for value in place.touch_mm],
        "part": place.part,
        "doubt": [{"source": share.source, "mm": share.mm} for share in place.uncertainty],
        "note": message_dump(place.note) if place.note else None,
        "shift_mm": place.shift_mm,
    }


def _clearance(place: SpotAnswer) -> float | None:
    known = place.is_measured or place.supposed_mm > 0
    return _number(place.to_solid_mm) if known else None


def _load_parts(document: Json | None) -> SigmaParts:
    """What an answer of before did not tell apart is none of the three."""
    if document is None:
        return SigmaParts()
    return SigmaParts(*(_float(document[part]) for part in ("survey", "between_cars", "job")))


def _number(value: float | None) -> float | None:
    return float(value) if value is not None and math.isfinite(value) else None


def _float(value: float | None) -> float:
    return math.nan if value is None else float(value)


def answer_load(document: Json) -> Answer:
    """An answer that ``answer_dump`` wrote. Raises ValueError for another format."""
    if document.get(FORMAT_KEY) != FORMAT:
        raise ValueError(f"not an answer in format {FORMAT}")
    return Answer(
        label=document["label"],
        verdict=Verdict(document["verdict"]),
        corners={name: _load_corner(corner) for name, corner in document["corners"].items()},
        any_touch_chance=_float(document.get("any_touch_chance")),
        notes=tuple(message_load(note) for note in document.get("notes", ())),
    )


def _load_corner(corner: Json) -> CornerAnswer:
    static = corner["static"]
    x, y, z = (_float(value) for value in static["hub_mm"])
    return CornerAnswer(
        verdict=Verdict(corner["verdict"]),
        static=StaticAnswer(
            camber_deg=_float(static["camber_deg"]),
            toe_deg=_float(static["toe_deg"]),
            caster_deg=static["caster_deg"],
            inclination_deg=static["inclination_deg"],
            hub_mm=(x, y, z),
        ),
        adjusters=dict(corner["adjusters"]),
        out_of_reach=tuple(OutOfReach(**short) for short in corner["out_of_reach"]),
        places=tuple(_load_place(place) for place in corner["places"]),
        uncovered=tuple(message_load(reason) for reason in corner["uncovered"]),
        sectors=tuple(Sector(**sector) for sector in corner.get("sectors", ())),
        assumed=tuple(Assumed(**item) for item in corner["assumed"]),
        notes=tuple(message_load(note) for note in corner["notes"]),
        seat=Seat(**corner["seat"]) if corner["seat"] else None,
        effects=tuple(
            Effect(**{**effect, "by_place": tuple(effect["by_place"])})
            for effect in corner["levers"]
        ),
        any_touch_chance=_float(corner.get("any_touch_chance")),
    )


def _load_pose(place: Json) -> PoseAt:
    at = place["at"]
    return PoseAt(at["travel_mm"], at["steer_deg"], place["load"])


def _load_place(place: Json) -> SpotAnswer:
    nearest, touch = place["nearest_mm"], place["touch_mm"]
    answer = SpotAnswer(
        place=place["place"],
        carried_by=place["carried_by"],
        surface=place["surface"],
        clearance_mm=_float(place["clearance_mm"]),
        needed_mm=place["needed_mm"],
        sigma_mm=_float(place["sigma_mm"]),
        touch_chance=_float(place["touch_chance"]),
        verdict=Verdict(place["verdict"]),
        at=_load_pose(place),
        nearest_mm=(_float(nearest[0]), _float(nearest[1])),
        touch_mm=(_float(touch[0]), _float(touch[1])),
        part=place["part"],
        uncertainty=tuple(UncertaintyPart(**share) for share in place["doubt"]),
        note=message_load(place["note"]) if place["note"] else None,
        shift_mm=place["shift_mm"],
        certified_mm=_float(place.get("certified_mm")),
        sigma_parts=_load_parts(place.get("sigma_parts_mm")),
    )
    if answer.is_measured:
        return answer
    return without_clearance(replace(answer, clearance_mm=_float(place["supposed_mm"])))
