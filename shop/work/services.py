"""All that is recorded while the car is here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.extensions.points import ROAD_TEST_CHECKS
from shop.languages import speech_of_shop
from shop.models import (
    ContactMark,
    InstalledPart,
    NewsKind,
    RoadTest,
    State,
    User,
    WorkOrder,
)
from shop.models.axles import Position
from shop.models.work import Tried, Wrong
from shop.orders.services.log import log_write
from shop.orders.services.news import news_tell
from shop.orders.services.torque_reopening import reopen_for
from shop.site.refusals import Refused
from shop.work.locking import WORK_STATES, on_the_lift

__all__ = ["WORK_STATES", "contradictions", "installed_add", "road_test_add"]

SPOT_MISSING = gettext_lazy(
    "Contact was found: name its corner and spot below, and tick that it touched."
)


@transaction.atomic
def installed_add(*, order: WorkOrder, by: User, values: dict[str, Any]) -> InstalledPart:
    row = on_the_lift(order, by)
    line = values.get("line")
    if line is not None:
        if line.order_id != row.pk:
            raise Refused(_("This line belongs to another order."), field="line")
        values = {**values, "part": line.part}
        values["description"] = values.get("description") or line.description
    if not values.get("description"):
        raise Refused(_("Enter which part was fitted."), field="description")
    installed = InstalledPart.objects.create(order=row, by=by, **values)
    own = speech_of_shop()
    where = own.within(own.say(Position(installed.corner_or_axle).label))
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Part installed"),
        detail=f"{installed.description}, {where}",
    )
    reopen_for(row, by, installed)
    return installed


def contradictions(
    order: WorkOrder, tried: Mapping[str, Any], marks: Sequence[Mapping[str, Any]]
) -> list[str]:
    """What a road test says against the predictions of its order; empty where they agree."""
    return [said for check in ROAD_TEST_CHECKS for said in check(order, tried, marks)]


@transaction.atomic
def road_test_add(
    *,
    order: WorkOrder,
    by: User,
    values: dict[str, Any],
    marks: Sequence[dict[str, Any]],
    wrong: str = "",
    wrong_note: str = "",
) -> RoadTest:
    """Record one road test with the places looked at; earlier tests stay as they were.

    ``wrong`` is the technician's judgement, a member of ``Wrong``, where the test contradicts what
    was predicted. Raises Refused for contact without its spot, and without that judgement.
    """
    row = on_the_lift(order, by, State.ROAD_TEST)
    touched = [f"{m['corner']} {m['place']}" for m in marks if m["contact"]]
    if not touched and any(values.get(name) == Tried.TOUCHED for name in RoadTest.TRIED):
        raise Refused(str(SPOT_MISSING))
    against = contradictions(row, values, marks)
    if against and wrong not in Wrong.values:
        raise Refused(_("The road test contradicts the clearance check. Choose what is wrong."))
    test = RoadTest.objects.create(
        order=row,
        by=by,
        **values,
        touched_spots=len(touched),
        contradiction="\n".join(against),
        wrong=wrong if against else "",
        wrong_note=wrong_note if against else "",
    )
    ContactMark.objects.bulk_create(ContactMark(road_test=test, **mark) for mark in marks)
    if against:
        detail = "\n".join([*against, str(Wrong(wrong).label), wrong_note]).strip()
        what = gettext_lazy("Road test contradicts the clearance check")
        log_write(order=row, by=by, what=what, detail=detail)
        news_tell(order=row, kind=NewsKind.EVIDENCE, detail=detail, by=by)
    log_write(
        order=row,
        by=by,
        what=gettext_lazy("Road test"),
        detail=format_lazy(gettext_lazy("Contact: {spots}"), spots=", ".join(touched))
        if touched
        else gettext_lazy("No contact"),
    )
    return test
