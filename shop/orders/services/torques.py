"""Which fasteners of an order have to be signed for, at which place on the car, and which are.

A torque is due for what is recorded as fitted, at each corner that it was fitted at, and for the
nuts of each wheel that may have been off. Nothing else can stand in for it: a signature counts for
the key of what it was given for, with a figure inside the range, until the work is taken up again.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone
from django.utils.translation import gettext, gettext_noop

from common.corners import AXLE_CORNERS
from common.shortened import shortened
from shop.models import Corner, InstalledPart, Line, NotFitted, PartAxle, TorqueSign, WorkOrder
from shop.models.axles import Position
from shop.orders.services.rows import installed_of, lines_of

WHEEL_NUTS = gettext_noop("Wheel nuts or bolts")
#: A wrench may be set so far from a single figure: common practice, no source.
TOLERANCE = Decimal("0.02")


@dataclass(frozen=True)
class TorqueDue:
    """A fastener (group) at one place on the car, with what was signed for it.

    ``torque_nm`` is None where no figure is on record; with ``torque_max_nm`` the maker gives a
    range. ``sign`` is the signature that counts, ``reopened`` the latest that no longer does,
    ``ended`` says why nothing has to be signed.
    """

    key: str
    what: str
    position: str
    torque_nm: Decimal | None
    torque_max_nm: Decimal | None = None
    sign: TorqueSign | None = None
    reopened: TorqueSign | None = None
    ended: NotFitted | None = None

    @property
    def signed(self) -> bool:
        return self.sign is not None

    @property
    def is_open(self) -> bool:
        return self.sign is None and self.ended is None

    @property
    def is_wheel(self) -> bool:
        return self.key.startswith("wheel-")

    @property
    def title(self) -> str:
        """The fastener and its place, in the language of the page."""
        return gettext("{fastener}, {place}").format(
            fastener=gettext(self.what), place=Position(self.position).label
        )

    @property
    def accepted_nm(self) -> tuple[Decimal, Decimal] | None:
        """The figures that may be signed: the range on record, else ±2 % of the figure; None where
        no figure is on record."""
        if self.torque_nm is None:
            return None
        if self.torque_max_nm is not None:
            return self.torque_nm, self.torque_max_nm
        return self.torque_nm * (1 - TOLERANCE), self.torque_nm * (1 + TOLERANCE)

    def accepts(self, torque_nm: Decimal) -> bool:
        """Whether this figure may stand under a signature."""
        limits = self.accepted_nm
        return limits is None or limits[0] <= torque_nm <= limits[1]


def torques_due(order: WorkOrder) -> list[TorqueDue]:
    """One entry for each fastener group and place: fitted parts first, then the wheels."""
    counting, reopened = _signs(order)
    ended = {one.due: one for one in order.not_fitted.select_related("by") if one.due}
    installed = installed_of(order)
    return [
        TorqueDue(
            key,
            what,
            position,
            figures[0],
            figures[1],
            counting.get(key),
            reopened.get(key),
            ended.get(key),
        )
        for key, what, position, figures in (*_of_parts(installed), *_of_wheels(order, installed))
    ]


def torques_open(order: WorkOrder) -> list[TorqueDue]:
    """What still has to be signed for."""
    return [due for due in torques_due(order) if due.is_open]


def lines_unaccounted(order: WorkOrder) -> list[Line]:
    """Lines whose part has a torque, and of which no record says whether it was fitted."""
    fitted = set(order.installed.exclude(line=None).values_list("line_id", flat=True))
    not_fitted = set(order.not_fitted.exclude(line=None).values_list("line_id", flat=True))
    return [
        line
        for line in lines_of(order)
        if line.part is not None
        and line.part.torque_nm is not None
        and line.pk not in fitted | not_fitted
    ]


def torques_reopen(
    order: WorkOrder, *, because: str, keys: Collection[str] | None = None
) -> set[str]:
    """Let signatures count no longer, nor that something stayed on or was not fitted there: for
    some keys, or for all of the order's dues. Answers the keys that are due anew."""
    signs = order.torques.filter(reopened_at=None).exclude(due="")
    ended = order.not_fitted.exclude(due="")
    if keys is not None:
        signs, ended = signs.filter(due__in=keys), ended.filter(due__in=keys)
    touched = {*signs.values_list("due", flat=True), *ended.values_list("due", flat=True)}
    signs.update(reopened_at=timezone.now(), reopened_because=shortened(because, 200))
    ended.delete()
    return touched


