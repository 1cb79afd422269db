"""Measuring sessions: readings kept as taken, and the survey that a session becomes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils.translation import gettext as _

from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import CURVES
from common.corners import AXLE_CORNERS, FRONT, OTHER_SIDE
from fitment.engine import checkfile
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.model import SpotAnswer
from fitment.engine.survey.next_reading import GapsExpected
from fitment.engine.survey.reading_questions import questions
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import Reading
from fitment.engine.survey.sheet_survey import document_of
from fitment.engine.survey.surveying import BadReading
from fitment.engine.uncertainty.this_car import Expectation
from fitment.models import ClearanceCheck, CornerSurvey, SurveyReading, SurveySession
from fitment.surveys.own_wheel import OwnWheel, own_wheel_of
from fitment.surveys.worked_out import worked_out
from shop.models import WorkOrder
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import CarModel, User

Document = dict[str, Any]
#: Corners that steer unless their survey says otherwise.
STEERED = AXLE_CORNERS[FRONT]


@dataclass(frozen=True)
class CheckAtHand:
    """The newest check of an open order on this car model, and its places at this corner."""

    order: WorkOrder
    places: tuple[SpotAnswer, ...]


class SoFar:
    """Where a session stands: its sheet, and the survey as it would become now."""

    def __init__(self, session: SurveySession) -> None:
        self.session = session
        rows = list(session.readings.select_related("by"))
        self.rows = [row for row in rows if row.struck_at is None]
        self.struck = [row for row in rows if row.struck_at is not None]
        self.current = _corrected_by(session)
        base = checkfile.parse_corner_survey(self.current.document) if self.current else None
        self.sheet = Sheet([reading_of(row) for row in self.rows], base)

    @property
    def base_version(self) -> int:
        """Version of the survey that the readings correct, 0 without one."""
        return self.current.version if self.current else 0

    @cached_property
    def document(self) -> Document | None:
        """The survey so far as a document; None while not even its pose is known."""
        try:
            return document_of(self.sheet, self.current.document if self.current else None)
        except BadReading:
            return None

    @cached_property
    def problems(self) -> tuple[checkfile.Problem, ...]:
        """Why the readings are no survey yet; empty once they are one."""
        if self.document is None:
            return (checkfile.Problem("survey.setting", "camber, toe and height are missing"),)
        try:
            measured = checkfile.parse_corner_survey(self.document)
        except checkfile.BadCheckFile as bad:
            return bad.problems
        return tuple(self._does_not_steer(measured))

    def _does_not_steer(self, measured: checkfile.Measured) -> Iterator[checkfile.Problem]:
        """A front corner without locks would be judged straight ahead only, and look clear."""
        if not self.steered:
            return
        limits, suspension = measured.limits, measured.suspension
        if not limits.steer_in_deg or not limits.steer_out_deg:
            yield checkfile.Problem("limits", "the turn plate at both locks is missing")
        if suspension.kind == CURVES and suspension.steer_axis is None:
            yield checkfile.Problem("suspension.steer_axis", "the steering axis is missing")

    @cached_property
    def measured(self) -> checkfile.Measured | None:
        """The survey so far, read; None while it is none."""
        if self.problems or self.document is None:
            return None
        return checkfile.parse_corner_survey(self.document)

    @property
    def steered(self) -> bool:
        """Whether the corner steers: as its survey says, else as front corners do."""
        if self.sheet.base is not None:
            limits = self.sheet.base.limits
            return limits.steer_in_deg > 0 or limits.steer_out_deg > 0
        return self.session.corner in STEERED

    @cached_property
    def other_side(self) -> checkfile.Measured | None:
        """The survey of the other side that was measured there, not taken over."""
        other = CornerSurvey.objects.current(
            self.session.car_model, OTHER_SIDE[self.session.corner]
        )
        if other is None or other.mirrored_from_id is not None:
            return None
        return checkfile.parse_corner_survey(other.document)

    @cached_property
    def check_at_hand(self) -> CheckAtHand | None:
        """The check that the next reading should settle, if one was made."""
        orders = WorkOrder.objects.open().filter(vehicle__car_model=self.session.car_model)
        checks = ClearanceCheck.objects.filter(order__in=orders).select_related("order")
        for check in checks.defer("inputs", "scenes").order_by("-at").iterator(chunk_size=5):
            if check.answer:
                answer = checkfile.answer_load(check.answer).corners.get(self.session.corner)
                if answer is not None:
                    return CheckAtHand(check.order, tuple(answer.places))
        return None

    @cached_property
    def own_wheel(self) -> OwnWheel:
        """What the wheel on the car says of the readings."""
        base = self.current.document if self.current else None
        return own_wheel_of(self.sheet, self.measured, base)

    @cached_property
    def expected(self) -> GapsExpected | None:
        """What the survey on record, or else the one so far, expects of gaps; None: cannot say."""
        measured = self.sheet.base or self.measured
        if measured is None:
            return None
        try:
            return GapsExpected(self.sheet, measured)
        except (BadReading, Unreachable, RestsOnStops):
            return None

    def gap(self, place: str, pose: str) -> Expectation | None:
        """The gap expected at a place in a pose, with its uncertainty; None where not known."""
        try:
            return self.expected.gap(place, pose) if self.expected else None
        except (BadReading, Unreachable, RestsOnStops):
            return None


def _corrected_by(session: SurveySession) -> CornerSurvey | None:
    """The survey that a session corrects: the current one, or the one before its own."""
    surveys = CornerSurvey.objects.in_use().filter(
        car_model=session.car_model, corner=session.corner
    )
    if session.survey is not None:
        surveys = surveys.filter(version__lt=session.survey.version)
    return surveys.order_by("-version").first()


def reading_of(row: SurveyReading) -> Reading:
    """A kept reading as the engine takes it; ``values`` keep what was typed and its number."""
    values = {name: value["value"] for name, value in row.values.items()}
    return Reading(row.form, values, row.place, row.pose, row.pk)


@transaction.atomic
def session_open(*, car_model: CarModel, corner: str, by: User) -> SurveySession:
    """The session that is going on at a corner, started if there is none."""
    type(car_model).objects.select_for_update().get(pk=car_model.pk)
    session = SurveySession.objects.open_at(car_model, corner)
    return session or SurveySession.objects.create(
        car_model=car_model, corner=corner, started_by=by
    )


@transaction.atomic
def reading_take(
    *, session: SurveySession, reading: Reading, values: Mapping[str, Any], by: User
) -> SurveyReading:
    """Keep one reading; as :func:`readings_take`."""
    return readings_take(session=session, readings=[(reading, values)], by=by)[0]


@transaction.atomic
def readings_take(
    *, session: SurveySession, readings: Sequence[tuple[Reading, Mapping[str, Any]]], by: User
) -> list[SurveyReading]:
    """Keep readings, each with its ``values``: by name what was ``typed`` and its ``value``.

    Raises BadReading where a form cannot give one, Refused once the session is finished; then none
    is kept.
    """
    still_open(session)
    so_far, rows = SoFar(session), []
    for reading, values in readings:
        so_far.sheet.check(reading)
        expected = so_far.gap(reading.place, reading.pose) if reading.form == "gap" else None
        rows.append(
            SurveyReading.objects.create(
                session=session,
                form=reading.form,
                place=reading.place,
                pose=reading.pose,
                values=dict(values),
                expected_mm=None if expected is None else round(expected.gap_mm, 2),
                by=by,
            )
        )
    with_them = worked_out(f"session {session.pk} with another reading", partial(_tried, session))
    if with_them is None:
        raise BadReading("", "With these figures the corner cannot be worked out. Look again.")
    return rows


def _tried(session: SurveySession) -> SoFar:
    """Where a session stands, with all that its page works out of single readings."""
    so_far = SoFar(session)
    questions(so_far.sheet, so_far.other_side)
    _ = so_far.problems, so_far.sheet.bump, so_far.sheet.bump_used
    return so_far


def step_leave_out(
    *, session: SurveySession, keys: Iterable[str], why: str, by: User
) -> list[SurveyReading]:
    """Keep that steps of the survey were left out, and why. Raises Refused as readings do."""
    kept = [
        {"step": {"typed": key, "value": key}, "why": {"typed": why, "value": why}} for key in keys
    ]
    readings = [
        (Reading("left_out", {name: one["value"] for name, one in values.items()}), values)
        for values in kept
    ]
    return readings_take(session=session, readings=readings, by=by)


def still_open(session: SurveySession) -> None:
    """Lock the session's row and refuse one that became a survey already, or was discarded."""
    row = SurveySession.objects.select_for_update().get(pk=session.pk)
    if row.discarded_at is not None:
        raise Refused(_("This session was discarded. Start again to measure the corner."))
    if row.finished_at is not None:
        raise Refused(_("This session is finished; its readings stay as they were taken."))
