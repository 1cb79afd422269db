"""Searches for options, in parts: each takes a few settings and keeps what it found.

A part is pure computing over rows read once, so it may be done by any process, and what a
process that dies had begun is simply done again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from django.db import transaction
from django.utils.translation import gettext

from common.message import message_dump, message_load
from common.shortened import shortened
from fitment.engine import checkfile
from fitment.engine.search.fits import fits_within
from fitment.engine.search.model import Options, Progress, Question, Watch
from fitment.engine.search.options import parts_of
from fitment.engine.search.part import some_options
from fitment.engine.search.space import SettingChange
from fitment.job.car import Car
from fitment.models import OptionSearch, UseProfile
from fitment.tryout.data import SetUp
from fitment.tryout.services.results import before_of, few_of, row_of
from fitment.tryout.services.trial import question_of
from fitment.tryout.space import names_of, question_for
from fitment.tryout.tables import Tables
from shop.background.services import Alone, task_start

if TYPE_CHECKING:
    from shop.extensions.background import Work
    from shop.models import User

#: The kind of background task that searches are.
TASK = "option search"
#: Settings that are searched together, and what is kept after each of these parts.
TOGETHER = 3
KEPT = (
    "settings",
    "done",
    "stopped",
    "found",
    "ruled_out",
    "candidates",
    "judged",
    "cleared",
)


class SearchStart(TypedDict):
    """What a search is begun from: ``start`` is the set-up as the try-out writes it, ``asked``
    what may change and within which limits."""

    car: Car
    set_up: SetUp
    use: str
    start: Mapping[str, str]
    asked: Mapping[str, Any]
    by: User


def search_begin(**begun: Unpack[SearchStart]) -> OptionSearch:
    """Keep a question, and have it searched off the request. Raises checkfile.BadCheckFile."""
    with transaction.atomic():
        search = _kept(**begun)
        page = search.get_absolute_url()
        search.task = task_start(kind=TASK, subject=search.pk, page=page, by=begun["by"])
        search.save(update_fields=["task"])
    return search


def _kept(
    *,
    car: Car,
    set_up: SetUp,
    use: str,
    start: Mapping[str, str],
    asked: Mapping[str, Any],
    by: User,
) -> OptionSearch:
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


def search_through(**begun: Unpack[SearchStart]) -> OptionSearch:
    """Keep a question and search it at once, for those who wait for it."""
    search = _kept(**begun)
    work = Alone(search.pk)
    search_work(search=search, car=begun["car"], set_up=begun["set_up"], work=work)
    return search


def search_work(*, search: OptionSearch, car: Car, set_up: SetUp, work: Work) -> None:
    """Search on from where the search is, and keep every part of it that is done."""
    try:
        question = _question(search, car, set_up)
    except checkfile.BadCheckFile as bad:
        said = gettext("The set-up can no longer be read: {why}").format(why=bad)
        search.trouble = shortened(said, 300)
        search.save(update_fields=["trouble"])
        return
    fits = fits_within(question.space, question.within)
    whole = _in_order(question, len(fits.triples))
    search.settings = len(whole)
    for part in parts_of(whole[search.done :], len(fits.triples), TOGETHER):
        found = some_options(
            question, fits, part, before_of(search.found), _watch(search, len(part), work)
        )
        if not found.complete and not work.is_cancelled:
            return  # put back or taken over: the part is searched again
        with work.keeping((search.done + len(part)) / search.settings):
            _keep(search, found, question, set_up)
            search.done += len(part) if found.complete else 0
            search.stopped = not found.complete
            search.save(update_fields=KEPT)
        if search.stopped:
            return


def _in_order(question: Question, fits: int) -> tuple[SettingChange, ...]:
    """Settings in the order in which they are searched, however many go together."""
    return tuple(one for part in parts_of(question.space.settings, fits, 1) for one in part)


def _watch(search: OptionSearch, part: int, work: Work) -> Watch:
    """Tell how far the whole search is while a part of it is searched."""

    def told(progress: Progress) -> bool:
        return work.tell((search.done + part * progress.done_share) / search.settings)

    return told


def _keep(search: OptionSearch, found: Options, question: Question, set_up: SetUp) -> None:
    """Join what a part found to what was found before."""
    names, tables = names_of(question.space), Tables(search.car_model, search.axle)
    rows = [
        *search.found,
        *(row_of(option, question, names, set_up, tables) for option in found.options),
    ]
    search.found = few_of(rows, question.aims, question.few)
    counts = Counter({message_load(why): count for why, count in search.ruled_out})
    for one in found.ruled_out:
        counts[one.why] += one.count
    search.ruled_out = [[message_dump(why), count] for why, count in counts.most_common()]
    search.candidates += found.candidates
    search.judged += found.judged
    search.cleared += found.cleared


def _question(search: OptionSearch, car: Car, set_up: SetUp) -> Question:
    """The engine's question. Raises checkfile.BadCheckFile."""
    profile = UseProfile.objects.get(name=search.use)
    check = checkfile.parse(question_of(car, set_up, profile))
    return question_for(check.corners, check.duty, car, set_up, search.asked)
