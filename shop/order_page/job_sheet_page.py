"""The job on paper for the technician: what is to be done, with blanks for what is read and set."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.utils import timezone

from shop.extensions.answers import Question
from shop.extensions.points import ORDER_ANSWERS
from shop.models import ShopSettings
from shop.orders.services.cautions import TECHNICIAN, cautions_for, job_of
from shop.orders.services.torques import lines_unaccounted, torques_due
from shop.site.page_cache import looking

if TYPE_CHECKING:
    from shop.models import WorkOrder
    from shop.site.view_helpers import StaffRequest


@looking()
def job_sheet_context(request: StaffRequest, order: WorkOrder) -> dict[str, Any]:
    """What templates/shop/job_sheet.html prints.

    A torque has a blank until it is signed; a part whose fitting is not on record yet brings its
    own, by its line.
    """
    answers = [one for plug in ORDER_ANSWERS for one in plug(request, order)]
    return {
        "order": order,
        "shop": ShopSettings.load(),
        "printed_at": timezone.now(),
        "bookings": list(order.bookings.select_related("bay", "technician")),
        "planned": [one for one in answers if one.question == Question.FITS],
        "lines": list(order.lines.select_related("part")),
        "torques": torques_due(order),
        "unaccounted": lines_unaccounted(order),
        "cautions": cautions_for(job_of(order), TECHNICIAN),
    }