def keys_touched(order: WorkOrder, installed: InstalledPart) -> set[str]:
    """Dues that fitting a part takes up again: its own, and the wheels at its corners."""
    group = _groups(order.installed.all())[installed.pk]
    return {
        key
        for corner in corners_of(installed)
        for key in (f"fitted-{group}-{corner}", f"wheel-{corner}")
    }


def keys_adjusted(order: WorkOrder, moved: Mapping[str, Collection[str]]) -> set[str]:
    """Dues of parts whose adjuster is moved, by corner: it has to be loosened for that."""
    installed = installed_of(order)
    groups = _groups(installed)
    return {
        f"fitted-{groups[one.pk]}-{corner}"
        for one in installed
        for corner in corners_of(one)
        if one.part is not None and one.part.adjuster in moved.get(corner, ())
    }


def corners_of(installed: InstalledPart) -> tuple[str, ...]:
    """The corners at which a part was fitted."""
    where = installed.corner_or_axle
    if where in Corner.values:
        return (where,)
    if where in AXLE_CORNERS:
        return corners_of_axle(where)
    return corners_of_axle(installed.part.axle if installed.part is not None else PartAxle.ANY)


def corners_of_axle(axle: str) -> tuple[str, ...]:
    """The corners of an axle; all of them where none is named."""
    return tuple(AXLE_CORNERS[axle]) if axle in AXLE_CORNERS else tuple(Corner.values)


_Due = tuple[str, str, str, tuple[Decimal | None, Decimal | None]]


def _groups(installed: Iterable[InstalledPart]) -> dict[int, int]:
    """What the dues of each fitted part are named by. A line keeps its dues: fitting its part
    again takes them up, and makes no new ones."""
    first: dict[int, int] = {}
    return {
        one.pk: first.setdefault(one.line_id, one.pk) if one.line_id else one.pk
        for one in installed
    }


def _of_parts(installed: Sequence[InstalledPart]) -> Iterator[_Due]:
    groups = _groups(installed)
    found: dict[str, _Due] = {}
    for one in installed:
        if one.part is None or one.part.torque_nm is None:
            continue
        figures = one.part.torque_nm, one.part.torque_max_nm
        for corner in corners_of(one):
            key = f"fitted-{groups[one.pk]}-{corner}"
            found.setdefault(key, (key, one.part.name, corner, figures))
    yield from found.values()


def _of_wheels(order: WorkOrder, installed: Iterable[InstalledPart]) -> Iterator[_Due]:
    """The wheels that may have been off: all of a job that moves one, else those where something
    was fitted, or where a line of labour is marked with work that takes them off."""
    off: set[str] = set(Corner.values) if order.needs_check else set()
    if not order.needs_check:
        for one in installed:
            off.update(corners_of(one))
        for axle in order.lines.exclude(work="").values_list("axle", flat=True):
            off.update(corners_of_axle(axle))
    car_model = order.vehicle.car_model
    figures = (
        (car_model.wheel_nut_torque_nm, car_model.wheel_nut_torque_max_nm)
        if car_model
        else (None, None)
    )
    for corner in Corner.values:
        if corner in off:
            yield f"wheel-{corner}", WHEEL_NUTS, corner, figures


def _signs(order: WorkOrder) -> tuple[dict[str, TorqueSign], dict[str, TorqueSign]]:
    """By key, the signatures that count and the latest that no longer do."""
    counting: dict[str, TorqueSign] = {}
    reopened: dict[str, TorqueSign] = {}
    for sign in order.torques.select_related("by"):
        if sign.due:
            (reopened if sign.reopened_at else counting)[sign.due] = sign
    return counting, reopened
