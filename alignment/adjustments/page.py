"""What the page of adjustments shows: each corner's options in words, numbers and clearance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from alignment.adjustments.accept import Taken, moves_of
from alignment.adjustments.extension_points import clearance_after
from alignment.adjustments.held import WHOLE
from alignment.adjustments.notes import cautions_of, notes_of
from alignment.adjustments.option_page import (
    MOST_ASKED,
    QUANTITY_ORDER,
    Ask,
    ReadingRow,
    ShownOption,
    by_clearance,
    hand_setting_of,
    shown_option,
    why_first,
)
from alignment.adjustments.prediction_page import HALF_TOE, FollowedPage, followed_page
from alignment.adjustments.services import CornerAdjustments, order_moves
from alignment.adjustments.text import (
    Said,
    adjustment_text,
    adjustments_said,
    help_said,
    missing_said,
    quantity_label,
)
from alignment.geometry.adjustment_problem import TOE, Option
from alignment.models import AcceptedAdjustments
from alignment.text.labels import adjuster_here
from common.canonical_json import digest_of
from common.corners import CORNER_NAMES
from common.message import message_dump, message_load
from common.shortened import shortened
from shop.models import WorkOrder

#: Options that are shown at a corner.
MOST_OPTIONS = 3
#: Sources are kept to this length.
MOST_SOURCE = 200
#: The choice of a corner that is not adjusted.
LEAVE = "leave"
#: The choice of a corner that stays so far and is to be adjusted again.
FREE = "free"


@dataclass(frozen=True)
class AcceptedOption:
    """An option that was accepted: its steps and its figures as they were kept."""

    adjustments: tuple[Said, ...]
    rows: tuple[ReadingRow, ...]

    @classmethod
    def of(cls, row: AcceptedAdjustments) -> AcceptedOption:
        steps = tuple(
            Said(
                message_load(move["what"]),
                message_load(move["how"]),
                message_load(move["exact"]) if move["exact"] else None,
            )
            for move in row.adjustments
        )
        rows = []
        for name in QUANTITY_ORDER:
            if name not in row.predicted:
                continue
            target = row.wanted.get(name)
            rows.append(
                ReadingRow(
                    str(HALF_TOE) if name == TOE and row.toe_is_split else quantity_label(name),
                    row.read.get(name),
                    target[0] if target else None,
                    target[1] if target else 0.0,
                    row.predicted[name],
                    row.uncertainty.get(name),
                )
            )
        return cls(steps, tuple(rows))


@dataclass(frozen=True)
class CornerPage:
    """One corner of the page; ``first`` is the preferred option, None where there is none.

    ``left_out`` tells how many more there are than those that are shown.
    """

    name: str
    adjustments: CornerAdjustments
    first: ShownOption | None
    others: tuple[ShownOption, ...]
    left_out: int
    why_first: str
    anyway: tuple[Said, ...]
    missing: tuple[tuple[str, tuple[str, ...]], ...]
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    followed: tuple[FollowedPage, ...]

    @property
    def options(self) -> tuple[ShownOption, ...]:
        return () if self.first is None else (self.first, *self.others)

    @property
    def field(self) -> str:
        """Name of the choice between the options."""
        return f"option_{self.adjustments.corner}"

    @property
    def has_moves(self) -> bool:
        """Whether there is anything to accept here; a plan that the parts cannot take is not."""
        if self.adjustments.out_of_range:
            return False
        return any(shown.adjustments for shown in self.options) or bool(
            self.options and self.anyway
        )

    @property
    def stays(self) -> bool:
        """Whether the whole corner stays as it stands."""
        return WHOLE in self.adjustments.held

    @property
    def stay_field(self) -> str:
        """Name of the ticks for single adjusters that stay."""
        return f"stays_{self.adjustments.corner}"

    @property
    def may_stay(self) -> list[tuple[str, str, bool]]:
        """Adjusters that can be named as seized: name, words, and whether they are."""
        held = self.adjustments.held
        return [(name, adjuster_here(name), name in held) for name in self.adjustments.may_stay]

    @property
    def accepted_option(self) -> AcceptedOption | None:
        """What was accepted from these readings, as it was shown then."""
        return AcceptedOption.of(self.accepted) if self.accepted else None

    @property
    def proposed(self) -> ShownOption | None:
        """The option whose steps stand open: what is proposed while nothing was accepted."""
        hidden = self.accepted is not None or self.stays or self.adjustments.out_of_range
        return None if hidden else self.first

    @property
    def folded(self) -> tuple[ShownOption, ...]:
        """Options behind a fold: all but what stands open."""
        if self.stays or self.adjustments.out_of_range:
            return ()
        if self.accepted is None:
            return self.others
        return tuple(one for index, one in enumerate(self.options) if not self._is_kept(index))

    def _is_kept(self, index: int) -> bool:
        return self.is_accepted and str(index) == self.chosen

    @property
    def accepted(self) -> AcceptedAdjustments | None:
        return self.adjustments.accepted

    @property
    def accepted_said(self) -> str:
        return adjustments_said(self.accepted.adjustments) if self.accepted else ""

    @property
    def chosen(self) -> str:
        """The choice that is marked: the accepted option while it is still offered, else the first;
        where a rear axle should be read again before it is adjusted, none."""
        row = self.accepted
        if self.stays:
            return LEAVE
        if row is not None:
            for index, shown in enumerate(self.options):
                if self._is_of(row, shown):
                    return str(index)
        return LEAVE if self.adjustments.needs_thrust else "0"

    @property
    def is_accepted(self) -> bool:
        """Whether the option that is marked is accepted as it is offered now."""
        row = self.accepted
        if row is None or not self.options or self.chosen == LEAVE:
            return False
        shown = self.shown(self.chosen)
        return moves_of(row.adjustments) == moves_of(kept_adjustments(self, shown))

    def _is_of(self, row: AcceptedAdjustments, shown: ShownOption) -> bool:
        """Whether an option is the one that was accepted, perhaps by other figures now.

        Rows from before messages were kept know its name in words alone: their figures tell.
        """
        same = moves_of(row.adjustments) == moves_of(kept_adjustments(self, shown))
        return same or row.option == message_dump(shown.title)

    def shown(self, index: str) -> ShownOption:
        return self.options[int(index)]

    @property
    def link_start_mm(self) -> float | None:
        """The length to give to a new toe link before the rack."""
        if self.adjustments.new_toe_link_length_mm is None or self.first is None:
            return None
        return self.adjustments.new_toe_link_length_mm + self.first.link_by_mm

    @property
    def is_there(self) -> bool:
        """Whether everything is inside its tolerance without an adjustment."""
        return self.first is not None and not self.first.adjustments and not self.missing


def adjustments_page(order: WorkOrder) -> list[CornerPage]:
    """All corners of an order that were read and have a target."""
    ask = clearance_after(order)
    return [_corner_page(ask, corner) for corner in order_moves(order)]


def _corner_page(ask: Ask, corner: CornerAdjustments) -> CornerPage:
    found = corner.answer.options[:MOST_ASKED] if corner.answer else ()
    options = by_clearance([shown_option(ask, corner, option) for option in found])[:MOST_OPTIONS]
    missing = corner.answer.missing if corner.answer else ()
    return CornerPage(
        name=CORNER_NAMES[corner.corner],
        adjustments=corner,
        first=options[0] if options else None,
        others=tuple(options[1:]),
        left_out=len(corner.answer.options) - len(options) if corner.answer else 0,
        why_first=why_first(options),
        anyway=tuple(
            adjustment_text(move, hand_setting_of(corner, move)) for move in corner.set_anyway
        ),
        missing=tuple(
            (missing_said(one), tuple(help_said(helps) for helps in one.helps)) for one in missing
        ),
        cautions=tuple(cautions_of(corner)),
        notes=tuple(notes_of(corner)),
        followed=tuple(followed_page(one, corner.hands) for one in corner.followed),
    )


# ---- what is accepted


def shown_digest(pages: Sequence[CornerPage]) -> str:
    """Tells whether the options that are offered are still those that were shown."""
    shown = [
        [
            page.adjustments.corner,
            page.adjustments.visit.pk,
            page.adjustments.visit.version,
            sorted(page.adjustments.held),
            [
                [
                    message_dump(shown.title),
                    kept_adjustments(page, shown),
                    _rounded(shown.option.predicted),
                ]
                for shown in page.options
            ],
        ]
        for page in pages
    ]
    return digest_of(shown)


def kept_adjustments(page: CornerPage, shown: ShownOption) -> list[dict[str, Any]]:
    """Adjustments as they are kept: the planned ones, then the option's own."""
    corner = page.adjustments
    pairs = [*zip(corner.set_anyway, page.anyway, strict=True)]
    pairs += zip(shown.option.adjustments, shown.adjustments, strict=True)
    return [
        {
            "adjuster": move.adjuster,
            "start": round(move.start, 4),
            "end": round(move.end, 4),
            "what": message_dump(said.what),
            "how": message_dump(said.how),
            "exact": message_dump(said.exact) if said.exact else None,
        }
        for move, said in pairs
    ]


