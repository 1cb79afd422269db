"""Scene to paper: the same marks as on the screen, drawn on a reportlab canvas."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.platypus import Flowable

from fitment.engine.drawing.scene import (
    FILL,
    LINE_HEIGHT_EM,
    PEN,
    TEXT,
    Fill,
    Hatch,
    Mark,
    Point,
    Scene,
    Stroke,
    Words,
)
from shop.paper.fonts import REGULAR, SEMIBOLD, register_fonts

#: Lines as points and whether the last is joined to the first.
Lines = Sequence[tuple[Sequence[Point], bool]]

#: Colours of the style tokens on paper. All of them stay apart in black and white.
COLOURS: dict[str, Color] = {
    "ink": HexColor("#1c2329"),
    "muted": HexColor("#505a62"),
    "hatch": HexColor("#6d675b"),
    "faint": HexColor("#b9b3a4"),
    "accent": HexColor("#8f3a12"),
    "fill": HexColor("#f1e8dd"),
    "paper": HexColor("#ffffff"),
}
#: Text never gets smaller than this as long as the layout has room for it.
LEAST_TEXT_PT = 7.5
HALO_EM = 0.3


def draw_scene(canvas: Canvas, scene: Scene, x_pt: float, y_pt: float, width_pt: float) -> None:
    """Draw a scene with its lower left corner at (x_pt, y_pt), ``width_pt`` wide."""
    register_fonts()
    scale = width_pt / scene.width_mm
    size = min(max(scene.text_mm * scale, LEAST_TEXT_PT), scene.narrow_text_mm * scale)
    pencil = _Pencil(canvas, scene, scale, size)
    canvas.saveState()
    canvas.translate(x_pt, y_pt)
    canvas.setLineJoin(1)
    for mark in scene.marks():
        pencil.draw(mark)
    canvas.restoreState()


class _Pencil:
    """Draws marks at one scale."""

    def __init__(self, canvas: Canvas, scene: Scene, scale: float, size: float) -> None:
        self._canvas = canvas
        self._left, self._bottom = scene.viewport[:2]
        self._scale = scale
        self._size = size

    def _to_pt(self, point: Point) -> tuple[float, float]:
        return (point[0] - self._left) * self._scale, (point[1] - self._bottom) * self._scale

    def draw(self, mark: Mark) -> None:
        """Draw one mark."""
        match mark:
            case Stroke():
                self._stroke(mark.style, [(mark.points, mark.closed)])
            case Hatch():
                self._stroke(mark.style, [(segment, False) for segment in mark.segments])
            case Fill():
                path = self._path([(ring, True) for ring in mark.rings])
                self._canvas.setFillColor(COLOURS[FILL[mark.style]])
                self._canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
            case Words():
                self._words(mark)

    def _path(self, lines: Lines) -> PDFPathObject:
        path = self._canvas.beginPath()
        for points, closed in lines:
            path.moveTo(*self._to_pt(points[0]))
            for point in points[1:]:
                path.lineTo(*self._to_pt(point))
            if closed:
                path.close()
        return path

    def _stroke(self, style: str, lines: Lines) -> None:
        pen = PEN[style]
        self._canvas.setStrokeColor(COLOURS[pen.colour])
        self._canvas.setLineWidth(pen.width_pt)
        self._canvas.setDash(list(pen.dash_pt))
        self._canvas.drawPath(self._path(lines), stroke=1, fill=0)
        self._canvas.setDash([])

    def _words(self, words: Words) -> None:
        x, middle = self._to_pt(words.at)
        pitch = LINE_HEIGHT_EM * self._size
        y = middle + ((len(words.lines) - 1) / 2 * LINE_HEIGHT_EM - 0.35) * self._size
        for text, style in words.lines:
            colour, bold = TEXT[style]
            font = SEMIBOLD if bold else REGULAR
            width = self._canvas.stringWidth(text, font, self._size)
            start = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor]
            # A rim of paper first, which interrupts hatching and lines around the letters.
            for mode in (1, 0):
                line = self._canvas.beginText(start, y)
                line.setFont(font, self._size)
                line.setTextRenderMode(mode)
                self._canvas.setStrokeColor(COLOURS["paper"])
                self._canvas.setLineWidth(HALO_EM * self._size)
                self._canvas.setFillColor(COLOURS[colour])
                line.textOut(text)
                if mode:
                    line.setTextRenderMode(0)
                self._canvas.drawText(line)
            y -= pitch


class SceneFlowable(Flowable):
    """A scene among the paragraphs of a document, ``width_pt`` wide; ``alt`` is its description."""

    def __init__(self, scene: Scene, width_pt: float) -> None:
        super().__init__()
        self.scene = scene
        self.width = width_pt
        self.height = width_pt * scene.height_mm / scene.width_mm
        self.alt = " ".join(map(str, scene.description))

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size on the page; narrower and lower where the frame has no more room."""
        wide = min(
            self.width,
            available_width,
            available_height * self.scene.width_mm / self.scene.height_mm,
        )
        if wide >= 0.6 * self.width:
            self.width = wide
            self.height = wide * self.scene.height_mm / self.scene.width_mm
        return self.width, self.height

    def draw(self) -> None:
        """Draw at the origin, as the frame has placed it."""
        draw_scene(self.canv, self.scene, 0.0, 0.0, self.width)
