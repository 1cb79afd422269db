"""Drawings lettered for one reader."""

from __future__ import annotations

from dataclasses import replace

from alignment.text.render import SHOP, Reader, render
from common.message import message
from common.units import MM_PER_INCH
from fitment.engine.drawing.curve_drawing import INCHES as PLOT_INCHES
from fitment.engine.drawing.curve_drawing import MILLIMETRES as PLOT_MILLIMETRES
from fitment.engine.drawing.curve_drawing import Unit
from fitment.engine.drawing.lettering import Letter, lettered
from fitment.engine.drawing.scene import Part, ScaleBar, Scene, Text
from shop.languages.speech import INCHES

#: Length of the scale bar for those who think in inches.
BAR_IN = 4.0


def letter_for(reader: Reader = SHOP) -> Letter:
    """Names and messages as this reader reads them."""

    def letter(text: Text) -> str:
        return render(text, reader)

    return letter


def lettered_for(scene: Scene, reader: Reader = SHOP) -> Scene:
    """The scene with its words, figures and scale bar for this reader."""
    if reader.speech.lengths == INCHES:
        scene = replace(scene, parts=tuple(_in_inches(part) for part in scene.parts))
    return lettered(scene, letter_for(reader))


def plot_unit(reader: Reader) -> Unit:
    """The unit of lengths on the axes of a plot."""
    return PLOT_INCHES if reader.speech.lengths == INCHES else PLOT_MILLIMETRES


def _in_inches(part: Part) -> Part:
    if not isinstance(part, ScaleBar):
        return part
    words = message("axis.in-plain", value=BAR_IN)
    return replace(part, length_mm=BAR_IN * MM_PER_INCH, words=words)
