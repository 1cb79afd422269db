"""What the page of moves shows: each corner's way in words, numbers and the room it leaves."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from alignment.adjustments.accept import Taken
from alignment.adjustments.extension_points import ClearanceAfter, Stand, clearance_after
from alignment.adjustments.notes import cautions_of, needs_thrust, notes_of
from alignment.adjustments.prediction_page import HALF_TOE, FollowedPage, followed_page
from alignment.adjustments.services import CornerAdjustments, order_moves
from alignment.adjustments.text import (
    QUANTITY_WORDS,
    Said,
    adjustment_text,
    adjustments_said,
    help_said,
    missing_said,
)
from alignment.geometry.adjuster_units import Hand
from alignment.geometry.adjustment_problem import (
    CAMBER,
    QUANTITIES,
    TOE,
    TOE_LINK,
    Adjustment,
    Option,
)
from alignment.geometry.model import CAMBER_MEANS
from alignment.models import AcceptedAdjustments
from alignment.text.labels import CORNER_WORDS, adjuster_label
from shop.models import WorkOrder

Ask = Callable[[str, Stand], ClearanceAfter | None]
#: Ways that are shown at a corner.
MOST_WAYS = 3
#: Ways whose room is asked for, so that one with more room is not missed.
MOST_ASKED = 6
#: Rooms nearer to each other than this (mm) do not decide which way comes first.
SAME_ROOM_MM = 0.5
#: Titles and sources are kept to this length.
MOST_TITLE = 200
#: The choice of a corner that is not moved.
LEAVE = "leave"
QUANTITY_ORDER = ("Camber", "Caster", "Toe")
VERDICT_ORDER = ("clear", "tight", "doubtful", "unmeasured", "contact")


@dataclass(frozen=True)
class ReadingRow:
    """One quantity: read, wanted, what the moves make of it, and by how much that is off."""

    name: str
    read: float | None
    target: float | None
    tolerance: float
    predicted: float | None
    uncertainty: float | None = None

    @property
    def off(self) -> float | None:
        if self.predicted is None or self.target is None:
            return None
        return self.predicted - self.target

    @property
    def is_out(self) -> bool:
        return self.off is not None and abs(self.off) > max(self.tolerance, 0.005)


@dataclass(frozen=True)
class Way:
    """One way: the moves in words, and the room that it leaves where somebody can tell."""

    option: Option
    title: str
    adjustments: tuple[Said, ...]
    rows: tuple[ReadingRow, ...]
    room: ClearanceAfter | None

    @property
    def movement_mm(self) -> float:
        return self.option.movement_mm

    @property
    def link_by_mm(self) -> float:
        return sum(move.by for move in self.option.adjustments if move.adjuster == TOE_LINK)


@dataclass(frozen=True)
class CornerPage:
    """One corner of the page; ``first`` is the way to take, None where there is none.

    ``is_left``: moves of other corners were accepted from the same readings, and none here.
    """

    name: str
    adjustments: CornerAdjustments
    first: Way | None
    others: tuple[Way, ...]
    why_first: str
    anyway: tuple[Said, ...]
    missing: tuple[tuple[str, tuple[str, ...]], ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    followed: tuple[FollowedPage, ...]
    is_left: bool = False

    @property
    def ways(self) -> tuple[Way, ...]:
        return () if self.first is None else (self.first, *self.others)

    @property
    def field(self) -> str:
        """Name of the choice between the ways."""
        return f"way_{self.adjustments.corner}"

    @property
    def has_moves(self) -> bool:
        """Whether there is anything to accept here."""
        return any(way.adjustments for way in self.ways) or bool(self.ways and self.anyway)

    @property
    def accepted(self) -> AcceptedAdjustments | None:
        return self.adjustments.accepted

    @property
    def accepted_said(self) -> str:
        return adjustments_said(self.accepted.adjustments) if self.accepted else ""

    @property
    def chosen(self) -> str:
        """The choice that is marked: the accepted way while it is still offered, else the first;
        where a rear axle should be read again before it is moved, none."""
        row = self.accepted
        for index, way in enumerate(self.ways):
            if row is not None and row.title == way.title[:MOST_TITLE]:
                return str(index)
        return LEAVE if self.is_left or needs_thrust(self.adjustments) else "0"

    @property
    def is_accepted(self) -> bool:
        """Whether the way that is marked stands accepted as it is offered now."""
        row = self.accepted
        if row is None or not self.ways or self.chosen == LEAVE:
            return False
        return bool(row.adjustments == kept_adjustments(self, self.way(self.chosen)))

    def way(self, index: str) -> Way:
        return self.ways[int(index)]

    @property
    def link_start_mm(self) -> float | None:
        """The length to give to a new toe link before the rack."""
        if self.adjustments.link_now_mm is None or self.first is None:
            return None
        return self.adjustments.link_now_mm + self.first.link_by_mm

    @property
    def is_there(self) -> bool:
        """Whether everything is inside its tolerance as it stands."""
        return self.first is not None and not self.first.adjustments and not self.missing


def adjustments_page(order: WorkOrder) -> list[CornerPage]:
    """All corners of an order that were read and have a target."""
    ask = clearance_after(order)
    pages = [_corner_page(ask, corner) for corner in order_moves(order)]
    accepted_from = {page.accepted.visit_id for page in pages if page.accepted}
    return [
        replace(page, is_left=page.accepted is None and page.adjustments.visit.pk in accepted_from)
        for page in pages
    ]


def _corner_page(ask: Ask, corner: CornerAdjustments) -> CornerPage:
    options = list(corner.answer.options[:MOST_ASKED]) if corner.answer else []
    ways = by_room([_way(ask, corner, option) for option in options])[:MOST_WAYS]
    missing = corner.answer.missing if corner.answer else ()
    return CornerPage(
        name=CORNER_WORDS[corner.corner],
        adjustments=corner,
        first=ways[0] if ways else None,
        others=tuple(ways[1:]),
        why_first=why_first(ways),
        anyway=tuple(adjustment_text(move, _hand(corner, move)) for move in corner.set_anyway),
        missing=tuple(
            (missing_said(one), tuple(help_said(helps) for helps in one.helps)) for one in missing
        ),
        cautions=tuple(cautions_of(corner)),
        notes=tuple(notes_of(corner)),
        followed=tuple(followed_page(one, corner.hands) for one in corner.followed),
    )


def by_room(ways: list[Way]) -> list[Way]:
    """The way that leaves most room first; where that is much the same, the least movement."""
    if any(way.room is None for way in ways):
        return ways
    return sorted(ways, key=lambda way: (*_room_rank(way), way.movement_mm))


def _room_rank(way: Way) -> tuple[int, int]:
    if way.room is None:
        return (0, 0)
    verdict = way.room.verdict
    bad = VERDICT_ORDER.index(verdict) if verdict in VERDICT_ORDER else len(VERDICT_ORDER)
    return bad, -round(way.room.clearance_mm / SAME_ROOM_MM)


def why_first(ways: list[Way]) -> str:
    """Why the first way stands before the next, in a sentence; empty where there is but one."""
    if len(ways) < 2:
        return ""
    first, second = ways[0], ways[1]
    if any(way.room is None for way in ways) or first.room is None or second.room is None:
        return "This way comes first because it moves least."
    mine, its = _room_rank(first), _room_rank(second)
    if mine[0] < its[0]:
        return f"This way comes first: with the next the answer is “{second.room.verdict}”."
    more = round(first.room.clearance_mm, 1) - round(second.room.clearance_mm, 1)  # as shown
    if mine[1] < its[1]:
        return f"This way comes first because it leaves {more:.1f} mm more room than the next."
    return "The ways leave much the same room; this one moves least."


def _way(ask: Ask, corner: CornerAdjustments, option: Option) -> Way:
    taught = corner.taught
    said = [_said(corner, move) for move in option.adjustments]
    rows = []
    for name in QUANTITIES:
        target = corner.wanted.get(name)
        if name not in corner.read and target is None:
            continue
        rows.append(
            ReadingRow(
                HALF_TOE if name == TOE and corner.toe_is_split else QUANTITY_WORDS[name],
                corner.read.get(name),
                target.deg if target else None,
                target.tolerance_deg if target else 0.0,
                option.predicted.get(name),
                taught.learned.expanded_deg(name, option.adjustments)
                if taught and name in option.predicted
                else None,
            )
        )
    rows.sort(key=lambda row: QUANTITY_ORDER.index(row.name.split(",")[0]))
    return Way(
        option=option,
        title=_title(option),
        adjustments=tuple(said),
        rows=tuple(rows),
        room=_room(ask, corner, option),
    )


def _said(corner: CornerAdjustments, move: Adjustment) -> Said:
    if corner.taught is not None:
        unit = corner.taught.units[move.adjuster]
        return Said(adjuster_label(move.adjuster), f"{move.by:+.2f} {unit}".replace("-", "−"))
    known = corner.recorded | corner.assumed
    return adjustment_text(move, _hand(corner, move), is_known=move.adjuster in known)


def _hand(corner: CornerAdjustments, move: Adjustment) -> Hand | None:
    return corner.hands.get(move.adjuster)


def _title(option: Option) -> str:
    names = [adjuster_label(name).lower() for name in option.camber_method]
    if not names:
        return "by the toe link alone" if option.adjustments else "as it stands"
    return f"by {' and '.join(names)}"


def _room(ask: Ask, corner: CornerAdjustments, option: Option) -> ClearanceAfter | None:
    toe = option.predicted.get(TOE)
    if toe is None or corner.taught is not None or not (option.adjustments or corner.set_anyway):
        return None
    stand = Stand(option.positions, option.predicted.get(CAMBER), toe, _means(corner, option))
    return ask(corner.corner, stand)


def _means(corner: CornerAdjustments, option: Option) -> str:
    """The means that the option moves; the plan's where it moves none."""
    words = {
        name: word
        for camber_method in CAMBER_MEANS.values()
        for word, name in camber_method.items()
    }
    for name in option.camber_method:
        if name in words or name.startswith("rod:"):
            return words.get(name, name)
    return corner.camber_by


