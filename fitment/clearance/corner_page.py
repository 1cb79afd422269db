"""One corner of a stored check as its page shows it: words, rows, levers, choices of plots."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import SafeString

from fitment.clearance.car_document import axle_of
from fitment.clearance.curve_pages import Choice, curve_choices, map_choices
from fitment.clearance.reach_parts import parts_that_reach
from fitment.engine.defaults import LEAST_STATED
from fitment.engine.model import (
    CONTACT,
    DOUBTFUL,
    Corner,
    CornerAnswer,
    DoubtPart,
    OutOfReach,
    SpotAnswer,
)
from fitment.engine.remark_text import chance_text, most_of_it, remark_text
from fitment.engine.search.model import RuledOut
from fitment.engine.search.text import AIM_WORDS, ruled_out_words
from fitment.engine.solid.designation import BadSize
from fitment.engine.solid.mounted import BadSection, Mounted, mounted
from fitment.engine.survey.notes import taken_for_granted
from fitment.engine.words import (
    adjuster_words as engine_adjuster_words,
)
from fitment.engine.words import best_reading, corner_sentence, pose_words, worst_spot
from fitment.text.effects import LeverTable, effect_table
from fitment.text.hub_position import seat_facts
from fitment.text.labels import adjuster_unit, adjuster_words, camber_method_text, corner_words
from fitment.tryout.results import caution_of, said_of_all
from shop.orders.cautions import ROLLING_CAUTION

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck
    from shop.models import Part

#: Lines of what was ruled out.
RULED_OUT_SHOWN = 20


@dataclass(frozen=True)
class PlaceRow:
    """One place of a corner: its tightest moment, how sure that is, and what decides it."""

    answer: SpotAnswer
    when: str
    uncertainty: str
    reading: str

    @property
    def hardly_touches(self) -> bool:
        """Whether its chance of touching is too small to be told from none."""
        return self.answer.touch_chance < LEAST_STATED

    @property
    def rim_is_nearest(self) -> bool:
        """Whether the wheel, not the tyre, is what would touch first."""
        return self.answer.part == "wheel"


@dataclass(frozen=True)
class AdjusterRow:
    """Where an adjuster has to stand, from where the car was surveyed."""

    words: str
    value: float
    unit: str


@dataclass(frozen=True)
class ReachRow:
    """An adjuster that cannot go as far as the setting asks, and which part would."""

    words: str
    needed: float
    min: float
    max: float
    short_by: float
    unit: str
    given_by: str
    on_offer: tuple[Part, ...] = ()


@dataclass(frozen=True)
class WayRow:
    """What a change of means, tyre or spacer would come to; ``price`` None where not known."""

    words: str
    verdict: str
    sentence: str
    caution: str = ""
    price: Decimal | None = None
    tryout_url: str = ""
    best_for: str = ""


@dataclass(frozen=True)
class CornerView:
    """One corner of a check as its page shows it, or two that are measured and set alike."""

    corner: str
    name: str
    answer: CornerAnswer
    sentence: str
    drawing: SafeString
    legend: tuple[str, ...]
    places: tuple[PlaceRow, ...]
    adjusters: tuple[AdjusterRow, ...]
    out_of_reach: tuple[ReachRow, ...]
    planned_by: str
    other_camber_method: tuple[WayRow, ...]
    options: tuple[WayRow, ...]
    options_cautions: tuple[str, ...]
    ruled_out: tuple[str, ...]
    effects: LeverTable | None
    seat: tuple[tuple[str, str], ...]
    curves: tuple[Choice, ...]
    maps: tuple[Choice, ...]
    size: str
    stretched: str
    granted: tuple[str, ...] = ()
    rolling_caution: str = ""

    @property
    def axle(self) -> str:
        return axle_of(self.corner)

    @property
    def has_to_change(self) -> bool:
        """Whether something has to give: it may rub, or the setting is out of reach."""
        return self.answer.verdict in (CONTACT, DOUBTFUL) or bool(self.out_of_reach)

    @property
    def tightest(self) -> PlaceRow | None:
        """The place that decides the corner."""
        worst = worst_spot(self.answer)
        return next((row for row in self.places if row.answer is worst), None)

    @property
    def uncertainty_parts(self) -> list[DoubtPart]:
        """Where the doubt of the deciding place comes from, the largest share first."""
        row = self.tightest
        parts = row.answer.uncertainty if row else ()
        return sorted((p for p in parts if p.mm >= 0.05), key=lambda part: -part.mm)

    @property
    def most_of_it(self) -> str:
        """The three inputs that make most of that doubt, in words; empty where none was kept."""
        row = self.tightest
        return most_of_it(row.answer) if row and row.answer.uncertainty else ""

    @property
    def any_chance(self) -> str:
        """The chance that anything touches at this corner, in words."""
        return chance_text(self.answer.any_touch_chance)

    @property
    def remarks(self) -> list[str]:
        return [remark_text(remark) for remark in self.answer.remarks]


def corner_view(
    check: ClearanceCheck,
    corners: tuple[str, ...],
    answer: CornerAnswer,
    *,
    asked: Corner | None,
    parts: Mapping[str, Part],
    drawing: tuple[SafeString, tuple[str, ...]],
    catalogue: Sequence[Part] = (),
) -> CornerView:
    """The view of corners that were asked alike; ``asked`` None where the file is too old.

    ``parts`` holds by adjuster the part of the car that sets it, ``catalogue`` what could be
    fitted where those do not reach.
    """
    corner, name = corners[0], corner_words(corners)
    document = check.inputs["corners"][corner]
    by = document["planned"].get("camber_by", "")
    options = (*_found(check, corner), *_way_rows(check, corner, "clear"))
    return CornerView(
        corner=corner,
        name=name,
        answer=answer,
        sentence=corner_sentence(name, replace(answer, out_of_reach=())),
        drawing=drawing[0],
        legend=drawing[1],
        places=tuple(_place_row(one) for one in answer.places),
        adjusters=tuple(_adjuster_rows(answer.adjusters)),
        out_of_reach=tuple(
            _reach_row(short, parts_that_reach(short, corner, document["suspension"], catalogue))
            for short in answer.out_of_reach
        ),
        planned_by=camber_method_text(by) if by else "",
        rolling_caution=ROLLING_CAUTION if document["planned"].get("rolled_lips") else "",
        other_camber_method=tuple(
            row for row in _way_rows(check, corner, "means") if row not in options
        ),
        options=options,
        options_cautions=tuple(said_of_all(_found_rows(check, corner))),
        ruled_out=_ruled_out(check, corner),
        effects=effect_table(answer, there=_there(document), parts=parts),
        seat=tuple(seat_facts(answer.seat)) if answer.seat else (),
        curves=tuple(curve_choices(check, corner, answer)),
        maps=tuple(map_choices(check, corner, answer)),
        size=size_words(asked) if asked else "",
        stretched=stretched_words(asked) if asked else "",
        granted=taken_for_granted(asked) if asked else (),
    )


def _place_row(one: SpotAnswer) -> PlaceRow:
    return PlaceRow(
        one, pose_words(one), uncertainty_words(one), best_reading(one) if one.uncertainty else ""
    )


def _reach_row(short: OutOfReach, on_offer: Sequence[Part]) -> ReachRow:
    return ReachRow(
        words=adjuster_words(short.adjuster),
        needed=short.needed,
        min=short.min,
        max=short.max,
        short_by=short.short_by,
        unit=adjuster_unit(short.adjuster),
        given_by=engine_adjuster_words(short.adjuster).given_by,
        on_offer=tuple(on_offer),
    )


def _way_rows(check: ClearanceCheck, corner: str, kind: str) -> tuple[WayRow, ...]:
    found = check.options.get(corner, {}).get(kind, [])
    return tuple(WayRow(way["words"], way["verdict"], way["sentence"]) for way in found)


def _found(check: ClearanceCheck, corner: str) -> tuple[WayRow, ...]:
    """Ways for the corner's axle, each with its address on the bench."""
    tryout = reverse("order_tryout", args=[check.order_id])
    axle = {"axle": axle_of(corner), "use": check.order.use}
    rows = _found_rows(check, corner)
    of_all = said_of_all(rows)
    return tuple(
        WayRow(
            words=way["words"],
            verdict=way["verdict"],
            sentence=way["room"],
            caution=caution_of(way, of_all),
            price=None if way["price"] is None else Decimal(way["price"]),
            tryout_url=f"{tryout}?{urlencode(axle | way['put'])}",
            best_for=", ".join(AIM_WORDS.get(aim, aim) for aim in way["wins"]),
        )
        for way in rows
    )