def taken_of(page: CornerPage, index: str) -> Taken:
    """An option as it is to be kept."""
    corner, shown = page.adjustments, page.shown(index)
    clearance = shown.clearance
    return Taken(
        corner=corner.corner,
        visit=corner.visit,
        option=message_dump(shown.title),
        adjustments=kept_adjustments(page, shown),
        positions=_rounded(shown.option.positions),
        read=_rounded(corner.read),
        predicted=_rounded(shown.option.predicted),
        offset=_rounded(corner.answer.offset if corner.answer else {}),
        uncertainty=_uncertainties(corner, shown.option),
        wanted={name: [t.deg, t.tolerance_deg] for name, t in corner.wanted.items()},
        clearance={"clearance_mm": clearance.clearance_mm, "verdict": clearance.verdict}
        if clearance
        else {},
        toe_is_split=corner.toe_is_split,
        thrust_shift_deg=round(corner.thrust_shift_deg, 5),
        source=shortened(corner.source, MOST_SOURCE),
    )


def _uncertainties(corner: CornerAdjustments, option: Option) -> dict[str, float]:
    """Expanded uncertainty of what was learned; a model of the joints states none."""
    if corner.taught is None:
        return {}
    learned = corner.taught.learned
    return _rounded({q: learned.expanded_deg(q, option.adjustments) for q in option.predicted})


def _rounded(values: Mapping[str, float]) -> dict[str, float]:
    return {name: round(value, 5) for name, value in values.items()}
