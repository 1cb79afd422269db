"""Sections of the spec sheet: the clearance of the wheels, and its curves."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.lib.pagesizes import A4
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from alignment.geometry.linkage import Unreachable
from alignment.text.render import Reader, customer, render
from common.message import message
from common.verdicts import Verdict
from fitment.clearance.page import alike, sectors_scene_of
from fitment.clearance.services import scene_of, side_of
from fitment.drawings.scene_pdf import SceneFlowable
from fitment.engine import checkfile
from fitment.engine.curves.corner_curves import CAMBER, TOE, corner_curves
from fitment.engine.deciding import deciding_corner
from fitment.engine.drawing.curve_drawing import corner_curve_scene
from fitment.engine.drawing.scene import Scene
from fitment.engine.minimum.coverage import MISSING
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck
from fitment.text.lettering import letter_for, lettered_for, plot_unit
from fitment.text.render import corners_text, stored_text
from shop.languages.formatting import capital
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
    """What the last clearance check said, and the drawings with the tightest gaps."""
    check = ClearanceCheck.objects.filter(order=order).defer("options").first()
    if check is None:
        return []
    check.order = order
    speech = speech_on(styles)
    say = speech.say
    verdict, sentence = say(check.result), str(stored_text(check, customer(speech)))
    lead = Paragraph(
        f"<b>{_escaped(capital(verdict))}.</b> {_escaped(sentence)}",
        styles["body"],
    )
    checked = say("Checked on {day}.", day=speech.day(check.at))
    if order.is_open and check_inputs(order).digest != check.digest:
        checked += " " + say("The job has changed since: this check is out of date.")
    top = [heading(say("Clearance of the wheels"), styles), lead, text(checked, styles["small"])]
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
    """Drawings with their names, and to stand below them once what their lines mean.

    Each corner in section, the one that decides from the side too where it may touch, to show
    where; beside it, where it was not looked at everywhere, its sectors.
    """
    reader = customer(speech_on(styles))
    answer = checkfile.answer_load(check.answer) if check.answer else None
    may_touch = answer is not None and answer.verdict in (Verdict.CONTACT, Verdict.DOUBTFUL)
    room_left = not check.order.curves_on_sheet  # with curves the sheet is full
    decides = deciding_corner(answer) if answer and may_touch and room_left else None
    named: list[tuple[str, Scene]] = []
    for group in alike(check.inputs):
        corners, kept = corners_text(group, reader), scene_of(check, group[0])
        if kept is not None:
            named.append((corners, lettered_for(kept, reader)))
        side = side_of(check, group[0]) if decides and decides.corner in group else None
        if side is not None:
            title = reader.speech.say("{corners}: from the side", corners=corners)
            named.append((title, lettered_for(side, reader)))
        one = answer.corners[group[0]] if answer else None
        if one is not None and any(sector.state == MISSING for sector in one.sectors):
            sectors = sectors_scene_of(group, one, reader)
            title = reader.speech.say("{corners}: looked at", corners=corners)
            named += [(title, sectors)] if sectors else []
    legend = dict.fromkeys(str(line) for _, scene in named for line in scene.legend)
    return named, list(legend)


def _pairs(named: list[tuple[str, Scene]], styles: Styles, share: float = HIGH_SHARE) -> list[Any]:
    """Drawings in rows of two, each under its name and ``share`` of the page high at most."""
    wide = (width_of(styles) - GAP_PT) / 2
    most = share * getattr(styles, "size", A4)[1] * getattr(styles, "scale", 1.0)
    cells: list[list[Flowable]] = []
    for name, scene in named:
        high = scene.height_mm / scene.width_mm * wide
        fit = min(1.0, most / high)
        title = text(capital(name), styles["small"])
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
    reader = customer(speech_on(styles))
    named: list[tuple[str, Scene]] = []
    legend: dict[str, None] = {}
    for group in alike(check.inputs):
        for quantity, scene in _curve_scenes(check, group[0], reader):
            named.append((f"{corners_text(group, reader)}: {quantity}", scene))
            legend.update(dict.fromkeys(map(str, scene.legend)))
    if not named:
        return []
    title = heading(reader.speech.say("Camber and toe over travel, before and after"), styles)
    few = len(named) <= 4 and getattr(styles, "scale", 1.0) > LEAST_SCALE
    rows = _pairs(named, styles, CURVE_SHARE if few else FLAT_CURVE_SHARE)
    words = text(" ".join(legend), styles["small"])
    return _kept([title], rows, words)


def _curve_scenes(check: ClearanceCheck, corner: str, reader: Reader) -> list[tuple[str, Scene]]:
    """Plots of a corner with the word of each quantity; none where the setting cannot be taken."""
    asked = checkfile.parse(check.inputs)
    try:
        curves = corner_curves(asked.corners[corner], asked.duty)
    except Unreachable:
        return []
    scenes = []
    for quantity in (CAMBER, TOE):
        if quantity not in curves.quantities:
            continue
        what = message(f"curve.{quantity}")
        title = message("curve.title", corner=message(f"corner.{corner}"), what=what)
        scene = corner_curve_scene(
            curves, quantity, title=title, letter=letter_for(reader), unit=plot_unit(reader)
        )
        scenes.append((render(what, reader), lettered_for(scene, reader)))
    return scenes
