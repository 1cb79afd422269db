"""One corner of a stored check as its page shows it: words, rows, effects, choices of plots."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import SafeString

from common.corners import axle_of
from common.message import Message, message, message_load
from common.verdicts import GateResult, Verdict
from fitment.clearance.curve_pages import curve_choices, map_choices
from fitment.clearance.reach_parts import parts_that_reach
from fitment.drawings.data import Choice
from fitment.engine.deciding import worst_spot
from fitment.engine.drawing.scene import Text
from fitment.engine.findings import most_of_it
from fitment.engine.model import Corner, CornerAnswer, UncertaintyPart
from fitment.engine.survey.notes import taken_for_granted
from fitment.text.answer_rows import (
    PlaceRow,
    ReachRow,
    place_row,
    reach_row,
    size_words,
    stretched_words,
)
from fitment.text.effects import EffectTable, effect_table
from fitment.text.hub_position import seat_facts
from fitment.text.labels import adjuster_text, adjuster_unit, camber_method_text
from fitment.text.options import (
    aims_text,
    cautions_text,
    clearance_text,
    option_text,
    ruled_out_lines,
)
from fitment.text.render import corner_text, corners_text, sentences
from fitment.tryout.services.results import told_of_all, told_of_one
from shop.orders.services.cautions import ROLLING_CAUTION

if TYPE_CHECKING:
    from fitment.models import ClearanceCheck
    from shop.models import Part


@dataclass(frozen=True)
class AdjusterRow:
    """Where an adjuster has to stand, from where the car was surveyed."""

    words: str
    value: float
    unit: str


@dataclass(frozen=True)
class OptionRow:
    """One change of camber method, tyre or spacer; ``price`` None where not known."""

    words: str
    verdict: GateResult
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
    legend: tuple[Text, ...]
    side: SafeString
    side_legend: tuple[Text, ...]
    sectors: SafeString
    sectors_legend: tuple[Text, ...]
    places: tuple[PlaceRow, ...]
    adjusters: tuple[AdjusterRow, ...]
    out_of_reach: tuple[ReachRow, ...]
    planned_by: str
    other_camber_method: tuple[OptionRow, ...]
    options: tuple[OptionRow, ...]
    options_complete: bool
    options_cautions: tuple[str, ...]
    ruled_out: tuple[str, ...]
    effects: EffectTable | None
    seat: tuple[tuple[Message, Message], ...]
    curves: tuple[Choice, ...]
    maps: tuple[Choice, ...]
    size: str
    stretched: str
    granted: tuple[Message, ...] = ()
    rolling_caution: str = ""

    @property
    def axle(self) -> str:
        return axle_of(self.corner)

    @property
    def has_to_change(self) -> bool:
        """Whether something has to give: it may rub, or the setting is out of reach."""
        return self.answer.verdict in (Verdict.CONTACT, Verdict.DOUBTFUL) or bool(self.out_of_reach)

    @property
    def tightest(self) -> PlaceRow | None:
        """The place that decides the corner."""
        worst = worst_spot(self.answer)
        return next((row for row in self.places if row.answer is worst), None)

    @property
    def uncertainty_parts(self) -> list[UncertaintyPart]:
        """Where the uncertainty of the deciding spot comes from, the largest share first."""
        row = self.tightest
        parts = row.answer.uncertainty if row else ()
        return sorted((p for p in parts if p.mm >= 0.05), key=lambda part: -part.mm)

    @property
    def most_of_it(self) -> Message | None:
        """The three inputs that make most of that uncertainty; None where none was kept."""
        row = self.tightest
        return most_of_it(row.answer) if row else None

    @property
    def any_chance(self) -> Message:
        """The chance that anything touches at this corner."""
        return message("chance.touch", touch_share=self.answer.any_touch_chance)


def corner_view(
    check: ClearanceCheck,
    corners: tuple[str, ...],
    answer: CornerAnswer,
    *,
    asked: Corner | None,
    parts: Mapping[str, Part],
    drawing: tuple[SafeString, tuple[Text, ...]],
    side: tuple[SafeString, tuple[Text, ...]],
    sectors: tuple[SafeString, tuple[Text, ...]],
    catalogue: Sequence[Part] = (),
) -> CornerView:
    """The view of corners that were asked alike; ``asked`` None where the file is too old.

    ``parts`` holds by adjuster the part of the car that sets it, ``catalogue`` what could be
    fitted where those do not reach.
    """
    corner, name = corners[0], corners_text(corners)
    document = check.inputs["corners"][corner]
    by = document["planned"].get("camber_by", "")
    options = _found(check, corner)
    return CornerView(
        corner=corner,
        name=name,
        answer=answer,
        sentence=corner_text(corners, answer),
        drawing=drawing[0],
        legend=drawing[1],
        side=side[0],
        side_legend=side[1],
        sectors=sectors[0],
        sectors_legend=sectors[1],
        places=tuple(place_row(one) for one in answer.places),
        adjusters=tuple(_adjuster_rows(answer.adjusters)),
        out_of_reach=tuple(
            reach_row(short, parts_that_reach(short, corner, document["suspension"], catalogue))
            for short in answer.out_of_reach
        ),
        planned_by=camber_method_text(by) if by else "",
        rolling_caution=ROLLING_CAUTION if document["planned"].get("rolled_lips") else "",
        other_camber_method=_other_camber_methods(check, corner),
        options=options,
        options_complete=bool(_options_at(check, corner)["complete"]),
        options_cautions=tuple(cautions_text(told_of_all(_options_at(check, corner)["found"]))),
        ruled_out=_ruled_out(check, corner),
        effects=effect_table(answer, there=_there(document), parts=parts),
        seat=tuple(seat_facts(answer.seat)) if answer.seat else (),
        curves=tuple(curve_choices(check, corner, answer)),
        maps=tuple(map_choices(check, corner, answer)),
        size=size_words(asked) if asked else "",
        stretched=stretched_words(asked) if asked else "",
        granted=taken_for_granted(asked) if asked else (),
    )


def _other_camber_methods(check: ClearanceCheck, corner: str) -> tuple[OptionRow, ...]:
    tried = _options_at(check, corner)["camber_method"]
    return tuple(
        OptionRow(option_text(one), one["verdict"], sentences(map(message_load, one["told"])))
        for one in tried
    )


def _found(check: ClearanceCheck, corner: str) -> tuple[OptionRow, ...]:
    """Options for the corner's axle, each with its address in the try-out."""
    tryout = reverse("order_tryout", args=[check.order_id])
    axle = {"axle": axle_of(corner), "use": check.order.use}
    rows = _options_at(check, corner)["found"]
    of_all = told_of_all(rows)
    return tuple(
        OptionRow(
            words=option_text(way),
            verdict=way["verdict"],
            sentence=clearance_text(way),
            caution=" ".join(cautions_text(told_of_one(way, of_all))),
            price=None if way["price"] is None else Decimal(way["price"]),
            tryout_url=f"{tryout}?{urlencode(axle | way['put'])}" if way["put"] else "",
            best_for=", ".join(aims_text(way["wins"])),
        )
        for way in rows
    )


def _options_at(check: ClearanceCheck, corner: str) -> dict[str, Any]:
    """What was tried at a corner; nothing at one that clears."""
    nothing: dict[str, Any] = {
        "camber_method": [],
        "found": [],
        "ruled_out": [],
        "complete": True,
    }
    tried: dict[str, Any] = check.options.get(corner, nothing)
    return tried


def _ruled_out(check: ClearanceCheck, corner: str) -> tuple[str, ...]:
    """What fell in the search beside the check, in words, most first."""
    return tuple(ruled_out_lines(_options_at(check, corner)["ruled_out"]))


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
                AdjusterRow(adjuster_text(f"rod:{rod}"), moved, "mm")
                for rod, moved in value.items()
            ]
        else:
            rows.append(AdjusterRow(adjuster_text(name), value, adjuster_unit(name)))
    return rows
