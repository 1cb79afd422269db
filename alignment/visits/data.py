"""Readings of an order beside their targets, as tables."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext_noop as _

from alignment.geometry import readings
from alignment.geometry.units import format_degrees, format_number
from alignment.models import RackVisit, Stage


@dataclass(frozen=True)
class Off:
    """A reading less its target; ``beyond`` is how far it leaves the tolerance, 0.0 inside."""

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
        if self.unit != "°":
            return f"{abs(self.beyond):.0f} {self.unit} beyond ±{self.tolerance:.0f} {self.unit}"
        said = f"{abs(self.beyond):.2f}° beyond ±{self.tolerance:.2f}°"
        return said if self.told_by_rack else f"{said}, less than the rack can tell"


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
        """What the work changed, and whether the rack can see it; empty for lengths."""
        if self.change is None:
            return ""
        if not self.change.is_told_by_the_rack:
            return f"no change that the rack sees, ±{self.change.expanded_deg:.2f}"
        return f"{format_number(self.change.deg, 2)} ±{self.change.expanded_deg:.2f}"

    def _shown(self, value: float | None) -> str:
        if value is None:
            return "–"
        text = format_number(value, self.places)
        return text.lstrip("+") if self.places == 0 and self.side != SETBACK else text

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
        """A sentence for every line that the work left out of tolerance and the rack can tell.

        Cross follows from its sides and is not said again; before the work everything may be out.
        """
        if self.after is None:
            return []
        return [
            f"{axle.title}, {row.side}: {group.title.split(',')[0].lower()} is off by "
            f"{_with_unit(row.off)}, {row.off.words}."
            for axle in self.axles
            for group in axle.groups
            for row in group.rows
            if row.off is not None and row.off.is_out and row.off.told_by_rack and row.side != CROSS
        ]


LEFT, RIGHT, CROSS, TOTAL, THRUST, SETBACK = (
    "left",
    "right",
    "cross",
    "total",
    _("thrust angle"),
    _("setback"),
)


def _with_unit(off: Off) -> str:
    return format_degrees(off.value) if off.unit == "°" else f"{off.text} {off.unit}"
