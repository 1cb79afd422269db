"""The end of a measuring session: the survey that its readings become."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.geometry.joint_fit import CannotFit, fit_joints
from common.numerals import fixed
from fitment.engine.survey.sheet_survey import heights_of
from fitment.models import CornerSurvey, SurveySession
from fitment.surveys.joints import fit_record, moved_joints, with_joints
from fitment.surveys.reasons import reason_in
from fitment.surveys.services import fit_still_true, survey_save
from fitment.surveys.sessions import SoFar, still_open
from fitment.text.render import reason_text
from shop.languages import speech_of_shop
from shop.languages.formatting import capital
from shop.models import OrderKind, WorkOrder
from shop.orders.services.log import log_write
from shop.site.refusals import Refused

if TYPE_CHECKING:
    from shop.models import User

Document = dict[str, Any]


@transaction.atomic
def session_finish(
    *, session: SurveySession, base_version: int, by: User, own_wheel_why: str = ""
) -> CornerSurvey:
    """Turn a session into the next version of the corner's survey.

    Raises Refused while something is missing, when nothing was read, when another version was
    saved after ``base_version`` was looked at, and where the wheel on the car, known to clear,
    would not, unless ``own_wheel_why`` says why it is right all the same.
    """
    still_open(session)
    so_far = SoFar(session)
    taken = [row for row in so_far.rows if row.form not in ("plan", "left_out")]
    if not taken:
        raise Refused(_("Nothing was read yet."))
    if so_far.base_version != base_version:
        raise Refused(_("Another version was saved meanwhile. Look again before you finish."))
    if so_far.problems or so_far.document is None:
        raise Refused(_("Not enough for a survey yet: what is missing stands below."))
    against = so_far.own_wheel
    why = reason_in(own_wheel_why)
    if against.touching and not why:
        raise Refused(
            _(
                "The wheel on this car contradicts the readings. Withdraw the reading that is "
                "wrong, or enter why they are right."
            )
        )
    document, fit, note = fitted_at_once(so_far)
    if against.touching:
        because = speech_of_shop().say("Finished because: {why}", why=why)
        note = f"{note} {against.on_record} {because}"
    survey = survey_save(
        car_model=session.car_model,
        corner=session.corner,
        document=document,
        measured_on=timezone.localdate(),
        measured_by=by.shown_name,
        notes=speech_of_shop().say("From {count} readings.", count=len(taken)) + note,
        fit=fit,
        by=by,
        what=gettext_lazy("Measured"),
    )
    session.finished_at, session.survey = timezone.now(), survey
    session.own_wheel = against.on_record if against.touching else ""
    session.own_wheel_why = why if against.touching else ""
    session.save(update_fields=["finished_at", "survey", "own_wheel", "own_wheel_why"])
    visits = WorkOrder.objects.open().filter(
        kind=OrderKind.SURVEY_VISIT, vehicle__car_model=session.car_model
    )
    for order in visits:
        detail = speech_of_shop().say(
            "{corner}, version {version}: {notes}",
            corner=capital(speech_of_shop().say(survey.corner_name)),
            version=survey.version,
            notes=survey.notes,
        )
        log_write(order=order, by=by, what=gettext_lazy("Corner measured"), detail=detail)
    return survey


def fitted_at_once(so_far: SoFar) -> tuple[Document, Document, str]:
    """The survey's document with joints that were read here fitted to the heights, and the fit.

    The words tell what came of it. A survey that had joints before keeps them.
    """
    document = so_far.document or {}
    measured, heights = so_far.measured, heights_of(so_far.sheet)
    new = so_far.current is None or so_far.current.document["suspension"].get("typical")
    if measured is None or not new or not measured.suspension.joints or not heights:
        return document, fit_still_true(so_far.current, document), ""
    survey = measured.survey
    try:
        fit = fit_joints(measured.suspension, survey.camber_deg, survey.toe_deg, heights)
    except CannotFit as cannot:
        return (
            document,
            {},
            " "
            + speech_of_shop().say(
                "The joints are as read: no fit to the heights ({reason}).",
                reason=reason_text(cannot),
            ),
        )
    fitted = {**document, "suspension": with_joints(document["suspension"], fit.suspension)}
    farthest = moved_joints(fit.moved_mm, document["suspension"])[0]
    speech = speech_of_shop()
    note = speech.say(
        "Joints fitted to {count} heights: off by {before}° before, {after}° after; {joint} moved "
        "farthest, {moved} mm.",
        count=len(heights),
        before=fixed(fit.before_deg, 2),
        after=fixed(fit.after_deg, 2),
        joint=farthest.name.replace("_", " "),
        moved=fixed(farthest.moved_mm, 1),
    )
    if farthest.is_far:
        note = f"{note} {speech.say('Look at that joint again.')}"
    return fitted, fit_record(document["suspension"], heights, fit), f" {note}"
