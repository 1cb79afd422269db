"""The spec sheet's section of readings: before, after, target, adjusters, conditions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from django.utils import timezone
from reportlab.platypus import KeepTogether, Paragraph, Spacer, Table

from alignment.compare import AxleTable, Comparison, Row, compare
from alignment.models import PlannedSetting, RackVisit
from alignment.words import CORNER_WORDS, adjuster_label, plan_sentence

if TYPE_CHECKING:
    from shop.models import WorkOrder

Styles = Mapping[str, Any]

#: Widths in points; together they fit an A4 page with 15 mm margins.
COLUMNS_PT = (150, 62, 62, 62, 154)
POSITION_COLUMNS_PT = (150, 170, 170)


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
        flow += [_readings_table(comparison, styles), Spacer(1, 4)]
        flow += [_text(line, styles, "small") for line in _conditions(comparison)]
        flow += _positions(comparison, styles)
    flow.append(Spacer(1, 8))
    return flow


def _said(plan: PlannedSetting) -> str:
    return f"Planned, {plan_sentence(plan)[0].lower()}{plan_sentence(plan)[1:]}"


def _readings_table(comparison: Comparison, styles: Styles) -> Table:
    head = ["", "Before", comparison.after_title, "Target", "Off by"]
    cells: list[list[Any]] = [[_text(word, styles, "small") for word in head]]
    ruled: list[tuple[Any, ...]] = [
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, "black"),
        ("LINEBELOW", (0, -1), (-1, -1), 0.8, "black"),
        ("ALIGN", (1, 0), (3, -1), "RIGHT"),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("FONT", (0, 0), (-1, -1), _style(styles, "small").fontName),
        ("FONTSIZE", (0, 0), (-1, -1), _style(styles, "small").fontSize),
    ]
    for axle in comparison.axles:
        _axle_rows(axle, cells, ruled)
    return Table(cells, colWidths=COLUMNS_PT, style=ruled, hAlign="LEFT", repeatRows=1)


def _axle_rows(axle: AxleTable, cells: list[list[Any]], ruled: list[tuple[Any, ...]]) -> None:
    for group in axle.groups:
        for index, row in enumerate(group.rows):
            if index == 0:
                ruled.append(("LINEABOVE", (0, len(cells)), (-1, len(cells)), 0.3, "grey"))
            title = f"{group.title}, {axle.axle}, {group.unit}" if index == 0 else ""
            cells.extend(_row_cells(title, row))


def _row_cells(title: str, row: Row) -> list[list[Any]]:
    """The line itself, under the quantity's name where it is the first of its kind."""
    line = [f"    {row.side}", row.before_text, row.after_text, row.target_text, _off_text(row)]
    return [[title, "", "", "", ""], line] if title else [line]


def _off_text(row: Row) -> str:
    if row.off is None:
        return ""
    return f"{row.off.text}   {row.off.words}" if row.off.is_out else row.off.text


def _conditions(comparison: Comparison) -> list[str]:
    lines = []
    for title, visit in (("Before", comparison.before), (comparison.after_title, comparison.after)):
        if visit is None:
            continue
        said = [f"{title}: {timezone.localtime(visit.at):%d.%m.%Y %H:%M}"]
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
    keys = list(dict.fromkeys([*columns[0], *columns[1]]))
    if not keys:
        return []
    rows = [["Adjuster", "Before", comparison.after_title]]
    for corner, adjuster in keys:
        name = f"{adjuster_label(adjuster)}, {CORNER_WORDS[corner]}"
        rows.append([name, *(column.get((corner, adjuster), "–") for column in columns)])
    cells = [[_text(text, styles, "small") for text in row] for row in rows]
    ruled = [
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, "black"),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, "grey"),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
    ]
    table = Table(cells, colWidths=POSITION_COLUMNS_PT, style=ruled, hAlign="LEFT")
    return [Spacer(1, 4), KeepTogether(table)]


def _typed(visit: RackVisit | None) -> dict[tuple[str, str], str]:
    if visit is None:
        return {}
    return {(p.corner, p.adjuster): p.typed for p in visit.positions.all()}


def _text(text: str, styles: Styles, name: str) -> Paragraph:
    return Paragraph(escape(text), _style(styles, name))


def _style(styles: Styles, name: str) -> Any:
    return styles[name] if name in styles else styles["body"]
