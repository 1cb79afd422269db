"""Sections of the spec sheet: the room that the wheels have, and its curves."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from reportlab.lib.pagesizes import A4
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from alignment.geometry.linkage import Unreachable
from common.corners import CORNER_NAMES
from fitment.clearance.page import alike
from fitment.drawings.scene_pdf import SceneFlowable
from fitment.engine import checkfile
from fitment.engine.curves.corner_curves import CAMBER, TOE, corner_curves
from fitment.engine.drawing import curve_drawing
from fitment.engine.drawing.curve_drawing import corner_curve_scene
from fitment.engine.drawing.scene import Scene
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck
from fitment.text.check_text import clearance_sentence, corners_said, curve_lettered, room_drawing
from shop.languages import Speech
from shop.languages.speech import INCHES
from shop.paper.pdf_styles import (
    LEAST_SCALE,
    FitTogether,
    Styles,
    heading,
    side_by_side,
    speech_on,
    text,
    width_of,
)

if TYPE_CHECKING:
    from shop.models import WorkOrder


GAP_PT = 10.0
#: Most of the page's height that a drawing takes; a row that is the last on its page takes less.
HIGH_SHARE, CURVE_SHARE = 0.252, 0.18
HIGH_SHARES = (HIGH_SHARE, 0.22, 0.19)
#: The same for curves in more than two rows, and on a sheet that is full.
FLAT_CURVE_SHARE = 0.15


def clearance_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """What the last room check said, and the drawings with the tightest gaps."""
    check = ClearanceCheck.objects.filter(order=order).defer("options").first()
    if check is None:
        return []
    speech = speech_on(styles)
    say = speech.say
    verdict, sentence = say(check.result), clearance_sentence(check, speech)
    lead = Paragraph(
        f"<b>{_escaped(verdict[:1].upper() + verdict[1:])}.</b> {_escaped(sentence)}",
        styles["body"],
    )
    checked = say("Checked on {day}.", day=speech.day(check.at))
    if order.is_open and check_inputs(order).digest != check.digest:
        checked += " " + say("The job has changed since: this check is out of date.")
    top = [heading(say("Room for the wheels"), styles), lead, text(checked, styles["small"])]
    named, legend = _drawings(check, styles)
    if not named:
        return top
    top.append(Spacer(1, 2))
    words = text(" ".join(legend), styles["small"])
    if len(named) > 2:
        return _kept(top, _pairs(named, styles), words)
    return [FitTogether([[*top, *_pairs(named, styles, share), words] for share in HIGH_SHARES])]


def _kept(top: list[Any], rows: list[Any], words: Any) -> list[Any]:
    """The heading stays with the first row of drawings, and what lines mean with the last."""
    if len(rows) == 1:
        return [KeepTogether([*top, *rows, words])]
    return [KeepTogether([*top, rows[0]]), *rows[1:-1], KeepTogether([rows[-1], words])]


def _escaped(words: str) -> str:
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _drawings(check: ClearanceCheck, styles: Styles) -> tuple[list[tuple[str, Scene]], list[str]]:
    """Drawings with their names, and to stand below them once what their lines mean."""
    speech = speech_on(styles)
    named: list[tuple[str, Scene]] = []
    legend: dict[str, None] = {}
    for group in alike(check.inputs) if check.scenes else []:
        scene = room_drawing(check, group[0], speech)
        named.append((corners_said(group, speech), scene))
        legend.update(dict.fromkeys(scene.legend))
    return named, list(legend)


def _pairs(named: list[tuple[str, Scene]], styles: Styles, share: float = HIGH_SHARE) -> list[Any]:
    """Drawings in rows of two, each under its name and ``share`` of the page high at most."""
    wide = (width_of(styles) - GAP_PT) / 2
    most = share * getattr(styles, "size", A4)[1] * getattr(styles, "scale", 1.0)
    cells: list[list[Flowable]] = []
    for name, scene in named:
        high = scene.height_mm / scene.width_mm * wide
        fit = min(1.0, most / high)
        title = text(name[:1].upper() + name[1:], styles["small"])
        cells.append([title, SceneFlowable(scene, wide * fit)])
    pairs = [cells[index : index + 2] for index in range(0, len(cells), 2)]
    return [side_by_side([*pair, ""][:2], [wide + GAP_PT, wide], gap=GAP_PT) for pair in pairs]


def curves_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """Camber and toe over travel, before and after, where they were asked for at hand-over."""
    if not order.curves_on_sheet:
        return []
    check = ClearanceCheck.objects.filter(order=order).only("inputs").first()
    if check is None:
        return []
    speech = speech_on(styles)
    named: list[tuple[str, Scene]] = []
    legend: dict[str, None] = {}
    for group in alike(check.inputs):
        for quantity, scene in _curve_scenes(check, group[0], speech):
            named.append((f"{corners_said(group, speech)}: {speech.say(quantity)}", scene))
            legend.update(dict.fromkeys(scene.legend))
    if not named:
        return []
    title = heading(speech.say("Camber and toe over travel, before and after"), styles)
    few = len(named) <= 4 and getattr(styles, "scale", 1.0) > LEAST_SCALE
    rows = _pairs(named, styles, CURVE_SHARE if few else FLAT_CURVE_SHARE)
    words = text(" ".join(legend), styles["small"])
    return _kept([title], rows, words)


def _curve_scenes(check: ClearanceCheck, corner: str, speech: Speech) -> list[tuple[str, Scene]]:
    """Plots of a corner by quantity; none where the setting cannot be taken."""
    asked = checkfile.parse(check.inputs)
    try:
        curves = corner_curves(asked.corners[corner], asked.duty)
    except Unreachable:
        return []
    # Said before the layout, which makes room for them.
    marks = tuple(replace(mark, words=speech.may_say(mark.words)) for mark in curves.marks)
    curves = replace(curves, marks=marks)
    name = speech.say(CORNER_NAMES[corner])
    unit = curve_drawing.INCHES if speech.lengths == INCHES else curve_drawing.MILLIMETRES
    scenes = {
        quantity: corner_curve_scene(
            curves, quantity, title=f"{name}: {speech.say(quantity)}", unit=unit
        )
        for quantity in (CAMBER, TOE)
        if quantity in curves.quantities
    }
    return [(quantity, curve_lettered(scene, speech)) for quantity, scene in scenes.items()]