# ---- what is accepted


def shown_digest(pages: Sequence[CornerPage]) -> str:
    """Tells whether the ways that are offered are still those that somebody looked at."""
    shown = [
        [
            page.adjustments.corner,
            page.adjustments.visit.pk,
            page.adjustments.visit.version,
            [
                [way.title, kept_adjustments(page, way), _rounded(way.option.predicted)]
                for way in page.ways
            ],
        ]
        for page in pages
    ]
    return hashlib.sha256(json.dumps(shown, sort_keys=True).encode()).hexdigest()[:32]


def kept_adjustments(page: CornerPage, way: Way) -> list[dict[str, Any]]:
    """Moves as they are kept: those that are made anyway, then the way's own."""
    corner = page.adjustments
    pairs = [*zip(corner.set_anyway, page.anyway, strict=True)]
    pairs += zip(way.option.adjustments, way.adjustments, strict=True)
    return [
        {
            "adjuster": move.adjuster,
            "start": round(move.start, 4),
            "end": round(move.end, 4),
            "what": said.what,
            "how": said.how,
            "exact": said.exact,
        }
        for move, said in pairs
    ]


def taken_of(page: CornerPage, index: str) -> Taken:
    """A way as it is to be kept."""
    corner, way = page.adjustments, page.way(index)
    room = way.room
    return Taken(
        corner=corner.corner,
        visit=corner.visit,
        title=way.title[:MOST_TITLE],
        adjustments=kept_adjustments(page, way),
        positions=_rounded(way.option.positions),
        read=_rounded(corner.read),
        predicted=_rounded(way.option.predicted),
        offset=_rounded(corner.answer.offset if corner.answer else {}),
        uncertainty=_uncertainties(corner, way.option),
        room=asdict(room) if room else {},
        toe_is_split=corner.toe_is_split,
        thrust_shift_deg=round(corner.thrust_shift_deg, 5),
        source=corner.source[:MOST_TITLE],
    )


def _uncertainties(corner: CornerAdjustments, option: Option) -> dict[str, float]:
    """Expanded uncertainty of what was learned; a model of the joints states none."""
    if corner.taught is None:
        return {}
    learned = corner.taught.learned
    return _rounded({q: learned.expanded_deg(q, option.adjustments) for q in option.predicted})


def _rounded(values: Mapping[str, float]) -> dict[str, float]:
    return {name: round(value, 5) for name, value in values.items()}
