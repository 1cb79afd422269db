"""Searches for options, in steps: each step takes a few settings and keeps what it found.

A step is pure computing over rows read once, so it may be done by any process, and what a
process that dies had begun is simply done again.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from django.db.models import Q
from django.utils import timezone

from common.message import message_dump, message_load
from fitment.engine import checkfile
from fitment.engine.search.model import Question
from fitment.engine.search.options import options
from fitment.job.car import Car
from fitment.models import OptionSearch, UseProfile
from fitment.tryout.data import SetUp
from fitment.tryout.services.results import few_of, row_of
from fitment.tryout.services.trial import question_of
from fitment.tryout.space import names_of, question_for

if TYPE_CHECKING:
    from shop.models import User

#: Settings that are searched together, and seconds after which a step ends.
TOGETHER, STEP_SECONDS, LONG_SECONDS = 3, 1.0, 10.0
#: A step that takes longer than this was lost with its process.
LOST_AFTER = timedelta(seconds=60)


def search_begin(
    *,
    car: Car,
    set_up: SetUp,
    use: str,
    start: Mapping[str, str],
    asked: Mapping[str, Any],
    by: User,
) -> OptionSearch:
    """Keep a question; nothing is searched yet. Raises checkfile.BadCheckFile."""
    search = OptionSearch(
        order=car.order,
        car_model=car.car_model,
        axle=set_up.axle,
        use=use,
        start=dict(start),
        asked=dict(asked),
        by=by,
    )
    search.settings = len(_question(search, car, set_up).space.settings)
    search.save()
    return search


def search_stop(*, search: OptionSearch) -> None:
    """What was found so far stays; nothing more is looked for."""
    OptionSearch.objects.filter(pk=search.pk).update(stopped=True)
    search.stopped = True


def search_step(
    *, search: OptionSearch, car: Car, set_up: SetUp, seconds: float = STEP_SECONDS
) -> bool:
    """Search on for about so many seconds; False where another request is at it already."""
    now = timezone.now()
    mine = OptionSearch.objects.filter(
        Q(busy_until__isnull=True) | Q(busy_until__lt=now), pk=search.pk, stopped=False
    ).update(busy_until=now + LOST_AFTER)
    if not mine:
        return False
    search.refresh_from_db()
    until = time.monotonic() + seconds
    try:
        question = _question(search, car, set_up)
        while not search.is_over:
            _some(search, question, set_up)
            if time.monotonic() > until or _was_stopped(search):
                break
    except checkfile.BadCheckFile as bad:
        search.trouble = f"The set-up can no longer be read: {bad}"[:300]
    finally:
        search.busy_until = None
        search.save(
            update_fields=[
                "done",
                "busy_until",
                "found",
                "ruled_out",
                "candidates",
                "judged",
                "trouble",
            ]
        )
    return True


def _was_stopped(search: OptionSearch) -> bool:
    search.stopped = OptionSearch.objects.values_list("stopped", flat=True).get(pk=search.pk)
    return search.stopped


def _some(search: OptionSearch, question: Question, set_up: SetUp) -> None:
    """The next few settings, joined to what was found before."""
    some = question.space.settings[search.done : search.done + TOGETHER]
    found = options(replace(question, space=replace(question.space, settings=some)))
    names = names_of(question.space)
    rows = [
        *search.found,
        *(row_of(option, question, names, set_up) for option in found.options),
    ]
    search.found = few_of(rows, question.aims, question.few)
    counts = Counter({message_load(why): count for why, count in search.ruled_out})
    for one in found.ruled_out:
        counts[one.why] += one.count
    search.ruled_out = [[message_dump(why), count] for why, count in counts.most_common()]
    search.candidates += found.candidates
    search.judged += found.judged
    search.done += len(some)


def _question(search: OptionSearch, car: Car, set_up: SetUp) -> Question:
    """The engine's question. Raises checkfile.BadCheckFile."""
    profile = UseProfile.objects.get(name=search.use)
    check = checkfile.parse(question_of(car, set_up, profile))
    return question_for(check.corners, check.duty, car, set_up, search.asked)
