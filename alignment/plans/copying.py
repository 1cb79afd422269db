"""The planned settings of one order for another."""

from __future__ import annotations

from dataclasses import fields

from django.utils.translation import gettext as _

from alignment.models import PlannedSetting
from alignment.plans.services.plans import AxlePlan, plan_save
from shop.models import User, WorkOrder
from shop.site.refusals import Refused


def copy_plan(source: WorkOrder, target: WorkOrder, by: User) -> list[str]:
    """Take the plan of each axle."""
    axles = {
        plan.axle: AxlePlan(**{one.name: getattr(plan, one.name) for one in fields(AxlePlan)})
        for plan in PlannedSetting.objects.filter(order=source)
    }
    if not axles:
        return []
    why = _("Copied from {number}").format(number=source.number)
    try:
        plan_save(order=target, by=by, axles=axles, why=why)
    except Refused as refused:
        return [_("Planned settings were not taken: {reason}").format(reason=refused.reason)]
    return []
