"""What the page of moves shows: each corner's way in words, numbers and the room it leaves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from alignment.derived import included_angles
from alignment.geometry.hand import Hand
from alignment.geometry.model import CAMBER_MEANS
from alignment.geometry.tasks import CAMBER, QUANTITIES, TOE, TOE_LINK, Move, Option
from alignment.models import AXLE_CORNERS
from alignment.moves_words import QUANTITY_WORDS, Said, help_said, missing_said, move_said
from alignment.plugs import RoomAfter, Stand, rooms_after
from alignment.services.moves import CornerMoves, axle_of, order_moves
from alignment.words import CORNER_WORDS, adjuster_label
from shop.models import WorkOrder

Ask = Callable[[str, Stand], RoomAfter | None]
#: Ways that are shown at a corner.
MOST_WAYS = 3
#: Rooms nearer to each other than this (mm) do not decide which way comes first.
SAME_ROOM_MM = 0.5
QUANTITY_ORDER = ("Camber", "Caster", "Toe")
#: Included angles that differ by this much (degrees) are asked about: a judgement from practice.
BENT_DEG = 0.45
VERDICT_ORDER = ("clear", "tight", "doubtful", "unmeasured", "contact")


@dataclass(frozen=True)
class ReadingRow:
    """One quantity: read, wanted, what the moves make of it, and by how much that is off."""

    name: str
    read: float | None
    target: float | None
    tolerance: float
    predicted: float | None
    doubt: float | None = None

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

    title: str
    moves: tuple[Said, ...]
    rows: tuple[ReadingRow, ...]
    room: RoomAfter | None
    movement_mm: float
    link_by_mm: float


@dataclass(frozen=True)
class FollowedRow:
    """One quantity of the last readings against what was predicted for them."""

    name: str
    predicted: float
    read: float
    doubt: float
    beside: float | None

    @property
    def off(self) -> float:
        return self.read - self.predicted

    @property
    def is_told(self) -> bool:
        return abs(self.off) > self.doubt


@dataclass(frozen=True)
class CornerPage:
    """One corner of the page; ``first`` is the way to take, None where there is none."""

    name: str
    moves: CornerMoves
    first: Way | None
    others: tuple[Way, ...]
    anyway: tuple[Said, ...]
    missing: tuple[tuple[str, tuple[str, ...]], ...]
    notes: tuple[str, ...]
    followed: tuple[FollowedRow, ...]
    caution: str = ""

    @property
    def link_start_mm(self) -> float | None:
        """The length to give to a new toe link before the rack."""
        if self.moves.link_now_mm is None or self.first is None:
            return None
        return self.moves.link_now_mm + self.first.link_by_mm

    @property
    def is_there(self) -> bool:
        """Whether everything is inside its tolerance as it stands."""
        return self.first is not None and not self.first.moves and not self.missing


def moves_page(order: WorkOrder) -> list[CornerPage]:
    """All corners of an order that were read and have a target."""
    ask = rooms_after(order)
    return [_corner_page(ask, corner) for corner in order_moves(order)]


def _corner_page(ask: Ask, corner: CornerMoves) -> CornerPage:
    options = list(corner.answer.options[:MOST_WAYS]) if corner.answer else []
    ways = by_room([_way(ask, corner, option) for option in options])
    missing = corner.answer.missing if corner.answer else ()
    return CornerPage(
        name=CORNER_WORDS[corner.corner],
        moves=corner,
        first=ways[0] if ways else None,
        others=tuple(ways[1:]),
        anyway=tuple(move_said(move, _hand(corner, move)) for move in corner.set_anyway),
        missing=tuple(
            (missing_said(one), tuple(help_said(helps) for helps in one.helps)) for one in missing
        ),
        notes=tuple(_notes(corner)),
        followed=_followed_rows(corner),
        caution=_bent(corner),
    )


def by_room(ways: list[Way]) -> list[Way]:
    """The way that leaves most room first; where that is much the same, the least movement."""
    if any(way.room is None for way in ways):
        return ways

    def rank(way: Way) -> tuple[float, float, float]:
        room = way.room
        if room is None:
            return (0.0, 0.0, way.movement_mm)
        bad = VERDICT_ORDER.index(room.verdict) if room.verdict in VERDICT_ORDER else 9
        return (float(bad), -round(room.clearance_mm / SAME_ROOM_MM), way.movement_mm)

    return sorted(ways, key=rank)


def _way(ask: Ask, corner: CornerMoves, option: Option) -> Way:
    taught = corner.taught
    said = [_said(corner, move) for move in option.moves]
    rows = []
    for name in QUANTITIES:
        target = corner.wanted.get(name)
        if name not in corner.read and target is None:
            continue
        rows.append(
            ReadingRow(
                QUANTITY_WORDS[name],
                corner.read.get(name),
                target.deg if target else None,
                target.tolerance_deg if target else 0.0,
                option.predicted.get(name),
                taught.learned.expanded_deg(name, option.moves)
                if taught and name in option.predicted
                else None,
            )
        )
    rows.sort(key=lambda row: QUANTITY_ORDER.index(row.name))
    return Way(
        title=_title(option),
        moves=tuple(said),
        rows=tuple(rows),
        room=_room(ask, corner, option),
        movement_mm=option.movement_mm,
        link_by_mm=sum(move.by for move in option.moves if move.adjuster == TOE_LINK),
    )


def _said(corner: CornerMoves, move: Move) -> Said:
    if corner.taught is not None:
        unit = corner.taught.units[move.adjuster]
        return Said(adjuster_label(move.adjuster), f"{move.by:+.2f} {unit}".replace("-", "−"))
    return move_said(move, _hand(corner, move), is_known=move.adjuster in corner.recorded)


def _hand(corner: CornerMoves, move: Move) -> Hand | None:
    return corner.hands.get(move.adjuster)


def _title(option: Option) -> str:
    names = [adjuster_label(name).lower() for name in option.means]
    if not names:
        return "by the toe link alone" if option.moves else "as it stands"
    return f"by {' and '.join(names)}"


def _room(ask: Ask, corner: CornerMoves, option: Option) -> RoomAfter | None:
    toe = option.predicted.get(TOE)
    if toe is None or corner.taught is not None or not (option.moves or corner.set_anyway):
        return None
    stand = Stand(option.positions, option.predicted.get(CAMBER), toe, _means(corner, option))
    return ask(corner.corner, stand)


def _means(corner: CornerMoves, option: Option) -> str:
    """The means that the option moves; the plan's where it moves none."""
    words = {name: word for means in CAMBER_MEANS.values() for word, name in means.items()}
    for name in option.means:
        if name in words or name.startswith("rod:"):
            return words.get(name, name)
    return corner.camber_by


