"""A drawing as plain data, before it becomes SVG or PDF.

Drawing space is in millimetres, x to the right and y **up**; a writer turns it over where
its medium counts downwards. Lines carry the name of a style, never a colour or a width: the
style sheet (``static/drawing.css``) and ``PEN`` below say what each name looks like. The names
follow the line types of ISO 128-2 and the dimensions follow ISO 129-1.

Both writers draw what ``marks`` yields, so screen and paper cannot differ in what they show.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from common.message import Message, message

Point = tuple[float, float]
Ring = tuple[Point, ...]
#: What is written: a name that people gave, or a message; a lettered scene has texts alone.
Text = str | Message
#: A text with the name of its style.
TextLine = tuple[Text, str]

LINE_HEIGHT_EM = 1.12
#: Half opening of an arrow head and its length, ISO 129-1's closed filled arrow (about 20 degrees).
ARROW_LENGTH_MM = 9.0
ARROW_HALF_WIDTH_MM = 1.7
#: Below this many arrow lengths the arrows of a dimension stand outside, pointing inwards.
ROOM_FOR_ARROWS = 2.6


@dataclass(frozen=True)
class Pen:
    """A line style on paper: width and dashes in points, colour by token name."""

    width_pt: float
    dash_pt: tuple[float, ...] = ()
    colour: str = "ink"


#: Contact alone is in the accent: figures that clear are ink, in every drawing.
CONTACT = "gap-contact"
#: Stroke styles by class name. 01.2 wide continuous, 01.1 narrow continuous, 02.1 dashed,
#: 04.1 long-dashed dotted.
PEN: dict[str, Pen] = {
    "ink-thick": Pen(1.5),
    "ink-thin": Pen(0.5),
    "ink-dash": Pen(0.6, (3.5, 2.0)),
    "centre-line": Pen(0.5, (11.0, 2.2, 1.2, 2.2)),
    "hatch-body": Pen(0.35, (), "hatch"),
    "hatch-knuckle": Pen(0.35, (), "hatch"),
    "hatch-overlap": Pen(0.55, (), "accent"),
    "swept-edge": Pen(0.8),
    "other-outline": Pen(1.0, (6.0, 3.0)),
    "hatch-missing": Pen(0.35, (), "hatch"),
    "missing-edge": Pen(1.4, (1.4, 1.5)),
    "gap-ok": Pen(0.6),
    "gap-contact": Pen(1.4, (1.4, 1.5), "accent"),
    "dim": Pen(0.5),
    "dim-contact": Pen(0.5, (), "accent"),
    "scale-bar": Pen(0.8),
    "grid-line": Pen(0.25, (), "faint"),
}
#: Filled areas by class name and the token that fills them.
FILL: dict[str, str] = {
    "tyre-fill": "fill",
    "rim-fill": "paper",
    "band-fill": "fill",
    "dim-head": "ink",
    "contact-head": "accent",
    "scale-ink": "ink",
    "scale-paper": "paper",
}
#: Texts by class name: token of the colour, bold or not.
TEXT: dict[str, tuple[str, bool]] = {
    "label": ("ink", False),
    "name": ("ink", False),
    "dim-text": ("ink", True),
    "contact-text": ("accent", True),
    "note": ("muted", False),
}


@dataclass(frozen=True)
class Stroke:
    """A line through points; ``closed`` joins the last to the first.

    ``spot`` names the spot that it draws, so that a page can tell which one was pointed at.
    """

    points: Ring
    style: str
    closed: bool = False
    spot: str = ""


@dataclass(frozen=True)
class Fill:
    """An area inside rings, even-odd."""

    rings: tuple[Ring, ...]
    style: str


@dataclass(frozen=True)
class Hatch:
    """Parallel segments that have already been clipped to their area."""

    segments: tuple[tuple[Point, Point], ...]
    style: str
    about: str = ""


@dataclass(frozen=True)
class Words:
    """Lines of text as one block, its middle at height y of ``at``.

    ``lines`` are (text, style), style "name" for a spot's name, which is broken where it is long;
    ``anchor`` is "start", "middle" or "end".
    """

    at: Point
    lines: tuple[TextLine, ...]
    anchor: str = "start"


@dataclass(frozen=True)
class Dimension:
    """A dimension between two points, its line moved sideways by ``offset_mm``.

    ``value`` is written at ``words_at``, to which a leader runs from the end beyond ``end``.
    Sideways is to the left of the direction from ``start`` to ``end``.
    """

    start: Point
    end: Point
    value: Words
    leader_mm: float = 18.0
    offset_mm: float = 0.0
    style: str = "gap-ok"

    @property
    def direction(self) -> Point:
        """Unit vector from start to end; upwards if the two coincide."""
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        length = math.hypot(dx, dy)
        return (dx / length, dy / length) if length > 1e-9 else (0.0, 1.0)

    @property
    def shifted(self) -> tuple[Point, Point]:
        """The two ends of the dimension line."""
        ux, uy = self.direction
        ox, oy = -uy * self.offset_mm, ux * self.offset_mm
        return (
            (self.start[0] + ox, self.start[1] + oy),
            (self.end[0] + ox, self.end[1] + oy),
        )

    @property
    def turned(self) -> Dimension:
        """The same dimension with its leader at the other end."""
        return replace(self, start=self.end, end=self.start, offset_mm=-self.offset_mm)

    @property
    def elbow(self) -> Point:
        """Where the dimension line ends and the leader to the value begins."""
        (ux, uy), (_, end) = self.direction, self.shifted
        return (end[0] + ux * self.leader_mm, end[1] + uy * self.leader_mm)

    def marks(self) -> Iterator[Stroke | Fill | Words]:
        """The lines, arrow heads and text that the dimension is drawn with."""
        start, end = self.shifted
        ux, uy = self.direction
        contact = self.style == CONTACT
        line, head = ("dim-contact", "contact-head") if contact else ("dim", "dim-head")
        if abs(self.offset_mm) > 1e-9:
            reach = self.offset_mm + math.copysign(3.0, self.offset_mm)
            for x, y in (self.start, self.end):
                yield Stroke(((x, y), (x - uy * reach, y + ux * reach)), line)
        gap = math.dist(start, end)
        if gap >= ROOM_FOR_ARROWS * ARROW_LENGTH_MM:
            yield Stroke((start, end), self.style)
            yield arrow_head(start, (-ux, -uy), head)
            yield arrow_head(end, (ux, uy), head)
        else:
            tail = (start[0] - ux * self.leader_mm, start[1] - uy * self.leader_mm)
            yield Stroke((tail, start), line)
            yield Stroke((start, end), self.style)
            yield arrow_head(start, (ux, uy), head)
            yield arrow_head(end, (-ux, -uy), head)
        yield Stroke((end, self.elbow, self.value.at), line)
        yield _as_contact(self.value) if contact else self.value


def _as_contact(words: Words) -> Words:
    """The words of a dimension with its figure in the colour of contact."""
    lines = (
        (text, "contact-text" if style == "dim-text" else style) for text, style in words.lines
    )
    return replace(words, lines=tuple(lines))


def arrow_head(tip: Point, direction: Point, style: str = "dim-head") -> Fill:
    """A filled arrow head whose tip points along the unit vector ``direction``."""
    ux, uy = direction
    back = (tip[0] - ux * ARROW_LENGTH_MM, tip[1] - uy * ARROW_LENGTH_MM)
    left = (back[0] - uy * ARROW_HALF_WIDTH_MM, back[1] + ux * ARROW_HALF_WIDTH_MM)
    right = (back[0] + uy * ARROW_HALF_WIDTH_MM, back[1] - ux * ARROW_HALF_WIDTH_MM)
    return Fill(((tip, left, right),), style)


@dataclass(frozen=True)
class ScaleBar:
    """A bar of known length, half inked, with its length in ``words`` beside it.

    ``scale`` is how many millimetres of the drawing stand for one.
    """

    at: Point
    length_mm: float
    words: Text
    scale: float = 1.0

    @classmethod
    def of_mm(cls, at: Point, length_mm: float, scale: float = 1.0) -> ScaleBar:
        """A bar whose words say its millimetres."""
        return cls(at, length_mm, message("axis.mm-plain", value=length_mm), scale)

    def marks(self) -> Iterator[Stroke | Fill | Words]:
        """Two boxes and the length."""
        long = self.scale * self.length_mm
        (x, y), half, tall = self.at, long / 2, 4.0
        boxes = [
            ((x0, y), (x0 + half, y), (x0 + half, y + tall), (x0, y + tall)) for x0 in (x, x + half)
        ]
        yield Fill((boxes[0],), "scale-ink")
        yield Fill((boxes[1],), "scale-paper")
        for box in boxes:
            yield Stroke(box, "scale-bar", closed=True)
        yield Words((x + long + 6.0, y + tall / 2), ((self.words, "note"),))


Part = Stroke | Fill | Hatch | Words | Dimension | ScaleBar
Mark = Stroke | Fill | Hatch | Words


@dataclass(frozen=True)
class Scene:
    """A drawing: its parts from back to front and what they are, in words.

    ``viewport`` is (left, bottom, right, top) in mm. ``description`` is for people who cannot
    see the drawing, sentence by sentence; ``legend`` are lines to print below it. ``text_mm`` is
    the size of text on paper and ``narrow_text_mm`` the size that the layout left room for, which
    a phone uses.
    """

    title: Text
    description: tuple[Text, ...]
    viewport: tuple[float, float, float, float]
    parts: tuple[Part, ...]
    legend: tuple[Text, ...] = ()
    text_mm: float = 9.5
    narrow_text_mm: float = 18.0

    @property
    def width_mm(self) -> float:
        """Width of the viewport."""
        return self.viewport[2] - self.viewport[0]

    @property
    def height_mm(self) -> float:
        """Height of the viewport."""
        return self.viewport[3] - self.viewport[1]

    def marks(self) -> Iterator[Mark]:
        """Everything to be drawn, in order, with dimensions and scale bars taken apart."""
        for part in self.parts:
            if isinstance(part, (Dimension, ScaleBar)):
                yield from part.marks()
            else:
                yield part


def only_spot(scene: Scene, spot: str, *, above: float = 0.0) -> Scene:
    """The scene with the dimension of one spot alone, for those who need no other figure.

    ``above`` is the share of its height that is cut off below, with all that begins there.
    """
    left, bottom, right, top = scene.viewport
    cut = bottom + above * (top - bottom)
    parts = (
        part
        for part in scene.parts
        if not (isinstance(part, Dimension) and (spot, "name") not in part.value.lines)
        and not (isinstance(part, (Words, ScaleBar)) and part.at[1] < cut)
    )
    return replace(scene, parts=tuple(parts), viewport=(left, cut, right, top))
