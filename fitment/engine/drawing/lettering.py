"""Words of a drawing: names and messages, which a letterer turns into text when it is shown.

A scene keeps its words unlettered, so that the same drawing can be read in any language and any
units. Only the layout needs their lengths, from the letterer that the caller passes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from textwrap import wrap

from fitment.engine.drawing.scene import Dimension, Part, ScaleBar, Scene, Text, TextLine, Words

#: Text of a name or a message.
Letter = Callable[[Text], str]

#: Names of spots are broken into lines of about this many characters.
LABEL_CHARACTERS = 18


def text_lines(lines: Iterable[TextLine], letter: Letter) -> tuple[tuple[str, str], ...]:
    """Lines of text with their styles; the first name of a block is broken where it is long."""
    done: list[tuple[str, str]] = []
    for text, style in lines:
        said = letter(text)
        broken = wrap(said, LABEL_CHARACTERS) if style == "name" else [said]
        done += [(one, style) for one in broken or [said]]
    return tuple(done)


def lettered(scene: Scene, letter: Letter) -> Scene:
    """The scene with text in place of every name and message."""
    return replace(
        scene,
        title=letter(scene.title),
        description=tuple(letter(one) for one in scene.description),
        legend=tuple(letter(one) for one in scene.legend),
        parts=tuple(_lettered(part, letter) for part in scene.parts),
    )


def _lettered(part: Part, letter: Letter) -> Part:
    if isinstance(part, Words):
        return replace(part, lines=text_lines(part.lines, letter))
    if isinstance(part, Dimension):
        value = replace(part.value, lines=text_lines(part.value.lines, letter))
        return replace(part, value=value)
    if isinstance(part, ScaleBar):
        return replace(part, words=letter(part.words))
    return part
