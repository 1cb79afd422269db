"""Comebacks beside what the clearance check of their first order had said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from fitment.engine import checkfile
from fitment.engine.model import SpotAnswer
from fitment.job.data import GATE
from fitment.models import ClearanceCheck
from shop.models import Comeback, GateOverride


@dataclass(frozen=True)
class ComebackRow:
    """One comeback, the check its first order went out on, and what was decided on it."""

    comeback: Comeback
    check: ClearanceCheck | None
    predicted: SpotAnswer | None
    overrides: tuple[GateOverride, ...]

    @property
    def place(self) -> str:
        return self.comeback.place

    @property
    def cause(self) -> str:
        """Why this could happen, as far as the records tell."""
        if self.check is None:
            return _("no clearance check was made")
        if self.overrides:
            return _("went on in spite of “{result}”").format(result=_(str(self.check.result)))
        if self.predicted is None:
            return _("the spot was never measured")
        return _("predicted {verdict}").format(verdict=_(str(self.predicted.verdict)))

    @property
    def at(self) -> datetime:
        return self.comeback.order.created_at


def comebacks_with_predictions() -> list[ComebackRow]:
    """Every comeback, newest first; a fixed number of queries however many there are."""
    checks = ClearanceCheck.objects.defer("inputs", "scenes")
    overrides = GateOverride.objects.filter(gate=GATE).select_related("by")
    comebacks = Comeback.objects.select_related(
        "order", "first_order__vehicle__car_model", "first_order__customer"
    ).prefetch_related(
        Prefetch("first_order__clearance_checks", queryset=checks),
        Prefetch("first_order__overrides", queryset=overrides),
    )
    return [_row(comeback) for comeback in comebacks.order_by("-order__created_at", "-pk")]


def _row(comeback: Comeback) -> ComebackRow:
    first = comeback.first_order
    checks = first.clearance_checks.all()
    check = next((one for one in checks if one.at <= comeback.order.created_at), None)
    digest = check.digest if check else ""
    return ComebackRow(
        comeback=comeback,
        check=check,
        predicted=predicted(check, comeback.corner, comeback.place),
        overrides=tuple(
            one for one in first.overrides.all() if one.gate == GATE and one.digest == digest
        ),
    )


def predicted(check: ClearanceCheck | None, corner: str, place: str) -> SpotAnswer | None:
    """What a check said of a place; names are compared without regard to case."""
    if check is None or not check.answer:
        return None
    one = checkfile.answer_load(check.answer).corners.get(corner)
    wanted = place.strip().casefold()
    places = one.places if one else ()
    return next((p for p in places if p.place.casefold() == wanted), None)


def counted(rows: Iterable[ComebackRow], what: str) -> list[tuple[str, int]]:
    """How often each place or cause stands among the rows, most frequent first."""
    counts = Counter(str(getattr(row, what)).strip().lower() for row in rows)
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))
