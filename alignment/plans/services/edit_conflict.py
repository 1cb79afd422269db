"""Two people who save one thing: the second sees what the first saved before it is replaced."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.models import PlannedSetting, RackVisit
from shop.site.refusals import Refused

#: What to do then; follows the reason.
COMPARE = gettext_lazy("Both versions are kept: compare, then save again.")


class SavedMeanwhile(Refused):
    """Saved by another person after the form was opened; ``rows`` is what is on record now.

    None in ``rows`` is a plan that was removed.
    """

    def __init__(self, rows: Sequence[PlannedSetting | RackVisit | None]) -> None:
        self.rows = list(rows)
        names = (str(row.saved_by) for row in rows if row and row.saved_by)
        name = next(names, _("Another person"))
        super().__init__(_("{name} saved this while you had it open.").format(name=name))
