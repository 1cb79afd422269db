"""The first steps of an empty shop, and when they are over."""

from __future__ import annotations

from dataclasses import dataclass

from django.core.cache import cache
from django.utils.translation import gettext as _

from shop.extensions.first_steps import FirstStep
from shop.extensions.points import FIRST_STEPS
from shop.models import ShopSettings, User
from shop.site.refusals import NotYours

#: Set once all steps were done; nothing that was done is asked for again.
_OVER = "shop.first_steps_over"


@dataclass(frozen=True)
class StepState:
    """A step, whether it is done, and whether this person may do it."""

    step: FirstStep
    done: bool
    may: bool


def first_steps_for(user: User) -> list[StepState]:
    """All steps with what is done; empty once all are, or where a manager hid them."""
    if cache.get(_OVER) or ShopSettings.load().first_steps_hidden:
        return []
    states = [StepState(step, step.done(), user.has_role(*step.roles)) for step in FIRST_STEPS]
    if all(state.done for state in states):
        cache.set(_OVER, True, None)
        return []
    return states


def first_steps_hide(*, by: User) -> None:
    """Hide the list for everybody."""
    if not by.is_manager:
        raise NotYours(_("Only a manager hides the first steps."))
    ShopSettings.load()
    ShopSettings.objects.filter(pk=1).update(first_steps_hidden=True)
