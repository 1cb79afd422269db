"""Readings of an order beside their targets, as tables."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

from alignment.geometry import readings
from alignment.models import RackVisit, Stage
from shop.languages import speech_of_page
from shop.languages.figures import format_degrees, format_mm, format_number


@dataclass(frozen=True)
class Off:
    """A reading minus its target; ``beyond`` is how far it is out of tolerance, 0.0 inside."""

    value: float
    tolerance: float
    beyond: float
    told_by_rack: bool
    unit: str = "°"

    @property
    def is_out(self) -> bool:
        return self.beyond != 0.0

    @property
    def text(self) -> str:
        return format_number(self.value, 2 if self.unit == "°" else 0)

    @property
    def words(self) -> str:
        """Empty inside the tolerance; otherwise by how much it is out."""
        if not self.is_out:
            return ""
        by = abs(self.beyond)
        if self.unit != "°":
            beyond, tolerance = (format_mm(x, 0, signed=False) for x in (by, self.tolerance))
            return gettext("{excess} beyond ±{tolerance}").format(
                excess=beyond, tolerance=tolerance
            )
        beyond, tolerance = (format_degrees(x, signed=False) for x in (by, self.tolerance))
        text = (
            gettext("{excess} beyond ±{tolerance}")
            if self.told_by_rack
            else gettext("{excess} beyond ±{tolerance}, below rack accuracy")
        )
        return text.format(excess=beyond, tolerance=tolerance)


@dataclass(frozen=True)
class Row:
    """One line of the table. ``places`` is the number of decimals shown."""

    side: str
    before: float | None
    after: float | None
    target: float | None
    off: Off | None
    places: int
    change: readings.Difference | None = None

    @property
    def change_words(self) -> str:
        """What the work changed, and whether that is significant; empty for lengths."""
        if self.change is None:
            return ""
        expanded = format_number(self.change.expanded_deg, 2, signed=False)
        if not self.change.is_told_by_the_rack:
            return gettext("change below rack accuracy, ±{accuracy}").format(accuracy=expanded)
        return f"{format_number(self.change.deg, 2)} ±{expanded}"

    def _shown(self, value: float | None) -> str:
        if value is None:
            return "–"
        return format_number(value, self.places, signed=self.places > 0 or self.side == SETBACK)

    @property
    def before_text(self) -> str:
        return self._shown(self.before)

    @property
    def after_text(self) -> str:
        return self._shown(self.after)

    @property
    def target_text(self) -> str:
        return self._shown(self.target)

    @property
    def is_empty(self) -> bool:
        return self.before is None and self.after is None and self.target is None


@dataclass(frozen=True)
class Group:
    """All lines of one quantity on one axle; ``unit`` is "°" or "mm"."""

    quantity: str
    title: str
    unit: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class AxleTable:
    axle: str
    title: str
    groups: tuple[Group, ...]


@dataclass(frozen=True)
class Comparison:
    """``before`` is the first visit before the work, ``after`` the latest one since."""

    before: RackVisit | None
    after: RackVisit | None
    axles: tuple[AxleTable, ...]

    @property
    def is_empty(self) -> bool:
        return self.before is None and self.after is None

    @property
    def after_title(self) -> str:
        if self.after is not None and self.after.stage == Stage.BETWEEN:
            return _("Latest")
        return _("After")

    @property
    def out_of_tolerance(self) -> list[str]:
        """A sentence for every line that the work left significantly out of tolerance.

        Cross follows from its sides and is not repeated; before the work everything may be out.
        """
        if self.after is None:
            return []
        return [
            gettext("{axle}, {side}: {quantity} is off by {difference}, {excess}.").format(
                axle=axle.title,
                side=gettext(row.side),
                quantity=speech_of_page().within(group.title.split(",")[0]),
                difference=_with_unit(row.off),
                excess=row.off.words,
            )
            for axle in self.axles
            for group in axle.groups
            for row in group.rows
            if row.off is not None and row.off.is_out and row.off.told_by_rack and row.side != CROSS
        ]


LEFT, RIGHT, CROSS, TOTAL, THRUST, SETBACK = (
    _("left"),
    _("right"),
    _("cross"),
    _("total"),
    _("thrust angle"),
    _("setback"),
)


def _with_unit(off: Off) -> str:
    return format_degrees(off.value) if off.unit == "°" else f"{off.text} {off.unit}"
