"""The spec sheet's section of readings: before, after, target, adjusters, conditions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from django.utils import timezone
from reportlab.platypus import KeepTogether, Paragraph, Spacer, Table

from alignment.compare import AxleTable, Comparison, Row, compare, positions_in_order
from alignment.models import PlannedSetting, RackVisit
from alignment.words import CORNER_WORDS, adjuster_label, plan_sentence

if TYPE_CHECKING:
    from shop.models import WorkOrder

Styles = Mapping[str, Any]

#: Widths in points; together they fit an A4 page with 17 mm margins.
COLUMNS_PT = (142, 56, 42, 42, 42, 42, 120)
POSITION_COLUMNS_PT = (170, 158, 158)


def readings_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """Planned settings in words and the readings in one table; nothing where there is neither."""
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    plans = list(PlannedSetting.objects.filter(order=order))
    if not visits and not plans:
        return []
    flow: list[Any] = [_text("Settings and readings", styles, "heading")]
    flow += [_text(_said(plan), styles, "body") for plan in plans]
    comparison = compare(visits, plans)
    if visits:
        flow += [Spacer(1, 3), _readings_table(comparison, styles), Spacer(1, 4)]
        flow += [_text(line, styles, "small") for line in _conditions(comparison)]
        flow += _positions(comparison, styles)
    flow.append(Spacer(1, 8))
    return flow


def _said(plan: PlannedSetting) -> str:
    return f"Planned, {plan_sentence(plan)[0].lower()}{plan_sentence(plan)[1:]}"


def _readings_table(comparison: Comparison, styles: Styles) -> Table:
    small = _style(styles, "small")
    head = ["", "", "Before", comparison.after_title, "Target", "Off by", ""]
    cells: list[list[Any]] = [head]
    ruled: list[tuple[Any, ...]] = [
        ("LINEABOVE", (0, 0), (-1, 0), 1, "black"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.5, "black"),
        ("LINEBELOW", (0, -1), (-1, -1), 0.5, "black"),
        ("ALIGN", (2, 0), (5, -1), "RIGHT"),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), 0.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("FONT", (0, 0), (-1, -1), small.fontName, small.fontSize, small.leading),
    ]
    for axle in comparison.axles:
        _axle_rows(axle, cells, ruled, styles)
    return Table(cells, colWidths=COLUMNS_PT, style=ruled, hAlign="LEFT", repeatRows=1)


def _axle_rows(
    axle: AxleTable, cells: list[list[Any]], ruled: list[tuple[Any, ...]], styles: Styles
) -> None:
    for group in axle.groups:
        if len(cells) > 1:
            ruled.append(("LINEABOVE", (0, len(cells)), (-1, len(cells)), 0.25, "grey"))
        for index, row in enumerate(group.rows):
            title = f"{group.title}, {axle.axle}, {group.unit}" if index == 0 else ""
            cells.append([title, row.side, *_numbers(row, styles)])


def _numbers(row: Row, styles: Styles) -> list[Any]:
    numbers = [row.before_text, row.after_text, row.target_text]
    if row.off is None:
        return [*numbers, "", ""]
    return [*numbers, row.off.text, _text(row.off.words, styles, "small")]


def _conditions(comparison: Comparison) -> list[str]:
    lines = []
    for title, visit in (("Before", comparison.before), (comparison.after_title, comparison.after)):
        if visit is None:
            continue
        at = timezone.localtime(visit.at)
        said = [f"{title}: {at.day} {at:%B %Y, %H:%M}"]
        said.append(f"rack {visit.rack_name}" if visit.rack_name else "rack not noted")
        said[-1] += f", good for ±{visit.accuracy_deg:.2f}°"
        said.append(
            "steering wheel straight ahead and held"
            if visit.steering_ahead
            else "steering wheel not noted as straight ahead"
        )
        if visit.tyre_pressure:
            said.append(f"tyre pressures {visit.tyre_pressure}")
        if visit.fuel:
            said.append(f"fuel and load: {visit.fuel}")
        lines.append("; ".join(said) + ".")
    lines.append(
        "Camber: minus is top inboard. Toe: plus is toe-in, per wheel; total is the sum. "
        "Caster: plus is top rearward. Cross is left less right."
    )
    return lines


def _positions(comparison: Comparison, styles: Styles) -> list[Any]:
    """Where the adjusters stood, before and after, if anybody noted it."""
    columns = [_typed(comparison.before), _typed(comparison.after)]
    keys = list(dict.fromkeys([*columns[1], *columns[0]]))
    if not keys:
        return []
    rows = [["Adjuster", "Before", comparison.after_title]]
    for corner, adjuster in keys:
        name = f"{adjuster_label(adjuster)}, {CORNER_WORDS[corner]}"
        rows.append([name, *(column.get((corner, adjuster), "–") for column in columns)])
    cells = [[_text(text, styles, "small") for text in row] for row in rows]
    ruled = [
        ("LINEABOVE", (0, 0), (-1, 0), 1, "black"),
        ("LINEBELOW", (0, 0), (-1, 0), 0.5, "black"),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, "grey"),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ]
    table = Table(cells, colWidths=POSITION_COLUMNS_PT, style=ruled, hAlign="LEFT")
    return [Spacer(1, 4), KeepTogether(table)]


def _typed(visit: RackVisit | None) -> dict[tuple[str, str], str]:
    if visit is None:
        return {}
    return {(p.corner, p.adjuster): p.shown for p in positions_in_order(visit)}


def _text(text: str, styles: Styles, name: str) -> Paragraph:
    return Paragraph(escape(text), _style(styles, name))


def _style(styles: Styles, name: str) -> Any:
    return styles[name] if name in styles else styles["body"]