def _notes(corner: CornerMoves) -> list[str]:
    notes: list[str] = []
    if corner.why_not or corner.answer is None:
        return notes
    if TOE in corner.read and not corner.visit.steering_ahead and corner.corner in ("LF", "RF"):
        notes.append(
            "The steering wheel was not noted as straight ahead and held, so front toe is good "
            "as a total only."
        )
    for name, typed in corner.unclear.items():
        notes.append(
            f"{adjuster_label(name)} stood at “{typed}”, which has no size here: say in the part "
            "what a mark or a turn of it is. It is taken as at the survey."
        )
    moved = {move.adjuster for option in corner.answer.options for move in option.moves}
    blind = [
        name for name in sorted(moved - corner.recorded) if name not in (*corner.unclear, TOE_LINK)
    ]
    for name in blind:
        notes.append(
            f"Nobody recorded where this stands: {adjuster_label(name).lower()}. It is taken as "
            "at the survey, and its range is counted from there."
        )
    if abs(corner.thrust_shift_deg) >= 0.01:
        notes.append(
            "Set the rear axle first: the line from which front toe is counted turns with it, and "
            f"the toe here is reckoned with {corner.thrust_shift_deg:+.2f}°.".replace("-", "−")
        )
    for name in corner.answer.unknown:
        notes.append(f"{QUANTITY_WORDS[name]} has a target but cannot be predicted here.")
    return notes


def _bent(corner: CornerMoves) -> str:
    """Camber and inclination together do not change with a top mount, but with a bent part."""
    angles = included_angles(corner.visit)
    pair = [angles.get(one) for one in AXLE_CORNERS[axle_of(corner.corner)]]
    if pair[0] is None or pair[1] is None or abs(pair[0] - pair[1]) < BENT_DEG:
        return ""
    return (
        f"The included angles differ by {abs(pair[0] - pair[1]):.2f}° from left to right: a strut "
        "or a knuckle may be bent. Find it first; moves only cover it up."
    )


def _followed_rows(corner: CornerMoves) -> tuple[FollowedRow, ...]:
    followed = corner.followed
    if followed is None:
        return ()
    beside: Mapping[str, float] = corner.answer.offset if corner.answer else {}
    return tuple(
        FollowedRow(
            QUANTITY_WORDS[name],
            followed.predicted[name],
            followed.read[name],
            followed.doubt_deg,
            beside.get(name),
        )
        for name in (CAMBER, "caster", TOE)
        if name in followed.predicted
    )