def _found_rows(check: ClearanceCheck, corner: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = check.options.get(corner, {}).get("found", [])
    return found


def _ruled_out(check: ClearanceCheck, corner: str) -> tuple[str, ...]:
    """What fell in the search beside the check, in words, most first."""
    fell = check.options.get(corner, {}).get("ruled_out", [])[:RULED_OUT_SHOWN]
    return tuple(ruled_out_words(RuledOut(*one)) for one in fell)


def _there(document: Mapping[str, Any]) -> dict[str, float]:
    """How much spacer and packer there is that could be taken away, mm."""
    adjusters = document["planned"].get("adjusters") or {}
    return {
        "spacer": float(document["wheel"].get("spacer_mm") or 0.0),
        "bump_stop_mm": float(adjusters.get("bump_stop_mm") or 0.0),
    }


def _adjuster_rows(adjusters: Mapping[str, float | Mapping[str, float]]) -> list[AdjusterRow]:
    rows: list[AdjusterRow] = []
    for name, value in adjusters.items():
        if isinstance(value, Mapping):
            rows += [
                AdjusterRow(adjuster_words(f"rod:{rod}"), moved, "mm")
                for rod, moved in value.items()
            ]
        else:
            rows.append(AdjusterRow(adjuster_words(name), value, adjuster_unit(name)))
    return rows


def uncertainty_words(place: SpotAnswer) -> str:
    """The input that the doubt comes from most; empty where no share was kept."""
    if not place.uncertainty:
        return ""
    most = max(place.uncertainty, key=lambda part: part.mm)
    return f"mostly {most.source}, {most.mm:.1f} mm"


# The tyre on its rim


def _mounted(asked: Corner) -> Mounted | None:
    try:
        return mounted(asked.wheel, asked.tyre)
    except (BadSection, BadSize):
        return None


def size_words(asked: Corner) -> str:
    """How wide and tall the tyre is taken, on this rim and in its state; empty if unknown."""
    size = _mounted(asked)
    if size is None:
        return ""
    words = f"{size.section_width_mm:.0f} mm wide, {size.overall_diameter_mm:.0f} mm tall"
    tyre = asked.tyre
    states = {
        f"{tyre.worn_mm:g} mm worn": tyre.worn_mm,
        f"grown {tyre.growth_mm:g} mm at speed": tyre.growth_mm,
        "the largest that the standard allows": tyre.largest_allowed,
    }
    return ", ".join([words, *(said for said, holds in states.items() if holds)])


def stretched_words(asked: Corner) -> str:
    """That the rim stands out beyond the sidewall, and by how much; empty where it does not."""
    size = _mounted(asked)
    if size is None:
        return ""
    over_flanges = asked.wheel.rim_mm + 2 * asked.wheel.flange_mm
    beyond = (over_flanges - size.section_width_mm) / 2
    if beyond <= 0 or math.isnan(beyond):
        return ""
    return (
        f"Stretched: the rim is {over_flanges:.0f} mm over its flanges, the tyre "
        f"{size.section_width_mm:.0f} mm wide. The rim stands out {beyond:.0f} mm on each side "
        "and is what touches first."
    )
