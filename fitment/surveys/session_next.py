"""The reading that a session asks for next."""

from __future__ import annotations

from alignment.text.render import render
from common.message import message
from fitment.engine.survey.next_reading import Settling, settling
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.steps import Step, next_step, together
from fitment.surveys.session_form_state import Asked
from fitment.surveys.sessions import SoFar


def asked_of(so_far: SoFar, wanted: tuple[Step, ...]) -> Asked | None:
    """The next reading: what settles a doubtful check first, else the next of the survey."""
    found = what_settles(so_far)
    ready = so_far.sheet.newest("setting") is not None
    if found is not None and ready and found.form != "gap":
        step = Step("", found.form, settling_words(so_far), pose=found.pose)
        return Asked((step,), so_far.sheet)
    first = next_step(wanted)
    return Asked(together(wanted, first), so_far.sheet) if first else None


def settling_words(so_far: SoFar) -> str:
    """Which reading would cut the uncertainty of the check at hand most, and how far; or empty."""
    found, check = what_settles(so_far), so_far.check_at_hand
    if found is None or check is None:
        return ""
    return render(
        message(
            "settle.most",
            order=check.order.number,
            what=found.what,
            spot=found.place.place,
            before_mm=found.before_mm,
            after_mm=found.after_mm,
        )
    )


def what_settles(so_far: SoFar) -> Settling | None:
    """What settles the check at hand, unless it was read in this session."""
    if so_far.check_at_hand is None:
        return None
    found = settling(so_far.check_at_hand.places)
    if found is None:
        return None
    place = found.place.place if FORMS[found.form].at_place else None
    pose = found.pose if FORMS[found.form].in_pose else None
    return None if so_far.sheet.newest(found.form, pose, place) else found
