"""Adjuster positions on the form of a visit: a row for each adjuster, left and right."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext as _

from alignment.fields.parsers import bare_number
from alignment.fields.table_rows import EntryRow
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.geometry import units
from alignment.geometry.kinds import METHOD_ADJUSTER
from alignment.geometry.units import Understood
from alignment.models import AcceptedAdjustments, PlannedSetting, RackVisit
from alignment.text.labels import (
    ADJUSTER_LABELS,
    ROD_PREFIX,
    RODS,
    adjuster_here,
    axle_here,
    corner_here,
)
from alignment.text.render import render
from common.corners import AXLE_CORNERS
from common.message import message_load
from shop.models import Axle

if TYPE_CHECKING:
    from shop.models import WorkOrder

HEIGHTS = ("ride_height_mm", "bump_stop_mm")


class PositionsForm(TypedForm):
    """``positions`` holds what was read, by corner and adjuster, once the form is clean."""

    order: WorkOrder
    visit: RackVisit | None
    plans: dict[str, PlannedSetting]

    def add_positions(self) -> None:
        self._position_names: dict[str, list[str]] = {}
        self._accepted = self._accepted_adjustments()
        for axle, corners in AXLE_CORNERS.items():
            names = self._names_sent(axle) if self.is_bound else self._names_offered(axle)
            self._position_names[axle] = names
            for index, name in enumerate(names):
                prefix = f"pos_{axle}_{index}"
                known = name in ADJUSTER_LABELS or name.startswith(ROD_PREFIX)
                self.fields[f"{prefix}_name"] = forms.CharField(
                    label=f"{_('Another adjuster')}, {axle_here(axle)}",
                    required=False,
                    max_length=60,
                    initial=name,
                    widget=forms.HiddenInput if known else forms.TextInput,
                )
                for corner in corners:
                    self.fields[f"{prefix}_{corner}"] = TypedField(
                        "position",
                        label=f"{adjuster_here(name) or _('Another adjuster')}, "
                        f"{corner_here(corner)}",
                        max_length=60,
                        initial=self._position_typed(corner, name),
                    )

    def _names_sent(self, axle: str) -> list[str]:
        """The rows that the page had, also where the order's parts have changed since."""
        names: list[str] = []
        while (key := f"pos_{axle}_{len(names)}_name") in self.data:
            names.append(str(self.data[key]).strip())
        return names

    def _names_offered(self, axle: str) -> list[str]:
        """Adjusters recorded, those of the order's parts and plan, toe links, one spare."""
        names: list[str] = []
        if self.visit is not None:
            names += [
                p.adjuster for p in self.visit.positions.all() if p.corner in AXLE_CORNERS[axle]
            ]
        names += (
            self.order.lines.filter(part__axle__in=(axle, "any"))
            .exclude(part__adjuster="")
            .values_list("part__adjuster", flat=True)
        )
        if axle in self.plans:
            names += _adjusters_of_plan(self.plans[axle])
        names += [name for corner, name in self._accepted if corner in AXLE_CORNERS[axle]]
        names.append("toe_link_mm")
        offered = [name for name in dict.fromkeys(names) if name != "ride_height_mm"]
        return [*offered, ""]

    def _position_typed(self, corner: str, name: str) -> str:
        if self.visit is None or not name:
            return ""
        for position in self.visit.positions.all():
            if (position.corner, position.adjuster) == (corner, name):
                return position.typed
        return ""

    def _accepted_adjustments(self) -> dict[tuple[str, str], str]:
        """For a new visit, the adjustments accepted from the one before, by corner and adjuster;
        a planned height is no position."""
        if self.visit is not None:
            return {}
        last = self.order.rack_visits.last()
        rows = AcceptedAdjustments.objects.of_order(self.order)
        counts = {row.corner: row for row in rows if last and row.visit_id == last.pk}
        return {
            (corner, move["adjuster"]): render(message_load(move["how"]))
            for corner, row in counts.items()
            for move in row.adjustments
            if move["adjuster"] not in HEIGHTS
        }

    @property
    def position_groups(self) -> list[tuple[str, list[EntryRow]]]:
        groups = []
        accepted = self._accepted
        for axle, names in self._position_names.items():
            left, right = AXLE_CORNERS[axle]
            rows = []
            for index, name in enumerate(names):
                prefix = f"pos_{axle}_{index}"
                named = self[f"{prefix}_name"]
                rows.append(
                    EntryRow(
                        adjuster_here(name),
                        _accepted_said(accepted.get((left, name)), accepted.get((right, name))),
                        (self[f"{prefix}_{left}"], self[f"{prefix}_{right}"]),
                        named,
                        not named.is_hidden,
                    )
                )
            groups.append((str(Axle(axle).label), rows))
        return groups

    def clean_positions(self) -> dict[tuple[str, str], Understood]:
        found: dict[tuple[str, str], Understood] = {}
        for axle, names in self._position_names.items():
            for index, _name in enumerate(names):
                prefix = f"pos_{axle}_{index}"
                adjuster = (self.cleaned_data.get(f"{prefix}_name") or "").strip()
                for corner in AXLE_CORNERS[axle]:
                    number = self.read(f"{prefix}_{corner}", units.parse_position, bare_number)
                    if number is None:
                        continue
                    if not adjuster:
                        self.add_error(f"{prefix}_name", _("Enter the adjuster."))
                    elif (corner, adjuster) in found:
                        self.add_error(f"{prefix}_name", _("This adjuster is in the table twice."))
                    else:
                        found[corner, adjuster] = number
        return found

    def position_place(self, name: str) -> tuple[str, str] | None:
        """(corner, adjuster) of a position's field; None for every other field."""
        parts = name.split("_")
        if len(parts) != 4 or parts[0] != "pos" or parts[3] == "name":
            return None
        return parts[3], str(self[f"pos_{parts[1]}_{parts[2]}_name"].value() or "")


def _accepted_said(left: str | None, right: str | None) -> str:
    """The accepted adjustment, beside the field for its position."""
    sides = [(_("left"), left), (_("right"), right)]
    said = "; ".join(f"{side} {how}" for side, how in sides if how)
    return _("accepted: {adjustments}").format(adjustments=said) if said else ""


def _adjusters_of_plan(plan: PlannedSetting) -> list[Any]:
    names = [name for name in plan.adjusters if name in ADJUSTER_LABELS]
    names += [f"{ROD_PREFIX}{rod}" for rod in plan.adjusters.get(RODS, {})]
    if plan.camber_by:
        names.append(METHOD_ADJUSTER.get(plan.camber_by, plan.camber_by))
    return names
