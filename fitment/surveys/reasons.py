"""Reasons that people type for what they do to a survey."""

from __future__ import annotations

from django.utils.translation import gettext as _

from shop.site.refusals import Refused

#: Characters that a reason may have.
LONGEST_WHY = 200


def reason_in(typed: str) -> str:
    """A reason as it is kept, on one line. Raises Refused for one that is too long."""
    why = " ".join(typed.split())
    if len(why) > LONGEST_WHY:
        reason = _("The reason is too long: at most {count} characters.")
        raise Refused(reason.format(count=LONGEST_WHY), field="why")
    return why
