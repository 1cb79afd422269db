"""Taking back what was read: a reading, a whole session, or the version that it became.

Nothing here works out what the readings mean, so that odd ones can be taken back too. Everything
stays on record, with who took it back, when, and why.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from common.shortened import shortened
from fitment.models import CornerSurvey, SurveyReading, SurveySession
from fitment.surveys.log import survey_log_write
from fitment.surveys.reasons import reason_in
from shop.languages import speech_of_shop
from shop.models import CarModel
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User


@transaction.atomic
def reading_withdraw(*, session: SurveySession, key: int, why: str, by: User) -> SurveyReading:
    """Strike one reading. What was finished from it goes with it, as far as it is still current.

    The version that the session became is withdrawn, and the session goes on with the other
    readings unless another one is open at the corner by now. A version on which a later one was
    built stays: the reading is struck on record.
    Raises Refused without a reason, for a discarded session, and for a reading that is not there.
    """
    row, why = _locked(session), _reason(why)
    if row.discarded_at is not None:
        raise Refused(_("This session was discarded, and all its readings with it."))
    reading = row.readings.filter(pk=key, struck_at=None).first()
    if reading is None:
        raise Refused(_("This reading was withdrawn before, or is of another session."))
    reading.struck_at, reading.struck_by, reading.struck_why = timezone.now(), by, why
    reading.save(update_fields=["struck_at", "struck_by", "struck_why"])
    _log(row, by, gettext_lazy("Reading withdrawn"), f"{reading}: {why}")
    if row.survey is not None and is_current(row.survey):
        _withdraw_version(row.survey, f"{reading}: {why}", by)
        if not _another_is_open(row):
            _go_on(row)
    return reading


@transaction.atomic
def session_discard(*, session: SurveySession, why: str, by: User) -> None:
    """Discard a session with all its readings, and withdraw the version that it became.

    Raises Refused without a reason, a second time, and where a later version was built on it.
    """
    row, why = _locked(session), _reason(why)
    if row.discarded_at is not None:
        raise Refused(_("This session was discarded before."))
    if row.survey is not None and row.survey.withdrawn_at is None:
        _withdraw_version(row.survey, why, by)
    row.discarded_at, row.discarded_by, row.discarded_why = timezone.now(), by, why
    row.save(update_fields=["discarded_at", "discarded_by", "discarded_why"])
    _log(row, by, gettext_lazy("Session discarded"), why)


@transaction.atomic
def survey_withdraw(*, survey: CornerSurvey, why: str, by: User) -> None:
    """Withdraw the current version of a corner: the one before it is current again, if there is.

    Checks that used it keep it and become stale. Raises Refused without a reason, and for a
    version that is not the current one.
    """
    _withdraw_version(survey, _reason(why), by)


@transaction.atomic
def session_reopen(*, session: SurveySession, by: User) -> SurveySession:
    """Go on with the readings of a session whose version was withdrawn.

    Raises Refused for other sessions, and while another one is open at the corner.
    """
    row = _locked(session)
    if row.discarded_at is not None or row.survey is None or row.survey.withdrawn_at is None:
        raise Refused(_("Only a session whose version was withdrawn can be continued."))
    if _another_is_open(row):
        raise Refused(_("Another session is open at this corner. Finish or discard it first."))
    detail = speech_of_shop().say("Its version {number} was withdrawn.", number=row.survey.version)
    _go_on(row)
    _log(row, by, gettext_lazy("Session continued"), detail)
    return row


def is_current(survey: CornerSurvey) -> bool:
    """Whether it is the version that checks use now."""
    return CornerSurvey.objects.current(survey.car_model, survey.corner) == survey


def _withdraw_version(survey: CornerSurvey, why: str, by: User) -> None:
    CarModel.objects.select_for_update().get(pk=survey.car_model_id)
    row = CornerSurvey.objects.select_related("car_model").get(pk=survey.pk)
    if row.withdrawn_at is not None:
        raise Refused(_("This version was withdrawn before."))
    current = CornerSurvey.objects.current(row.car_model, row.corner)
    if current is not None and current != row:
        raise Refused(
            _("Version {number} was saved after it. Withdraw that one first.").format(
                number=current.version
            )
        )
    row.withdrawn_at, row.withdrawn_by = timezone.now(), by
    row.withdrawn_why = shortened(why, 300)
    row.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_why"])
    survey_log_write(
        car_model=row.car_model,
        corner=row.corner,
        what=speech_of_shop().say("Version {number} withdrawn", number=row.version),
        detail=why,
        by=by,
    )


def _locked(session: SurveySession) -> SurveySession:
    CarModel.objects.select_for_update().get(pk=session.car_model_id)
    SurveySession.objects.select_for_update().get(pk=session.pk)
    return SurveySession.objects.select_related("survey__car_model", "car_model").get(pk=session.pk)


def _go_on(session: SurveySession) -> None:
    session.finished_at = session.survey = None
    session.save(update_fields=["finished_at", "survey"])


def _another_is_open(session: SurveySession) -> bool:
    open_one = SurveySession.objects.open_at(session.car_model, session.corner)
    return open_one is not None and open_one != session


def _reason(why: str) -> str:
    if not why.strip():
        raise Refused(_("Enter a reason. It is kept on record."), field="why")
    return reason_in(why)


def _log(session: SurveySession, by: User, what: Promise, detail: str) -> None:
    survey_log_write(
        car_model=session.car_model, corner=session.corner, what=what, detail=detail, by=by
    )
