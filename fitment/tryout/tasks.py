"""Background tasks of the try-out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext

from fitment.models import OptionSearch
from fitment.tryout.options_page import car_of_search, tryout_from
from fitment.tryout.search_job import search_work

if TYPE_CHECKING:
    from shop.extensions.background import Work


def search_run(work: Work) -> None:
    """Work on a search of options; one that was deleted is done."""
    search = (
        OptionSearch.objects.select_related("order__vehicle__car_model", "car_model")
        .filter(pk=work.subject)
        .first()
    )
    if search is None:
        return
    car = car_of_search(search)
    set_up = tryout_from(car, search.start).form.set_up
    if set_up is None:
        search.trouble = gettext("The set-up that it began from is no longer complete.")
        search.save(update_fields=["trouble"])
        return
    search_work(search=search, car=car, set_up=set_up, work=work)
