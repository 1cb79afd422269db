"""This car as it stands: saved with the gaps that were read, and what the model expects there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils.translation import gettext, gettext_lazy

from alignment.geometry.linkage import Unreachable
from common.corners import CORNER_NAMES
from common.message import Message
from common.numerals import fixed
from fitment.engine import checkfile, defaults
from fitment.engine.checkfile.reader import Node
from fitment.engine.checkfile.setting import read_tyre, read_use, read_wheel
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import BODY, LINK, Corner, Duty, GapReading
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import Section, section_of
from fitment.engine.uncertainty.this_car import Expectation, beyond_span, expected_gap
from fitment.job.uses import use_of_order
from fitment.models import CornerSurvey, GapRead, PresentCorner
from shop.languages import speech_of_shop
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User, WorkOrder


STANDING = (0.0, 0.0)
Pose = tuple[float, float]


@dataclass(frozen=True)
class TypedGap:
    """One gap as it came from the form, ready to be kept."""

    place: str
    gap_mm: float
    typed: str
    travel_mm: float
    steer_deg: float
    sigma_mm: float | None


def section_on_the_car(stands: PresentCorner) -> Section | None:
    """Section of the present wheel and tyre; None where their figures make none."""
    document = stands.as_document()
    problems: list[checkfile.Problem] = []
    wheel = read_wheel(Node(document["wheel"], "wheel", problems).table())
    tyre = read_tyre(Node(document["tyre"], "tyre", problems).table(), wheel)
    try:
        return None if problems else section_of(wheel, tyre)
    except BadSection:
        return None


def duty_of(order: WorkOrder) -> Duty:
    """The use that an order's checks go by; street where the shop has no such profile."""
    document, _ = use_of_order(order)
    problems: list[checkfile.Problem] = []
    if document is None:
        return defaults.STREET
    return read_use(Node(document, "duty", problems)) or defaults.STREET


def corner_as_it_stands(
    survey: CornerSurvey, stands: PresentCorner, duty: Duty = defaults.STREET
) -> Corner:
    """A surveyed corner with the wheel that is on the car. Raises checkfile.BadCheckFile."""
    measured = {key: value for key, value in survey.document.items() if value}
    document = {
        "archroom_check": 1,
        "duty": checkfile.dump_use(duty),
        "corners": {survey.corner: measured | stands.as_document()},
    }
    return checkfile.parse(document).corners[survey.corner]


class Expected:
    """What the model expects at a corner's places with the wheel that is on the car.

    Raises checkfile.BadCheckFile, Unreachable or RestsOnStops where it cannot stand as entered.
    """

    def __init__(
        self, survey: CornerSurvey, stands: PresentCorner, duty: Duty = defaults.STREET
    ) -> None:
        self.corner = corner_as_it_stands(survey, stands, duty)
        self._setting: Setting = setting_of(survey.corner, self.corner, duty)
        self._places = [feature.place for feature in self.corner.survey.features]

    @property
    def places(self) -> list[str]:
        """Places at which a gap can be read: those that do not move with the wheel."""
        features = self.corner.survey.features
        return [f.place for f in features if f.carried_by in (BODY, LINK)]

    @property
    def poses(self) -> list[Pose]:
        """The poses that a shop can put the car in: standing, and at both locks."""
        limits = self.corner.limits
        locks = [lock for lock in (limits.steer_in_deg, -limits.steer_out_deg) if lock]
        return [STANDING, *((0.0, lock) for lock in locks)]

    def gap_mm(self, place: str, travel_mm: float, steer_deg: float) -> float | None:
        """The gap that the model expects; None at an unknown place or in a pose out of reach."""
        expected = self.gap(place, travel_mm, steer_deg)
        return None if expected is None else expected.gap_mm

    def left_out(self, place: str, travel_mm: float, steer_deg: float) -> Message | None:
        """Why a gap there is kept but corrects nothing; None where it does."""
        if place not in self._places:
            return None
        return beyond_span(self._setting, GapReading(place, 0.0, travel_mm, steer_deg))

    def gap(self, place: str, travel_mm: float, steer_deg: float) -> Expectation | None:
        """The same with what it is uncertain by on a car that need not be the one surveyed."""
        if place not in self._places:
            return None
        reading = GapReading(place, 0.0, travel_mm, steer_deg)
        try:
            index = self._places.index(place)
            return expected_gap(self._setting, index, reading, other_car=True)
        except (Unreachable, RestsOnStops):
            return None


@transaction.atomic
def present_save(
    *, order: WorkOrder, corner: str, values: Mapping[str, Any], by: User
) -> PresentCorner:
    """Keep how a corner of the order's car stands. Raises Refused once the order is closed."""
    _refuse_closed(order)
    stands, _ = PresentCorner.objects.update_or_create(
        order=order, corner=corner, defaults={**values, "by": by}
    )
    where = speech_of_shop().say(CORNER_NAMES[corner])
    detail = f"{where}: {stands.wheel}, {stands.tyre}"
    log_write(order=order, by=by, what=gettext_lazy("Present wheel recorded"), detail=detail)
    return stands


@transaction.atomic
def gaps_save(
    *, stands: PresentCorner, gaps: Iterable[TypedGap], expected: Expected, by: User
) -> list[GapRead]:
    """Replace the gaps read at a corner, each with what the model expected there."""
    order = stands.order
    _refuse_closed(order)
    stands.gaps.all().delete()
    rows = [
        GapRead(
            present=stands,
            place=gap.place,
            gap_mm=gap.gap_mm,
            typed=gap.typed,
            travel_mm=gap.travel_mm,
            steer_deg=gap.steer_deg,
            sigma_mm=gap.sigma_mm,
            predicted_mm=expected.gap_mm(gap.place, gap.travel_mm, gap.steer_deg),
        )
        for gap in gaps
    ]
    GapRead.objects.bulk_create(rows)
    log_write(
        order=order,
        by=by,
        what=gettext_lazy("Gaps read on this car"),
        detail=_said(stands, rows),
    )
    return rows


def _said(stands: PresentCorner, rows: Sequence[GapRead]) -> str:
    speech = speech_of_shop()
    read = [
        speech.say(
            "{spot} {gap} mm, expected {expected} mm",
            spot=row.place,
            gap=fixed(row.gap_mm, 1),
            expected=fixed(row.predicted_mm, 1),
        )
        if row.predicted_mm is not None
        else f"{row.place} {fixed(row.gap_mm, 1)} mm"
        for row in rows
    ]
    where = speech.say(CORNER_NAMES[stands.corner])
    return f"{where}: {'; '.join(read) or speech.say('none')}"


def _refuse_closed(order: WorkOrder) -> None:
    if not order.is_open:
        raise Refused(gettext("The order is closed: what was read on its car stays as it was."))
