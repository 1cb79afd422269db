"""Two people who save one thing: the second is told, and nothing is overwritten unseen."""

from __future__ import annotations

from collections.abc import Sequence

from alignment.models import PlannedSetting, RackVisit
from shop.site.refusals import Refused


class SavedMeanwhile(Refused):
    """Somebody saved after the form was opened; ``rows`` is what stands now (None: removed)."""

    def __init__(self, rows: Sequence[PlannedSetting | RackVisit | None]) -> None:
        self.rows = list(rows)
        who = next((str(row.saved_by) for row in rows if row and row.saved_by), "Somebody")
        super().__init__(f"{who} saved this while you had it open.")
