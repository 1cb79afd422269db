"""Where the words of a drawing stand on a phone, and whether they can be read there."""

from __future__ import annotations

from itertools import combinations

from fitment.engine.drawing.label_layout import Box
from fitment.engine.drawing.lettering import text_lines
from fitment.engine.drawing.scene import LINE_HEIGHT_EM, Scene, Words
from tests.engine.letters import letter

#: Mean width of a character of the faces in use, em.
CHARACTER_EM = 0.52
#: Letters are about so tall, em; text blocks may come as close as that leaves.
LETTER_EM = 0.72


def texts(scene: Scene) -> list[str]:
    """Every line of text in the drawing."""
    return [
        text
        for mark in scene.marks()
        if isinstance(mark, Words)
        for text, _ in text_lines(mark.lines, letter)
    ]


def boxes(scene: Scene) -> list[tuple[str, Box]]:
    """Text blocks with where they stand in the size that a phone shows."""
    size, found = scene.narrow_text_mm, []
    for mark in scene.marks():
        if not isinstance(mark, Words) or not mark.lines:
            continue
        lines = text_lines(mark.lines, letter)
        width = max(len(text) for text, _ in lines) * CHARACTER_EM * size
        half = ((len(lines) - 1) * LINE_HEIGHT_EM + LETTER_EM) * size / 2
        x, y = mark.at
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * width
        found.append((lines[0][0], (left, y - half, left + width, y + half)))
    return found


def collisions(scene: Scene) -> list[tuple[str, str]]:
    """Pairs of text blocks that stand on one another."""
    return [
        (one, other)
        for (one, a), (other, b) in combinations(boxes(scene), 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def cut_off(scene: Scene) -> list[str]:
    """Text blocks that reach beyond the drawing."""
    left, bottom, right, top = scene.viewport
    return [
        text
        for text, box in boxes(scene)
        if box[0] < left or box[1] < bottom or box[2] > right or box[3] > top
    ]
