"""Sections of the spec sheet: what was mounted, and the room that it has."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from django.utils import timezone
from reportlab.platypus import KeepTogether, Paragraph, Spacer, Table

from fitment.gate import GATE
from fitment.models import OrderWheels, RoomCheck
from fitment.room_page import alike
from fitment.scene_pdf import SceneFlowable
from fitment.services.inputs import check_inputs
from fitment.services.scenes import scene_load
from fitment.words import corner_words

if TYPE_CHECKING:
    from shop.models import WorkOrder

Styles = Mapping[str, Any]
#: Width of one drawing on the sheet, pt; two stand side by side on A4.
DRAWING_WIDTH_PT = 236.0


def wheels_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """Wheel, tyre and spacer of each axle; nothing if the order mounts none."""
    rows = list(OrderWheels.objects.filter(order=order).select_related("wheel", "tyre"))
    if not rows:
        return []
    head = ["Axle", "Wheel", "Tyre", "Spacer"]
    body = [
        [
            row.get_axle_display(),
            str(row.wheel),
            str(row.tyre),
            f"{row.spacer_mm:g} mm" if row.spacer_mm else "none",
        ]
        for row in rows
    ]
    cells = [[Paragraph(text, styles["head"]) for text in head]]
    cells += [[Paragraph(escape(text), styles["cell"]) for text in line] for line in body]
    table = Table(cells, colWidths=[50, 190, 190, 60], style=_ruled(), hAlign="LEFT")
    return [Paragraph("Wheels and tyres", styles["heading"]), table, Spacer(1, 8)]


def room_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """What the last room check said, whether somebody went on in spite of it, the drawings."""
    check = RoomCheck.objects.filter(order=order).select_related("by").first()
    if check is None:
        return []
    body = styles["body"]
    flow: list[Any] = [
        Paragraph("Room for the wheels", styles["heading"]),
        Paragraph(f"<b>{escape(check.result.capitalize())}.</b> {escape(check.sentence)}", body),
        Paragraph(f"Checked on {_day(check.at)}.{_stale(order, check)}", styles["small"]),
    ]
    flow += [
        Paragraph(
            escape(
                f"{override.by.shown_name} decided on {_day(override.at)} to go on "
                f"all the same: {override.reason}"
            ),
            body,
        )
        for override in order.overrides.filter(gate=GATE, digest=check.digest).select_related("by")
    ]
    flow += _drawings(check, styles)
    return flow


def _drawings(check: RoomCheck, styles: Styles) -> list[Any]:
    """Two drawings a row, and below them once what their lines mean."""
    cells: list[Any] = []
    legend: dict[str, None] = {}
    for group in alike(check.inputs) if check.scenes else []:
        scene = scene_load(check.scenes[group[0]]["customer"])
        words = Paragraph(escape(corner_words(group).capitalize()), styles["small"])
        cells.append([words, SceneFlowable(scene, DRAWING_WIDTH_PT)])
        legend.update(dict.fromkeys(scene.legend))
    if not cells:
        return []
    pairs = [[*cells[index : index + 2], ""][:2] for index in range(0, len(cells), 2)]
    width = DRAWING_WIDTH_PT + 10
    rows = [
        KeepTogether(Table([pair], colWidths=[width, width], style=_side_by_side()))
        for pair in pairs
    ]
    return [*rows, Paragraph(escape(" ".join(legend)), styles["small"])]


def _side_by_side() -> list[tuple[Any, ...]]:
    return [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]


def _day(moment: datetime) -> str:
    return f"{timezone.localtime(moment):%d.%m.%Y}"


def _stale(order: WorkOrder, check: RoomCheck) -> str:
    """A word of warning while the job has changed since; a closed job keeps its check."""
    if order.is_open and check_inputs(order).digest != check.digest:
        return " The job has changed since: this check is out of date."
    return ""


def _ruled() -> list[tuple[Any, ...]]:
    return [
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, "black"),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, "grey"),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]
